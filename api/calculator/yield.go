package calculator

import (
	"resawd/api/endpoint"
	"resawd/calc/length"
	"resawd/calc/yield"
)

// YieldRequest asks how many leaves a board gives.
type YieldRequest struct {
	Settings
	BoardThickness  *length.Length `json:"board_thickness,omitzero" validate:"required,gt=0,within=..10m" example:"0.5"`                                // Thickness of the board as mounted, from the fence to its highest point
	LeafThickness   *length.Length `json:"leaf_thickness,omitzero" validate:"required,gt=0,within=..1m" example:"0.05"`                                 // Thickness of every leaf
	Kerf            *length.Length `json:"kerf,omitzero" validate:"omitempty,gte=0,within=..1m" example:"0.045"`                                        // Wood turned to dust by one pass; the blade's by default
	Skim            *length.Length `json:"skim,omitzero" validate:"omitempty,gte=0,within=..1m" example:"0.05"`                                         // Thickness taken off by a truing pass; 0 by default, which means no such pass
	Fixing          *string        `json:"fixing,omitzero" validate:"omitempty,max=60" example:"tape"`                                                  // Name of a fixing in the shop file
	HoldBack        *length.Length `json:"hold_back,omitzero" validate:"omitempty,gte=0,within=..10m" example:"0.125"`                                  // Thickness that stays fixed to the fence; the fixing's by default
	LastLeaf        *string        `json:"last_leaf,omitzero" validate:"omitempty,oneof=fence rest" enums:"fence,rest" default:"fence" example:"fence"` // fence saws every leaf off; rest counts what remains as the last leaf, which wants a flat back, a fixing that lets go, and hold_back 0
	ThicknessMargin *length.Length `json:"thickness_margin,omitzero" validate:"omitempty,gte=0,within=..1m" example:"0.01"`                             // How far off the board's thickness may be before tight looks; 0 by default
}

// YieldAnswer is what a board gives.
type YieldAnswer struct {
	LeafCount         int            `json:"leaf_count" example:"2"`                      // Leaves that the board gives
	CutCount          int            `json:"cut_count" example:"3"`                       // Cuts, with the truing pass
	Advance           length.Length  `json:"advance" example:"0.095"`                     // Kerf and leaf together
	SkimLoss          length.Length  `json:"skim_loss" example:"0.095"`                   // What the truing pass uses up: skim and kerf
	LeftOnFence       length.Length  `json:"left_on_fence" example:"0.215"`               // All that stays on the fence
	Remainder         length.Length  `json:"remainder" example:"0.09"`                    // What stays beyond the hold-back
	LastLeafThickness *length.Length `json:"last_leaf_thickness,omitzero" example:"0.12"` // How thick the last leaf comes where it is the rest
	Recovery          float64        `json:"recovery" example:"0.2"`                      // Leaf wood out over wood in, 0 to 1
	ShortBy           length.Length  `json:"short_by" example:"0.005"`                    // Extra board thickness that gives one more leaf
	Tight             bool           `json:"tight" example:"true"`                        // Whether the count would change within thickness_margin
	Used              *YieldRequest  `json:"used"`                                        // Every input, given or defaulted
	endpoint.Notes
}

func (a *YieldAnswer) Leaves() int { return a.LeafCount }

// Yield answers how many leaves a board gives.
//
//	@Summary		How many leaves a board gives
//	@Description	Counts the leaves between a truing pass and the hold-back, kerf by kerf in whole nanometres, with what stays on the fence and how much thicker the board must be for one leaf more.
//	@ID				yield
//	@Tags			before the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		YieldRequest	true	"The fields of the calculator"
//	@Success		200		{object}	YieldAnswer
//	@Router			/v1/yield [post]
func Yield(c *endpoint.Call, q *YieldRequest) (*YieldAnswer, error) {
	_, blade := machine(c, &q.Settings)
	fill(c, "kerf", &q.Kerf, blade.Kerf, &q.Blade, &blade.Name)
	orDefault(&q.Skim, 0)
	orDefault(&q.LastLeaf, "fence")
	orDefault(&q.ThicknessMargin, 0)
	last := yield.Fence
	if *q.LastLeaf == "rest" {
		last = yield.Rest
		orDefault(&q.HoldBack, 0)
	}
	fixing := findFixing(c, q.Fixing)
	fill(c, "hold_back", &q.HoldBack, fixing.HoldBack, &q.Fixing, &fixing.Name)
	y, err := yield.Leaves(yield.Input{
		BoardThickness: *q.BoardThickness, LeafThickness: *q.LeafThickness, Kerf: *q.Kerf, Skim: *q.Skim,
		HoldBack: *q.HoldBack, LastLeaf: last, ThicknessMargin: *q.ThicknessMargin,
	})
	if err != nil {
		return nil, err
	}
	a := &YieldAnswer{
		LeafCount: y.LeafCount, CutCount: y.CutCount, Advance: y.Advance, SkimLoss: y.SkimLoss, LeftOnFence: y.LeftOnFence,
		Remainder: y.Remainder, Recovery: y.Recovery, ShortBy: y.ShortBy, Tight: y.Tight, Used: q,
	}
	if last == yield.Rest {
		a.LastLeafThickness = &y.LastLeafThickness
	}
	a.Sources = []string{"leaf_count is the largest n with skim loss + n x (kerf + leaf) + hold-back within the board (definition)"}
	return a, nil
}
