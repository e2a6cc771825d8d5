package calculator

import (
	"resawd/api/endpoint"
	"resawd/calc/length"
	"resawd/calc/yield"
)

// YieldRequest asks how many leaves a board gives.
type YieldRequest struct {
	Settings
	// Thickness of the board as mounted, from the fence to its highest point
	BoardThickness *length.Length `json:"board_thickness,omitzero" validate:"required,gt=0,within=..10m"`
	// Thickness of every leaf
	LeafThickness *length.Length `json:"leaf_thickness,omitzero" validate:"required,gt=0,within=..1m"`
	// Wood turned to dust by one pass; the blade's by default
	Kerf *length.Length `json:"kerf,omitzero" validate:"omitempty,gte=0,within=..1m"`
	// Whether the kerf is as the blade is sold or measured; the blade's by default, nominal for a kerf given without it
	KerfBasis *string `json:"kerf_basis,omitzero" validate:"omitempty,oneof=nominal measured"`
	// How much wider a kerf may come; by default 0 where it is measured, else 0.005 in, or 0.13 mm with units mm
	KerfMargin *length.Length `json:"kerf_margin,omitzero" validate:"omitempty,gte=0,within=..1in"`
	// Thickness taken off by a truing pass; 0 means no such pass
	Skim *length.Length `json:"skim,omitzero" validate:"omitempty,gte=0,within=..1m" absent:"0"`
	// Name of a fixing in the shop file
	Fixing *string `json:"fixing,omitzero" validate:"omitempty,max=60"`
	// Thickness that stays fixed to the fence; the fixing's by default
	HoldBack *length.Length `json:"hold_back,omitzero" validate:"omitempty,gte=0,within=..10m"`
	// fence saws every leaf off; rest counts what remains as the last leaf, which wants a flat back, a fixing
	// without metal that lets go, and hold_back 0
	LastLeaf *string `json:"last_leaf,omitzero" validate:"omitempty,oneof=fence rest" absent:"fence"`
	// Number of leaves that thickest_leaf and board_needed are for; leaf_count without it
	Wanted *int `json:"wanted,omitzero" validate:"omitempty,gte=1,lte=10000"`
	// How much thinner the board may be than board_thickness
	ThicknessMargin *length.Length `json:"thickness_margin,omitzero" validate:"omitempty,gte=0,within=..1m" absent:"0"`
}

// YieldAnswer is what a board gives.
type YieldAnswer struct {
	// Number of leaves that the board gives
	LeafCount int `json:"leaf_count"`
	// Number of leaves that it gives if it is thinner by thickness_margin and every kerf is wider by kerf_margin
	LeafCountLeast int `json:"leaf_count_least"`
	// Number of cuts, the truing pass included
	CutCount int `json:"cut_count"`
	// Kerf and leaf together
	Advance length.Length `json:"advance"`
	// Thickness that the truing pass uses up: skim and kerf
	SkimLoss length.Length `json:"skim_loss"`
	// All of the thickness that stays on the fence
	LeftOnFence length.Length `json:"left_on_fence"`
	// Thickness that stays beyond the hold-back
	Remainder length.Length `json:"remainder"`
	// Thickness of the last leaf where it is the rest
	LastLeafThickness *length.Length `json:"last_leaf_thickness,omitzero"`
	// Leaf wood out divided by wood in, 0 to 1
	Recovery float64 `json:"recovery"`
	// Share of the board that the kerfs turn to dust, as price takes it, 0 to 1
	KerfShare float64 `json:"kerf_share"`
	// Extra board thickness that gives one more leaf
	ShortBy length.Length `json:"short_by"`
	// Thickest leaf of which the board gives as many as wanted, by default leaf_count; 0 where kerfs use it up
	ThickestLeaf length.Length `json:"thickest_leaf"`
	// The same if the board is thinner by thickness_margin and every kerf is wider by kerf_margin
	ThickestLeafLeast length.Length `json:"thickest_leaf_least"`
	// Thickness of board that so many leaves of leaf_thickness need
	BoardNeeded length.Length `json:"board_needed"`
	// Whether leaf_count_least is less than leaf_count
	Tight bool `json:"tight"`
	// Every input, given or defaulted
	Used *YieldRequest `json:"used"`
	endpoint.Notes
}

// Leaves counts the leaves.
func (a *YieldAnswer) Leaves() int { return a.LeafCount }

var lastLeaves = map[string]yield.LastLeaf{"fence": yield.Fence, "rest": yield.Rest}

// Yield answers how many leaves a board gives.
//
//	@Summary		How many leaves a board gives
//	@Description	Counts the leaves between a truing pass and the hold-back, kerf by kerf in whole nanometres, with what stays on the fence and how much thicker the board must be for one leaf more. For a number of leaves wanted it tells how thick they can be, and how thick a board they need.
//	@ID				yield
//	@Tags			before the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		YieldRequest	true	"The fields of the calculator"
//	@Success		200		{object}	YieldAnswer
//	@Router			/v1/yield [post]
func Yield(c *endpoint.Call, q *YieldRequest) (*YieldAnswer, error) {
	_, blade := machine(c, &q.Settings)
	fillKerf(c, blade, &q.Kerf, &q.KerfBasis)
	fillKerfMargin(c, q.KerfBasis, &q.KerfMargin)
	last := lastLeaves[*q.LastLeaf]
	if last == yield.Rest {
		orDefault(&q.HoldBack, 0)
	}
	fixing := findFixing(c, q.Fixing)
	if q.Fixing != nil {
		checkRest(c, *q.LastLeaf, fixing)
	}
	fill(c, "hold_back", &q.HoldBack, fixing.HoldBack, owner{&q.Fixing, &fixing.Name})
	board := yield.Input{
		BoardThickness: *q.BoardThickness, LeafThickness: *q.LeafThickness, Kerf: *q.Kerf, Skim: *q.Skim,
		HoldBack: *q.HoldBack, LastLeaf: last, ThicknessMargin: *q.ThicknessMargin, KerfMargin: *q.KerfMargin,
	}
	y, err := yield.Leaves(board)
	if err != nil {
		return nil, err
	}
	wanted := y.LeafCount
	if q.Wanted != nil {
		wanted = *q.Wanted
	}
	a := &YieldAnswer{
		LeafCount: y.LeafCount, LeafCountLeast: y.LeafCountLeast, CutCount: y.CutCount, Advance: y.Advance, SkimLoss: y.SkimLoss, LeftOnFence: y.LeftOnFence,
		Remainder: y.Remainder, Recovery: y.Recovery, KerfShare: y.KerfShare, ShortBy: y.ShortBy, Tight: y.Tight, Used: q,
		BoardNeeded: yield.Needed(board, wanted),
	}
	a.ThickestLeaf, a.ThickestLeafLeast = yield.ThickestLeaf(board, wanted)
	if last == yield.Rest {
		a.LastLeafThickness = &y.LastLeafThickness
	}
	a.Sources = []string{"leaf_count is the largest n with skim loss + n x (kerf + leaf) + hold-back within the board (definition)"}
	return a, nil
}
