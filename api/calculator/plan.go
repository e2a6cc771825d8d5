package calculator

import (
	"context"
	"slices"
	"time"

	"resawd/api/endpoint"
	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/plan/solver"
)

// PlanRequest asks which boards to cut for an order, and how.
type PlanRequest struct {
	Settings
	// The boards there are, a kind an entry
	Boards []PlanBoard `json:"boards,omitzero" validate:"required,min=1,max=2000,dive"`
	// The leaves wanted, a kind an entry; where the boards cannot give all, the first come first
	Parts []PlanPart `json:"parts,omitzero" validate:"required,min=1,max=2000,dive"`
	// Wood turned to dust by one resaw pass; the blade's by default
	Kerf *length.Length `json:"kerf,omitzero" validate:"omitempty,gte=0,within=..1m"`
	// Whether the kerf is as the blade is sold or measured, for the run sheets; the blade's by default,
	// nominal for a kerf given without it
	KerfBasis *string `json:"kerf_basis,omitzero" validate:"omitempty,oneof=nominal measured"`
	// How much wider a kerf may come, for tight; by default 0 where it is measured, else 0.005 in, or 0.13 mm with
	// units mm
	KerfMargin *length.Length `json:"kerf_margin,omitzero" validate:"omitempty,gte=0,within=..1in"`
	// Thickness taken off each billet by its truing pass; 0 means no such pass
	Skim *length.Length `json:"skim,omitzero" validate:"omitempty,gte=0,within=..1m" absent:"0"`
	// Name of a fixing in the shop file
	Fixing *string `json:"fixing,omitzero" validate:"omitempty,max=60"`
	// Thickness that stays fixed to the fence; the fixing's by default
	HoldBack *length.Length `json:"hold_back,omitzero" validate:"omitempty,gte=0,within=..10m"`
	// Kerf between billets side by side
	RipKerf *length.Length `json:"rip_kerf,omitzero" validate:"omitempty,gte=0,within=..1m" absent:"0.125in" metric:"3.2mm"`
	// Kerf between lengths
	CrosscutKerf *length.Length `json:"crosscut_kerf,omitzero" validate:"omitempty,gte=0,within=..1m" absent:"0.125in" metric:"3.2mm"`
	// Taken off each end of a board, its cut included
	EndTrim *length.Length `json:"end_trim,omitzero" validate:"omitempty,gte=0,within=..10m" absent:"0"`
	// How much thinner the boards may be, for tight
	ThicknessMargin *length.Length `json:"thickness_margin,omitzero" validate:"omitempty,gte=0,within=..1m" absent:"0"`
	// Elementary steps after which the search ends; the same request then always takes the same way
	WorkLimit *int `json:"work_limit,omitzero" validate:"omitempty,gte=1,lte=1000000000000"`
	// Time after which the search ends with the best plan it has, counted from when it begins; 10 by
	// default
	TimeLimitSeconds *float64 `json:"time_limit_seconds,omitzero" validate:"omitempty,gt=0,lte=60"`
}

// PlanBoard is boards that are all alike.
type PlanBoard struct {
	// What it is called, each by its own name; board 1, board 2 and so on by default
	Name *string `json:"name,omitzero" validate:"omitempty,min=1,max=50"`
	// Kind of wood
	Species *string `json:"species,omitzero" validate:"omitempty,max=60"`
	// How the growth rings stand in its face
	Sawn *string `json:"sawn,omitzero" validate:"omitempty,oneof=flat rift quarter"`
	// The direction resawing uses up
	Thickness *length.Length `json:"thickness,omitzero" validate:"required,gt=0,within=..100m"`
	// Across the grain; for all boards or for none
	Width *length.Length `json:"width,omitzero" validate:"omitempty,gt=0,within=..100m"`
	// Along the grain; for all boards or for none
	Length *length.Length `json:"length,omitzero" validate:"omitempty,gt=0,within=..100m"`
	// How many there are; as many as wanted without it
	Quantity *int `json:"quantity,omitzero" validate:"omitempty,gte=0,lte=1000000"`
	// What one costs; without prices the fewest boards are taken
	Price *endpoint.Money `json:"price,omitzero" validate:"omitempty,gte=0" absent:"1"`
	// Bow over the whole length, which each billet's truing pass takes off in its share
	Bow *length.Length `json:"bow,omitzero" validate:"omitempty,gte=0,within=..1m" absent:"0"`
	// Moisture content in percent of the ovendry mass, for the run sheets
	MoisturePct *float64 `json:"moisture_pct,omitzero" validate:"omitempty,gte=0,lte=250"`
	// Stretches that no billet may contain
	Defects []PlanDefect `json:"defects,omitzero" validate:"omitempty,max=100,dive"`
}

