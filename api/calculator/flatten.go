package calculator

import (
	"resawd/api/endpoint"
	"resawd/api/shop"
	"resawd/calc/flatten"
	"resawd/calc/length"
)

// FlattenRequest asks what a warped board costs.
type FlattenRequest struct {
	Settings
	// Thickness of the board by the caliper, at the thicker end
	Thickness *length.Length `json:"thickness,omitzero" validate:"required,gt=0,within=..10m"`
	// Thickness at the thinner end; that of the thicker end by default
	ThinEnd *length.Length `json:"thin_end,omitzero" validate:"omitempty,gt=0,within=..10m"`
	// Width of the board, which stands in the blade
	Width *length.Length `json:"width,omitzero" validate:"required,gt=0,within=..3m"`
	// Length of the board
	Length *length.Length `json:"length,omitzero" validate:"required,gt=0,within=..30m"`
	// How far the wide face is off straight, end to end
	Bow *length.Length `json:"bow,omitzero" validate:"omitempty,gte=0,within=..10m" absent:"0"`
	// How far the wide face is off straight, edge to edge
	Cup *length.Length `json:"cup,omitzero" validate:"omitempty,gte=0,within=..1m" absent:"0"`
	// Lift of one corner while the other three lie flat
	Twist *length.Length `json:"twist,omitzero" validate:"omitempty,gte=0,within=..10m" absent:"0"`
	// How far the edge is off straight, end to end
	Crook *length.Length `json:"crook,omitzero" validate:"omitempty,gte=0,within=..3m" absent:"0"`
	// shimmed fills the gaps behind the board; pulled_flat pulls the bow out
	Mounting *string `json:"mounting,omitzero" validate:"omitempty,oneof=shimmed pulled_flat" absent:"shimmed"`
	// Wood turned to dust by one pass; the blade's by default
	Kerf *length.Length `json:"kerf,omitzero" validate:"omitempty,gt=0,within=..1in"`
	// Name of a fixing in the shop file; the one that holds this board with the least hold-back by default
	Fixing *string `json:"fixing,omitzero" validate:"omitempty,max=60"`
	// Board thickness that the fixing needs; the fixing's by default
	HoldBack *length.Length `json:"hold_back,omitzero" validate:"omitempty,gte=0,within=..10m"`
	// Kerf of a crosscut
	CrosscutKerf *length.Length `json:"crosscut_kerf,omitzero" validate:"omitempty,gte=0,within=..1in" absent:"0.125in" metric:"3.2mm"`
	// The shortest piece that is of use; the shop's smallest billet by default
	ShortestPiece *length.Length `json:"shortest_piece,omitzero" validate:"omitempty,gt=0,within=..30m"`
}

// FlattenAnswer is what truing costs, whole and crosscut first.
type FlattenAnswer struct {
	// Thickness to take off the front with the truing cut
	Skim length.Length `json:"skim"`
	// Thickness to leave on the fence: what the fixing needs, and the gap behind the board
	HoldBackNeeded length.Length `json:"hold_back_needed"`
	// Widest gap between fence and board
	Gap length.Length `json:"gap"`
	// Thickness from the fence to the highest point, which is the board thickness of a run
	MountedThickness length.Length `json:"mounted_thickness"`
	// Number of truing cuts
	TruingCuts int `json:"truing_cuts"`
	// Thickness left for leaves and their kerfs
	ThicknessLeft length.Length `json:"thickness_left"`
	// Width left after the lower edge is trued
	WidthLeft length.Length `json:"width_left"`
	// Bow that comes back when a board that was pulled flat is let go
	SpringsBack length.Length `json:"springs_back"`
	// Share of the board's volume that is left for leaves and their kerfs
	Share float64 `json:"share"`
	// The same figures for the board crosscut into two pieces or more
	Shorter []ShorterBoard `json:"shorter"`
	// Number of pieces that leaves most of the board; 1 is the board as it is
	BestPieces int `json:"best_pieces"`
	// Which face to put to the fence, and how
	Face string `json:"face"`
	// A fixing of the shop that holds the board, with the least hold-back; absent where none does
	BestFixing string `json:"best_fixing,omitzero"`
	// Cautions where a hand or a lung is at risk
	Cautions []string `json:"cautions"`
	// Every input, given or defaulted
	Used *FlattenRequest `json:"used"`
	endpoint.Notes
}

// ShorterBoard is a board crosscut into pieces.
type ShorterBoard struct {
	// Number of pieces
	Pieces int `json:"pieces"`
	// Length of each piece
	Length length.Length `json:"length"`
	// Thickness to take off the front of each piece
	Skim length.Length `json:"skim"`
	// Thickness of each piece to leave on the fence
	HoldBackNeeded length.Length `json:"hold_back_needed"`
	// Thickness of a piece from the fence to its highest point
	MountedThickness length.Length `json:"mounted_thickness"`
	// Thickness left for leaves and their kerfs
	ThicknessLeft length.Length `json:"thickness_left"`
	// Thickness gained over the board as it is
	Saved length.Length `json:"saved"`
	// Share of the whole board's volume that is left
	Share float64 `json:"share"`
}

// Table gives the rows that csv shows.
func (a *FlattenAnswer) Table() any { return a.Shorter }

var mountings = map[string]flatten.Mounting{"shimmed": flatten.Shimmed, "pulled_flat": flatten.PulledFlat}

