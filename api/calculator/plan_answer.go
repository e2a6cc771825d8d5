package calculator

import (
	"resawd/api/endpoint"
	"resawd/calc/length"
)

// PlanAnswer is the plan.
type PlanAnswer struct {
	// Digest of the build, the shop file and used
	ID string `json:"id"`
	// optimal: the cost is proven to be the least; feasible: it is at most the gap above the least; infeasible: the
	// boards cannot give every part
	Status string `json:"status" enums:"optimal,feasible,infeasible"`
	// Why the search ended
	StoppedBy string `json:"stopped_by" enums:"proof,work,time,shutdown"`
	// Cost of the boards taken, and of the passes and mountings if these have prices
	Cost endpoint.Money `json:"cost"`
	// Bound that is proven: with these boards and these cuts, no plan that delivers the same costs less
	LowerBound endpoint.Money `json:"lower_bound"`
	// Share of the cost that lies above the lower bound, 0 to 1
	Gap float64 `json:"gap"`
	// Currency of every amount, from the shop file
	Currency string `json:"currency"`
	// The boards to cut
	Taken []PlanTaken `json:"taken"`
	// What can be put back on the rack: nothing shorter or narrower than the smallest billet
	LeftOver []PlanLeftOver `json:"left_over"`
	// What the boards do not give
	Unmet []PlanUnmet `json:"unmet"`
	// Price to ask for the leaves, by the shop's rates; absent if a board that is taken has no price of its own, or a
	// billet no run sheet
	Price *PlanPrice `json:"price,omitzero"`
	// Whether it is proven that no plan leaves less unmet: kits in their order, then parts in theirs
	UnmetProven bool `json:"unmet_proven"`
	// Changes after which the same leaves would cost less, by estimates; changes that save nothing are left out
	WhatIf []PlanWhatIf `json:"what_if"`
	// Figures of the search and of the plan
	Stats PlanStats `json:"stats"`
	// Cautions where a hand or a lung is at risk
	Cautions []string `json:"cautions"`
	// Every input, given or defaulted
	Used *PlanRequest `json:"used"`
	endpoint.Notes

	call *endpoint.Call // that it answers
}

// PlanTaken is boards that are cut alike.
type PlanTaken struct {
	// Name of the boards
	Board string `json:"board"`
	// Number of boards that are cut alike
	Copies int `json:"copies"`
	// What is cut from each
	Billets []PlanBillet `json:"billets"`
	// The kits that each gives
	Kits []PlanKitCount `json:"kits"`
}

// PlanKitCount is kits that come from one board.
type PlanKitCount struct {
	// Name of the kit
	Kit string `json:"kit"`
	// Number of kits
	Count int `json:"count"`
}

// PlanBillet is a piece of a board, ready to resaw.
type PlanBillet struct {
	// What to write on it: the board, a letter for the way it is cut, a number
	Mark string `json:"mark"`
	// Where it begins along the length of the board
	From length.Length `json:"from"`
	// Where it begins across the width
	Across length.Length `json:"across"`
	// Length as cut; absent if the board is not crosscut
	Length length.Length `json:"length,omitzero"`
	// Width as cut; absent if the board is not ripped
	Width length.Length `json:"width,omitzero"`
	// Depth of its truing pass: the skim and its share of the bow
	Skim length.Length `json:"skim"`
	// Its leaves, in the order they are sawn
	Leaves []PlanLeaf `json:"leaves"`
	// Thickness left beyond the hold-back
	Remainder length.Length `json:"remainder"`
	// Whether it gives fewer leaves if the board is thinner by thickness_margin and every kerf is wider by kerf_margin
	Tight bool `json:"tight"`
	// The request for its run sheet, ready to send; absent where the size of the board is not known or this shop's saw
	// cannot take the billet
	Run *RunRequest `json:"run,omitzero"`
}

// PlanLeaf is neighbouring leaves of one part, each divided into equally many copies of
// it.
type PlanLeaf struct {
	// Name of the part
	Part string `json:"part"`
	// Number of leaves that are sawn
	LeafCount int `json:"leaf_count"`
	// Number of copies along the length of each leaf
	EndToEnd int `json:"end_to_end"`
	// Number of copies across its width
	SideBySide int `json:"side_by_side"`
	// Number of copies of the part that the leaves give
	Count int `json:"count"`
	// Thickness of each leaf
	Thickness length.Length `json:"thickness"`
	// How much longer the billet is than the copies and the kerfs between them
	TrimLength length.Length `json:"trim_length"`
	// How much wider it is
	TrimWidth length.Length `json:"trim_width"`
}

