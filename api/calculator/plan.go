package calculator

import (
	"context"
	"time"

	"resawd/api/endpoint"
	"resawd/calc/length"
	"resawd/calc/plan"
)

// PlanRequest asks which boards to cut for an order, and how.
type PlanRequest struct {
	Settings
	Boards           []PlanBoard    `json:"boards,omitzero" validate:"required,min=1,max=2000,dive"`                                                     // The boards there are, a kind an entry
	Parts            []PlanPart     `json:"parts,omitzero" validate:"required,min=1,max=2000,dive"`                                                      // The leaves wanted, a kind an entry; where the boards cannot give all, the first come first
	Kerf             *length.Length `json:"kerf,omitzero" validate:"omitempty,gte=0,within=..1m" example:"0.045"`                                        // Wood turned to dust by one resaw pass; the blade's by default
	KerfBasis        *string        `json:"kerf_basis,omitzero" validate:"omitempty,oneof=nominal measured" enums:"nominal,measured" example:"measured"` // Whether the kerf is as the blade is sold or measured, for the run sheets; the blade's by default, nominal for a kerf given without it
	Skim             *length.Length `json:"skim,omitzero" validate:"omitempty,gte=0,within=..1m" example:"0.03"`                                         // Thickness taken off each billet by its truing pass; 0 by default, which means no such pass
	Fixing           *string        `json:"fixing,omitzero" validate:"omitempty,max=60" example:"glue"`                                                  // Name of a fixing in the shop file
	HoldBack         *length.Length `json:"hold_back,omitzero" validate:"omitempty,gte=0,within=..10m" example:"0.125"`                                  // Thickness that stays fixed to the fence; the fixing's by default
	RipKerf          *length.Length `json:"rip_kerf,omitzero" validate:"omitempty,gte=0,within=..1m" example:"0.125"`                                    // Kerf between billets side by side; 0.125 in by default
	CrosscutKerf     *length.Length `json:"crosscut_kerf,omitzero" validate:"omitempty,gte=0,within=..1m" example:"0.125"`                               // Kerf between lengths; 0.125 in by default
	EndTrim          *length.Length `json:"end_trim,omitzero" validate:"omitempty,gte=0,within=..10m" example:"0.5"`                                     // Taken off each end of a board, its cut included; 0 by default
	ThicknessMargin  *length.Length `json:"thickness_margin,omitzero" validate:"omitempty,gte=0,within=..1m" example:"0.02"`                             // A billet with less than this to spare is marked tight; 0 by default
	WorkLimit        *int           `json:"work_limit,omitzero" validate:"omitempty,gte=1,lte=1000000000000" example:"1000000000"`                       // Elementary steps after which the search ends; the same request then always takes the same way
	TimeLimitSeconds *float64       `json:"time_limit_seconds,omitzero" validate:"omitempty,gt=0,lte=60" example:"10"`                                   // Time after which the search ends with the best plan it has, counted from when it is its turn; 10 by default
}

// PlanBoard is boards that are all alike.
type PlanBoard struct {
	Name      *string         `json:"name,omitzero" validate:"omitempty,min=1,max=50" example:"walnut-1"`                   // What it is called, each by its own name; board 1, board 2 and so on by default
	Species   *string         `json:"species,omitzero" validate:"omitempty,max=60" example:"walnut, black"`                 // Kind of wood
	Sawn      *string         `json:"sawn,omitzero" validate:"omitempty,oneof=flat rift quarter" enums:"flat,rift,quarter"` // How the growth rings stand in its face
	Thickness *length.Length  `json:"thickness,omitzero" validate:"required,gt=0,within=..100m" example:"2"`                // The direction resawing uses up
	Width     *length.Length  `json:"width,omitzero" validate:"omitempty,gt=0,within=..100m" example:"8"`                   // Across the grain; for all boards or for none
	Length    *length.Length  `json:"length,omitzero" validate:"omitempty,gt=0,within=..100m" example:"48"`                 // Along the grain; for all boards or for none
	Quantity  *int            `json:"quantity,omitzero" validate:"omitempty,gte=0,lte=1000000" example:"2"`                 // How many there are; as many as wanted without it
	Price     *endpoint.Money `json:"price,omitzero" validate:"omitempty,gte=0" example:"64.5"`                             // What one costs; 1 by default, so that without prices the fewest boards are taken
	Bow       *length.Length  `json:"bow,omitzero" validate:"omitempty,gte=0,within=..1m" example:"0.0625"`                 // Bow over the whole length, which each billet's truing pass takes off in its share; 0 by default
	Defects   []PlanDefect    `json:"defects,omitzero" validate:"omitempty,max=100,dive"`                                   // Stretches that no billet may contain
}

// PlanDefect is a stretch of a board, measured along the length.
type PlanDefect struct {
	From *length.Length `json:"from,omitzero" validate:"required,gte=0,within=..100m" example:"20"` // Where it begins, from one end
	To   *length.Length `json:"to,omitzero" validate:"required,gte=0,within=..100m" example:"22"`   // Where it ends, from the same end
}