// Flatten answers what a warped board costs.
//
//	@Summary		What a warped board costs, and whether to crosscut it first
//	@Description	Gives the skim of the truing cut, the hold-back for the gap behind the board, the thickness as mounted and what is left for leaves, of a board with bow, cup, twist, crook or a wedge, shimmed or pulled flat; the same for the board crosscut into up to four pieces, since bow falls with the square of the length; which face goes to the fence, and which fixing holds it.
//	@ID				flatten
//	@Tags			before the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		FlattenRequest	true	"The fields of the calculator"
//	@Success		200		{object}	FlattenAnswer
//	@Router			/v1/flatten [post]
func Flatten(c *endpoint.Call, q *FlattenRequest) (*FlattenAnswer, error) {
	best := fillFlatten(c, q)
	if err := c.Checked(); err != nil {
		return nil, err
	}
	board := flatten.Board{
		Thickness: *q.Thickness, ThinEnd: *q.ThinEnd, Width: *q.Width, Length: *q.Length,
		Bow: *q.Bow, Cup: *q.Cup, Twist: *q.Twist, Crook: *q.Crook,
	}
	plan, err := flatten.Choose(board, flatten.Setup{
		Mounting: mountings[*q.Mounting], Kerf: *q.Kerf, HoldBack: *q.HoldBack, CrosscutKerf: *q.CrosscutKerf, ShortestPiece: *q.ShortestPiece,
	})
	if err != nil {
		return nil, err
	}
	a := &FlattenAnswer{
		Skim: plan.Skim, HoldBackNeeded: plan.HoldBack, Gap: plan.Gap, MountedThickness: plan.MountedThickness,
		TruingCuts: plan.TruingCuts, ThicknessLeft: plan.ThicknessLeft, WidthLeft: plan.WidthLeft,
		SpringsBack: plan.SpringsBack, Share: plan.Share, Shorter: make([]ShorterBoard, len(plan.Shorter)), BestPieces: plan.Best,
		Face: faceWords(q), Cautions: sawCautions(), Used: q,
	}
	for i, s := range plan.Shorter {
		a.Shorter[i] = ShorterBoard{s.Pieces, s.Length, s.Skim, s.HoldBack, s.MountedThickness, s.ThicknessLeft, s.ThicknessLeft - plan.ThicknessLeft, s.Share}
	}
	if best != nil {
		a.BestFixing = best.Name
	}
	warnFlatten(c, q, &plan)
	a.Sources = []string{
		"warp as the trade measures it: NELMA 2024, paragraph 752; Wood Handbook, glossary",
		"bow falls with the square of the length: s = R - sqrt(R^2 - (c/2)^2) (geometry)",
		"loss at both faces of a board that is not pulled flat (definition); faces and fixings: common practice",
	}
	return a, nil
}

// fillFlatten fills in what the request leaves out. It returns the fixing that holds
// the board with the least hold-back, nil if none does.
func fillFlatten(c *endpoint.Call, q *FlattenRequest) *shop.Fixing {
	_, blade := machine(c, &q.Settings)
	orDefault(&q.ThinEnd, *q.Thickness)
	fill(c, "kerf", &q.Kerf, blade.Kerf, blade.owner)
	fill(c, "shortest_piece", &q.ShortestPiece, c.Shop.SmallestBillet.Length, theShop)
	gap := *q.Cup + *q.Twist
	if *q.Mounting == "shimmed" {
		gap += *q.Bow
	}
	best := bestFixing(c.Shop, *q.Length, gap)
	if q.Fixing == nil && q.HoldBack == nil && best != nil {
		q.Fixing = &best.Name
	}
	if q.Fixing != nil || q.HoldBack == nil {
		fillHoldBack(c, &q.Fixing, &q.HoldBack)
	}
	return best
}

// bestFixing finds the fixing with the least hold-back that holds a board of a length
// across a gap.
func bestFixing(s *shop.Shop, l, gap length.Length) (best *shop.Fixing) {
	for i := range s.Fixings {
		f := &s.Fixings[i]
		if fixingOf(f).Holds(l, gap) && (best == nil || *f.HoldBack < *best.HoldBack) {
			best = f
		}
	}
	return best
}

// fixingOf is what calculations know of a fixing of the shop.
func fixingOf(f *shop.Fixing) flatten.Fixing {
	return flatten.Fixing{Longest: endpoint.ValueOr(f.Longest, 0), Metal: *f.MetalDepth > 0}
}

// faceWords says which face to put to the fence.
func faceWords(q *FlattenRequest) string {
	switch {
	case *q.Twist > 0:
		return "either face to the fence, its two high corners shimmed alike"
	case *q.Bow > 0 && *q.Mounting == "pulled_flat":
		return "hollow face to the fence, pulled in at the middle"
	case *q.Bow > 0 || *q.Cup > 0:
		return "hollow face to the fence: so it stands on its ends or edges and does not rock; fill the gap with shims where it is fixed"
	}
	return "the better face to the fence"
}

func warnFlatten(c *endpoint.Call, q *FlattenRequest, p *flatten.Plan) {
	if p.SpringsBack > 0 {
		c.Warn("pulled flat, the board springs back by " + rounded(c, p.SpringsBack) + " when it is let go: the rest and the leaves come off bowed")
	}
	if *q.Crook > 0 {
		c.Warn("the crook keeps the lower edge " + rounded(c, *q.Crook) + " off the table: true that edge first, or shim it")
	}
	if p.ThicknessLeft <= 0 {
		c.Warn("nothing is left of the board as it is: crosscut it first")
	}
	if q.Fixing == nil {
		return
	}
	fixing := findFixing(c, q.Fixing)
	if !fixingOf(fixing).Holds(*q.Length, p.Gap) {
		c.Warn("the fixing " + fixing.Name + " does not hold this board: it is too long for it, or stands off the fence, where only screws through shims hold")
	}
}