// PlanLeftOver is a piece that can be put back on the rack.
type PlanLeftOver struct {
	// Name of the board that the piece comes from
	Board string `json:"board"`
	// Number of such pieces
	Copies int `json:"copies"`
	// offcut: cut off beside the billets, of the whole thickness; remainder: what stays of a billet, hold-back
	// included
	Kind string `json:"kind" enums:"offcut,remainder"`
	// Thickness of the piece
	Thickness length.Length `json:"thickness"`
	// Width of the piece; absent if the boards have no width
	Width length.Length `json:"width,omitzero"`
	// Length of the piece; absent if the boards have no length
	Length length.Length `json:"length,omitzero"`
	// Value of one piece: its share of the board's price, by volume; 0 if the request gives no price
	Value endpoint.Money `json:"value"`
	// Whether the piece is too thin for one more leaf like the thinnest of the order, with truing pass, kerfs and
	// hold-back: price does not credit it
	TooThin bool `json:"too_thin"`
}

// PlanUnmet is what the boards do not give of a part or a kit.
type PlanUnmet struct {
	// Name of the part
	Part string `json:"part,omitzero"`
	// Name of the kit, in place of a part: a kit is given whole or not at all
	Kit string `json:"kit,omitzero"`
	// Number of copies, or of kits
	Quantity int `json:"quantity"`
	// Why: no board of its species, or sawn so; longer, wider or thicker than every board; more than the saw takes; a
	// defect in the way; its kit is unmet; the boards that it fits are used up
	Reason string `json:"reason,omitzero" enums:"species,sawn,too_long,too_wide,too_thick,saw,defect,kit,stock_used"`
	// What would help, any one of them, the cheapest first
	Cure []PlanCure `json:"cure"`
}

// PlanCure is more boards of a kind, or the least board to buy that gives one matched set or one kit.
type PlanCure struct {
	// Name of the boards; absent for a board to buy
	Board string `json:"board,omitzero"`
	// How many more of them
	Quantity int `json:"quantity,omitzero"`
	// Thickness of the least board to buy
	Thickness length.Length `json:"thickness,omitzero"`
	// Width of the least board to buy
	Width length.Length `json:"width,omitzero"`
	// Length of the least board to buy
	Length length.Length `json:"length,omitzero"`
	// What those boards cost; of a board to buy an estimate, by volume, from the cheapest of the order that is of its
	// species and sawn so; absent without prices
	Price endpoint.Money `json:"price,omitzero"`
}

// PlanWhatIf is an estimate of what a change would be worth.
type PlanWhatIf struct {
	// One more board of a kind, a thinner kerf or a smaller hold-back
	Change string `json:"change" enums:"extra_board,kerf,hold_back"`
	// The board of which there would be one more
	Board string `json:"board,omitzero"`
	// The kerf to use instead
	Kerf *length.Length `json:"kerf,omitzero"`
	// The shop's blade that has it
	Blade string `json:"blade,omitzero"`
	// The hold-back to use instead
	HoldBack *length.Length `json:"hold_back,omitzero"`
	// The shop's fixing that has it; absent if the hold-back is only half of the one used
	Fixing string `json:"fixing,omitzero"`
	// How much less the boards would cost: an estimate, not a plan
	SavingEstimate endpoint.Money `json:"saving_estimate"`
}

// PlanStats counts what the search did and what the plan comes to.
type PlanStats struct {
	// Number of elementary steps of the search
	Work int `json:"work"`
	// Number of ways to cut a board that it weighed
	Patterns int `json:"patterns"`
	// Number of boards taken
	BoardCount int `json:"board_count"`
	// Number of billets cut
	BilletCount int `json:"billet_count"`
	// Number of leaves sawn
	LeafCount int `json:"leaf_count"`
	// Number of passes of the resaw, truing passes included
	PassCount int `json:"pass_count"`
	// Number of changes of billet size or leaf thickness, the first included
	SetupCount int `json:"setup_count"`
	// Whether the search left something out for want of memory: what it proves holds, but more time may not help
	MemoryFull bool `json:"memory_full"`
}

// Ended returns what ended the search and how far the plan is from the best.
func (a *PlanAnswer) Ended() (stoppedBy string, gap float64) { return a.StoppedBy, a.Gap }

// Leaves counts the leaves.
func (a *PlanAnswer) Leaves() int { return a.Stats.LeafCount }