// PlanPart is leaves that are all alike.
type PlanPart struct {
	Name      *string        `json:"name,omitzero" validate:"omitempty,min=1,max=60" example:"back"`                       // What they are for, each by its own name; part 1, part 2 and so on by default
	Species   *string        `json:"species,omitzero" validate:"omitempty,max=60" example:"walnut, black"`                 // Kind of wood that they must be of; any by default
	Sawn      *string        `json:"sawn,omitzero" validate:"omitempty,oneof=flat rift quarter" enums:"flat,rift,quarter"` // How their board must be sawn; any way by default
	Thickness *length.Length `json:"thickness,omitzero" validate:"required,gt=0,within=..100m" example:"0.14"`             // Of each
	Width     *length.Length `json:"width,omitzero" validate:"omitempty,gt=0,within=..100m" example:"7.5"`                 // Across the grain; for all parts or for none
	Length    *length.Length `json:"length,omitzero" validate:"omitempty,gt=0,within=..100m" example:"20"`                 // Along the grain; for all parts or for none
	Quantity  *int           `json:"quantity,omitzero" validate:"required,gte=0,lte=1000000" example:"4"`                  // How many leaves, in whole matched sets
	Matched   *int           `json:"matched,omitzero" validate:"omitempty,gte=1,lte=10000" example:"2"`                    // How many must be consecutive leaves of one billet; 1 by default
	Spare     *int           `json:"spare,omitzero" validate:"omitempty,gte=0,lte=1000000" example:"2"`                    // Leaves beyond the quantity, in whole matched sets; 0 by default
}

// PlanAnswer is the plan.
type PlanAnswer struct {
	ID          string         `json:"id" example:"5f1d7a84325d1b67"`                                // Digest of the build and of used
	Status      string         `json:"status" enums:"optimal,feasible,infeasible" example:"optimal"` // optimal: the cost is proven least; feasible: it is at most the gap above it; infeasible: the boards cannot give every part
	StoppedBy   string         `json:"stopped_by" enums:"proof,work,time" example:"proof"`           // Why the search ended
	Cost        endpoint.Money `json:"cost" example:"129"`                                           // Of the boards taken
	LowerBound  endpoint.Money `json:"lower_bound" example:"129"`                                    // What nobody can go below and deliver the same
	Gap         float64        `json:"gap" example:"0"`                                              // How much of the cost lies above the lower bound, 0 to 1
	Currency    string         `json:"currency" example:"USD"`                                       // Of every amount, from the shop file
	Taken       []PlanTaken    `json:"taken"`                                                        // The boards to cut
	Unmet       []PlanUnmet    `json:"unmet"`                                                        // What the boards do not give
	UnmetProven bool           `json:"unmet_proven" example:"true"`                                  // Whether it is proven that no plan leaves less unmet, by the order of the parts
	WhatIf      []PlanWhatIf   `json:"what_if"`                                                      // Estimates of what the same leaves would cost after a change
	Stats       PlanStats      `json:"stats"`                                                        // What the search did and what the plan comes to
	Used        *PlanRequest   `json:"used"`                                                         // Every input, given or defaulted
	endpoint.Notes
}

// PlanTaken is boards that are cut alike.
type PlanTaken struct {
	Board   string       `json:"board" example:"walnut-1"` // Its name
	Copies  int          `json:"copies" example:"2"`       // How many are cut so
	Billets []PlanBillet `json:"billets"`                  // What is cut from each
}

// PlanBillet is a piece of a board, ready to resaw.
type PlanBillet struct {
	Mark      string        `json:"mark" example:"walnut-1 A2"`   // What to write on it: the board, a letter for the way it is cut, a number
	From      length.Length `json:"from" example:"0.5"`           // Where it begins along the length of the board
	Across    length.Length `json:"across" example:"0"`           // Where it begins across the width
	Length    length.Length `json:"length,omitzero" example:"20"` // As cut; absent where the board is not crosscut
	Width     length.Length `json:"width,omitzero" example:"7.5"` // As cut; absent where the board is not ripped
	Skim      length.Length `json:"skim" example:"0.03"`          // Depth of its truing pass: the skim and its share of the bow
	Leaves    []PlanLeaf    `json:"leaves"`                       // In the order they are sawn
	Remainder length.Length `json:"remainder" example:"0.09"`     // Thickness left beyond the hold-back
	Tight     bool          `json:"tight" example:"false"`        // Whether less is left than the thickness margin
	Run       *RunRequest   `json:"run,omitzero"`                 // The request for its run sheet, ready to send; absent where the size of the board is not known or a run could not hold it
}