// PlanDefect is a stretch of a board, measured along the length.
type PlanDefect struct {
	// Where it begins, from one end
	From *length.Length `json:"from,omitzero" validate:"required,gte=0,within=..100m"`
	// Where it ends, from the same end
	To *length.Length `json:"to,omitzero" validate:"required,gte=0,within=..100m"`
}

// PlanPart is leaves that are all alike.
type PlanPart struct {
	// What they are for, each by its own name; part 1, part 2 and so on by default
	Name *string `json:"name,omitzero" validate:"omitempty,min=1,max=60"`
	// Kind of wood that they must be of; any by default
	Species *string `json:"species,omitzero" validate:"omitempty,max=60"`
	// How their board must be sawn; any way by default
	Sawn *string `json:"sawn,omitzero" validate:"omitempty,oneof=flat rift quarter"`
	// Of each
	Thickness *length.Length `json:"thickness,omitzero" validate:"required,gt=0,within=..100m"`
	// Across the grain; for all parts or for none
	Width *length.Length `json:"width,omitzero" validate:"omitempty,gt=0,within=..100m"`
	// Along the grain; for all parts or for none
	Length *length.Length `json:"length,omitzero" validate:"omitempty,gt=0,within=..100m"`
	// How many leaves, in whole matched sets
	Quantity *int `json:"quantity,omitzero" validate:"required,gte=0,lte=1000000"`
	// How many must be consecutive leaves of one billet
	Matched *int `json:"matched,omitzero" validate:"omitempty,gte=1,lte=10000" absent:"1"`
	// Leaves beyond the quantity, in whole matched sets
	Spare *int `json:"spare,omitzero" validate:"omitempty,gte=0,lte=1000000" absent:"0"`
}

// PlanAnswer is the plan.
type PlanAnswer struct {
	// Digest of the build, the shop file and used
	ID string `json:"id"`
	// optimal: the cost is proven least; feasible: it is at most the gap above it; infeasible: the boards
	// cannot give every part
	Status string `json:"status" enums:"optimal,feasible,infeasible"`
	// Why the search ended
	StoppedBy string `json:"stopped_by" enums:"proof,work,time,shutdown"`
	// Of the boards taken
	Cost endpoint.Money `json:"cost"`
	// Proven: with these boards and these cuts, no plan that delivers the same costs less
	LowerBound endpoint.Money `json:"lower_bound"`
	// How much of the cost lies above the lower bound, 0 to 1
	Gap float64 `json:"gap"`
	// Of every amount, from the shop file
	Currency string `json:"currency"`
	// The boards to cut
	Taken []PlanTaken `json:"taken"`
	// What the boards do not give
	Unmet []PlanUnmet `json:"unmet"`
	// Whether it is proven that no plan leaves less unmet, by the order of the parts
	UnmetProven bool `json:"unmet_proven"`
	// Estimates of what the same leaves would cost after a change
	WhatIf []PlanWhatIf `json:"what_if"`
	// What the search did and what the plan comes to
	Stats PlanStats `json:"stats"`
	// Where a hand or a lung is at risk
	Cautions []string `json:"cautions"`
	// Every input, given or defaulted
	Used *PlanRequest `json:"used"`
	endpoint.Notes

	call *endpoint.Call // that it answers
}

// PlanTaken is boards that are cut alike.
type PlanTaken struct {
	// Its name
	Board string `json:"board"`
	// How many are cut so
	Copies int `json:"copies"`
	// What is cut from each
	Billets []PlanBillet `json:"billets"`
}

// PlanBillet is a piece of a board, ready to resaw.
type PlanBillet struct {
	// What to write on it: the board, a letter for the way it is cut, a number
	Mark string `json:"mark"`
	// Where it begins along the length of the board
	From length.Length `json:"from"`
	// Where it begins across the width
	Across length.Length `json:"across"`
	// As cut; absent where the board is not crosscut
	Length length.Length `json:"length,omitzero"`
	// As cut; absent where the board is not ripped
	Width length.Length `json:"width,omitzero"`
	// Depth of its truing pass: the skim and its share of the bow
	Skim length.Length `json:"skim"`
	// In the order they are sawn
	Leaves []PlanLeaf `json:"leaves"`
	// Thickness left beyond the hold-back
	Remainder length.Length `json:"remainder"`
	// Whether fewer leaves come where the board is thinner by thickness_margin and every kerf wider by kerf_margin
	Tight bool `json:"tight"`
	// The request for its run sheet, ready to send; absent where the size of the board is not known or this shop's saw
	// cannot take the billet
	Run *RunRequest `json:"run,omitzero"`
}

// PlanLeaf is neighbouring leaves of one part.
type PlanLeaf struct {
	// Its name
	Part string `json:"part"`
	// How many
	Count int `json:"count"`
	// Of each
	Thickness length.Length `json:"thickness"`
	// How much longer the billet is than the part
	TrimLength length.Length `json:"trim_length"`
	// How much wider the billet is than the part
	TrimWidth length.Length `json:"trim_width"`
}

// PlanUnmet is what the boards do not give.
type PlanUnmet struct {
	// Its name
	Part string `json:"part"`
	// Leaves
	Quantity int `json:"quantity"`
}

// PlanWhatIf is an estimate of what a change would be worth.
type PlanWhatIf struct {
	// One more board of a kind, a thinner kerf or a smaller hold-back
	Change string `json:"change" enums:"extra_board,kerf,hold_back"`
	// The board of which there would be one more
	Board string `json:"board,omitzero"`
	// The kerf instead
	Kerf *length.Length `json:"kerf,omitzero"`
	// The shop's blade that has it
	Blade string `json:"blade,omitzero"`
	// The hold-back instead
	HoldBack *length.Length `json:"hold_back,omitzero"`
	// The shop's fixing that has it; absent where the value is only half of what is used
	Fixing string `json:"fixing,omitzero"`
	// How much less the boards would cost: an estimate, not a plan
	SavingEstimate endpoint.Money `json:"saving_estimate"`
}

// PlanStats counts what the search did and what the plan comes to.
type PlanStats struct {
	// Elementary steps of the search
	Work int `json:"work"`
	// Ways to cut a board that it weighed
	Patterns int `json:"patterns"`
	// Boards taken
	BoardCount int `json:"board_count"`
	// Billets cut
	BilletCount int `json:"billet_count"`
	// Leaves sawn
	LeafCount int `json:"leaf_count"`
	// Changes of billet size or leaf thickness, the first included
	SetupCount int `json:"setup_count"`
	// Whether the search left something out for want of memory: what it proves holds, but more time may not help
	MemoryFull bool `json:"memory_full"`
}

// PlanProgress is how far a search has come.
type PlanProgress struct {
	// Of the best plan so far
	Cost endpoint.Money `json:"cost"`
	// Proven so far: no plan costs less
	LowerBound endpoint.Money `json:"lower_bound"`
	// How much of the cost lies above the bound
	Gap float64 `json:"gap"`
	// Since the search began
	Seconds float64 `json:"seconds"`
}