// PlanLeaf is neighbouring leaves of one part.
type PlanLeaf struct {
	Part       string        `json:"part" example:"back"`       // Its name
	Count      int           `json:"count" example:"4"`         // How many
	Thickness  length.Length `json:"thickness" example:"0.14"`  // Of each
	TrimLength length.Length `json:"trim_length" example:"0"`   // How much longer the billet is than the part
	TrimWidth  length.Length `json:"trim_width" example:"0.25"` // How much wider
}

// PlanUnmet is what the boards do not give.
type PlanUnmet struct {
	Part     string `json:"part" example:"back"`  // Its name
	Quantity int    `json:"quantity" example:"2"` // Leaves
}

// PlanWhatIf is an estimate of what a change would be worth.
type PlanWhatIf struct {
	Change         string         `json:"change" enums:"extra_board,kerf,hold_back" example:"kerf"` // One more board of a kind, a thinner kerf or a smaller hold-back
	Board          string         `json:"board,omitzero" example:"walnut-1"`                        // The board there would be one more of
	Kerf           *length.Length `json:"kerf,omitzero" example:"0.04"`                             // The kerf instead
	Blade          string         `json:"blade,omitzero" example:"quarter-inch"`                    // The shop's blade that has it
	HoldBack       *length.Length `json:"hold_back,omitzero" example:"0.0625"`                      // The hold-back instead
	Fixing         string         `json:"fixing,omitzero" example:"tape"`                           // The shop's fixing that has it; absent where the value is only half of what is used
	SavingEstimate endpoint.Money `json:"saving_estimate" example:"12.5"`                           // How much less the boards would cost: an estimate, not a plan
}

// PlanStats counts what the search did and what the plan comes to.
type PlanStats struct {
	Work        int `json:"work" example:"15000"`     // Elementary steps of the search
	Patterns    int `json:"patterns" example:"12"`    // Ways to cut a board that it weighed
	BoardCount  int `json:"board_count" example:"3"`  // Boards taken
	BilletCount int `json:"billet_count" example:"9"` // Billets cut
	LeafCount   int `json:"leaf_count" example:"40"`  // Leaves sawn
	SetupCount  int `json:"setup_count" example:"5"`  // Changes of billet size or leaf thickness, the first included
}

// PlanProgress is how far a search has come.
type PlanProgress struct {
	Cost       endpoint.Money `json:"cost" example:"141"`        // Of the best plan so far
	LowerBound endpoint.Money `json:"lower_bound" example:"129"` // What nobody can go below
	Gap        float64        `json:"gap" example:"0.085"`       // How much of the cost lies above the bound
	Seconds    float64        `json:"seconds" example:"0.35"`    // Since it was its turn
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
//	@Description	Chooses which boards to take, how to crosscut and rip each into billets and which leaves to saw from each billet, at the least cost, and says how far at most the plan is from the best one there is. Every kerf, the truing pass, the hold-back, trimmed ends, bow and defects are counted; matched sets come from consecutive leaves of one billet; parts do not turn against the grain. What the boards cannot give is listed as unmet. With no widths and lengths only the thickness counts. Each billet has the request for its run sheet. A long search reports its progress to whoever accepts text/event-stream: events named progress, at the end one named result or problem.
//	@ID				plan
//	@Tags			before the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		PlanRequest	true	"The fields of the plan"
//	@Success		200		{object}	PlanAnswer
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
	a.ID = c.Digest(q)
	a.Sources = planSources
	warnPlan(c, q, a)
	return a, nil
}

var planSources = []string{
	"pieces fit where the sum of (size + kerf) is at most room + kerf; leaves where skim, kerfs, leaves and hold-back add up to the thickness (definition)",
	"search: Gilmore and Gomory, Operations Research 9 (1961) 849-859, and 13 (1965) 94-120; Chvatal, Linear Programming (1983), chapter 13",
	"bow falls with the square of the length (geometry of a shallow arc)",
	"a shallow arc, one kerf between pieces, trimmed ends: how a shop breaks boards down (common practice)",
}

// searchPlan looks for the plan within its limits.
func searchPlan(c *endpoint.Call, q *PlanRequest, order plan.Order) (*plan.Plan, error) {
	options := plan.Options{WhatIf: alternatives(c, q)}
	if q.WorkLimit != nil {
		options.WorkLimit = int64(*q.WorkLimit)
	}
	var found *plan.Plan
	limit := time.Duration(*q.TimeLimitSeconds * float64(time.Second))
	err := c.Search.Run(c, limit, func(ctx context.Context) (err error) {
		options.Progress = progressOf(c.Search.Progress, time.Now())
		found, err = plan.Solve(ctx, order, options)
		return err
	})
	return found, err
}

// progressOf passes progress on to whoever wants it.
func progressOf(tell func(any), start time.Time) func(plan.Progress) {
	if tell == nil {
		return nil
	}
	return func(p plan.Progress) {
		tell(PlanProgress{endpoint.Money(p.Cost), endpoint.Money(p.LowerBound), p.Gap, time.Since(start).Round(time.Millisecond).Seconds()})
	}
}