// Ended tells what ended the search and how far the plan is from the best.
func (a *PlanAnswer) Ended() (stoppedBy string, gap float64) { return a.StoppedBy, a.Gap }

// Leaves counts the leaves.
func (a *PlanAnswer) Leaves() int { return a.Stats.LeafCount }

// The limits of a search.
const (
	DefaultPlanTime = 10 * time.Second
	MaxPlanTime     = 60 * time.Second
)

// Plan answers with the plan of an order.
//
//	@Summary		The boards to cut for an order
//	@Description	Chooses which boards to take, how to crosscut and rip each into billets and which leaves to saw from each billet, at the least cost, and says how much of the cost another plan with these boards and these cuts could save at most. Every kerf, the truing pass, the hold-back, trimmed ends, bow and defects are counted; matched sets come from consecutive leaves of one billet; parts do not turn against the grain. What the boards cannot give is listed as unmet. With no widths and lengths only the thickness counts. A plan takes 2000 kinds of boards and 2000 of parts, 20000 leaves in all, and a price of at most 20000000 a board. Each billet has the request for its run sheet. A long search reports its progress to whoever accepts text/event-stream: events named progress, at the end one named result or problem.
//	@ID				plan
//	@Tags			before the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		PlanRequest	true	"The fields of the plan"
//	@Success		200		{object}	PlanAnswer
//	@Success		206		{object}	PlanProgress	"what the generator of the document finds here is an event of progress"
//	@Router			/v1/plan [post]
func Plan(c *endpoint.Call, q *PlanRequest) (*PlanAnswer, error) {
	order := planOrder(c, q)
	if err := c.Checked(); err != nil {
		return nil, err
	}
	p, err := searchPlan(c, q, order)
	if err != nil {
		return nil, err
	}
	a := planAnswer(c, q, p)
	a.ID, a.call = c.Digest(q), c
	a.Sources = planSources
	warnPlan(c, q, a)
	return a, nil
}

// RunSheet gives the run sheet of a billet that has a request for it.
func (a *PlanAnswer) RunSheet(b *PlanBillet) (*RunAnswer, error) {
	q := *b.Run
	q.Leaves = slices.Clone(q.Leaves) // what is filled in stays out of the plan
	return endpoint.Within(a.call, Run, &q)
}

var planSources = []string{
	"pieces fit where the sum of (size + kerf) is at most room + kerf; leaves where skim, kerfs, leaves and hold-back add up to the thickness (definition)",
	"search: Gilmore and Gomory, Operations Research 9 (1961) 849-859, and 13 (1965) 94-120; Chvatal, Linear Programming (1983), chapter 13",
	"bow falls with the square of the length (geometry of a shallow arc)",
	"a shallow arc, one kerf between pieces, trimmed ends: how a shop breaks boards down (common practice)",
}

// searchPlan looks for the plan within its limits.
func searchPlan(c *endpoint.Call, q *PlanRequest, order plan.Order) (*plan.Plan, error) {
	options := solver.Options{WhatIf: alternatives(c, q)}
	if q.WorkLimit != nil {
		options.WorkLimit = int64(*q.WorkLimit)
	}
	var found *plan.Plan
	limit := time.Duration(*q.TimeLimitSeconds * float64(time.Second))
	err := c.Search.Run(c, limit, func(ctx context.Context) (err error) {
		options.Progress = progressOf(c.Search.Progress, time.Now())
		found, err = solver.Solve(ctx, order, options)
		return err
	})
	return found, err
}

// progressOf passes progress on to whoever wants it.
func progressOf(tell func(any), start time.Time) func(solver.Progress) {
	if tell == nil {
		return nil
	}
	return func(p solver.Progress) {
		tell(PlanProgress{endpoint.Money(p.Cost), endpoint.Money(p.LowerBound), p.Gap, time.Since(start).Round(time.Millisecond).Seconds()})
	}
}
