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
	// The boards on the rack, one entry a kind
	Boards []PlanBoard `json:"boards,omitzero" validate:"required,min=1,max=2000,dive"`
	// The leaves wanted, one entry a kind; if the boards cannot give all, earlier entries come first
	Parts []PlanPart `json:"parts,omitzero" validate:"required,min=1,max=2000,dive"`
	// What must come from one board: an instrument's back, sides and head plate of one colour and figure
	Kits []PlanKit `json:"kits,omitzero" validate:"omitempty,max=2000,dive"`
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
	// Kerf between the copies that a leaf is divided into; the effective kerf by default
	LeafKerf *length.Length `json:"leaf_kerf,omitzero" validate:"omitempty,gte=0,within=..1m"`
	// Length taken off each end of a board, its cut included
	EndTrim *length.Length `json:"end_trim,omitzero" validate:"omitempty,gte=0,within=..10m" absent:"0"`
	// Cost of a pass of the resaw, whatever its length; see pass_price of price
	PassPrice *endpoint.Money `json:"pass_price,omitzero" validate:"omitempty,gte=0" absent:"0"`
	// Cost of each unit of a pass's length; see pass_length_price of price
	PassLengthPrice *endpoint.Money `json:"pass_length_price,omitzero" validate:"omitempty,gte=0" absent:"0"`
	// Cost of mounting a billet; see billet_price of price
	BilletPrice *endpoint.Money `json:"billet_price,omitzero" validate:"omitempty,gte=0" absent:"0"`
	// Speed of the board through the blade, for the run sheets and the price; that of a run by default
	Feed *endpoint.Feed `json:"feed,omitzero" validate:"omitempty,gt=0"`
	// Seconds of each cut to catch, number and measure the leaf; for the run sheets and the price
	HandleSeconds *float64 `json:"handle_seconds,omitzero" validate:"omitempty,gte=0,lte=86400"`
	// Seconds of each cut to unlock, turn, lock and read the dial again; for the run sheets and the price
	IndexSeconds *float64 `json:"index_seconds,omitzero" validate:"omitempty,gte=0,lte=86400"`
	// Seconds to set up each billet, before its first cut; for the run sheets and the price
	SetupSeconds *float64 `json:"setup_seconds,omitzero" validate:"omitempty,gte=0,lte=86400"`
	// Margin as a share of the price, 0 to 0.99
	Margin *float64 `json:"margin,omitzero" validate:"omitempty,gte=0,lte=0.99"`
	// The smallest billet to plan, where boards are crosscut and ripped; the shop's by default
	SmallestBillet PlanSmallest `json:"smallest_billet,omitzero"`
	// How much thinner the boards may be, for tight
	ThicknessMargin *length.Length `json:"thickness_margin,omitzero" validate:"omitempty,gte=0,within=..1m" absent:"0"`
	// Number of elementary steps after about which the search ends, for instance the stats.work of an earlier plan; within
	// its time limit the same request then always takes the same path
	WorkLimit *int `json:"work_limit,omitzero" validate:"omitempty,gte=0,lte=1000000000000"`
	// Seconds after which the search ends with the best plan it has, counted from its beginning; 10 by default
	TimeLimitSeconds *float64 `json:"time_limit_seconds,omitzero" validate:"omitempty,gt=0,lte=60"`
}

// PlanBoard is boards that are all alike.
type PlanBoard struct {
	// Name of the boards, which no other entry may have; board 1, board 2 and so on by default
	Name *string `json:"name,omitzero" validate:"omitempty,min=1,max=50"`
	// Kind of wood
	Species *string `json:"species,omitzero" validate:"omitempty,max=60"`
	// How the growth rings stand in its face
	Sawn *string `json:"sawn,omitzero" validate:"omitempty,oneof=flat rift quarter"`
	// Thickness, which resawing uses up
	Thickness *length.Length `json:"thickness,omitzero" validate:"required,gt=0,within=..100m"`
	// Width across the grain; for all boards or for none
	Width *length.Length `json:"width,omitzero" validate:"omitempty,gt=0,within=..100m"`
	// Length along the grain; for all boards or for none
	Length *length.Length `json:"length,omitzero" validate:"omitempty,gt=0,within=..100m"`
	// Number of boards; as many as are wanted without it
	Quantity *int `json:"quantity,omitzero" validate:"omitempty,gte=0,lte=1000000"`
	// Price of one board. A board without one counts as 1 in the cost, so that without prices the fewest boards are taken
	Price *endpoint.Money `json:"price,omitzero" validate:"omitempty,gte=0"`
	// Bow over the whole length, which each billet's truing pass takes off in its share
	Bow *length.Length `json:"bow,omitzero" validate:"omitempty,gte=0,within=..1m" absent:"0"`
	// Moisture content in percent of the ovendry mass, for the run sheets
	MoisturePct *float64 `json:"moisture_pct,omitzero" validate:"omitempty,gte=0,lte=250"`
	// Stretches that no billet may contain
	Defects []PlanDefect `json:"defects,omitzero" validate:"omitempty,max=100,dive"`
}

// Cost is what one board counts in the cost of a plan.
func (b *PlanBoard) Cost() endpoint.Money {
	return endpoint.ValueOr(b.Price, endpoint.Money(endpoint.MoneyUnit))
}

// PlanSmallest is the smallest face of a billet.
type PlanSmallest struct {
	// Length along the grain; 0 for no limit
	Length *length.Length `json:"length,omitzero" validate:"omitempty,gte=0,within=..100m"`
	// Width across the grain; 0 for no limit
	Width *length.Length `json:"width,omitzero" validate:"omitempty,gte=0,within=..100m"`
}

// PlanDefect is a stretch of a board, measured along the length.
type PlanDefect struct {
	// Where the defect begins, from one end
	From *length.Length `json:"from,omitzero" validate:"required,gte=0,within=..100m"`
	// Where it ends, from the same end
	To *length.Length `json:"to,omitzero" validate:"required,gte=0,within=..100m"`
}

// PlanPart is pieces of a leaf, or whole leaves, that are all alike.
type PlanPart struct {
	// What the copies are for, which no other entry may have; part 1, part 2 and so on by default
	Name *string `json:"name,omitzero" validate:"omitempty,min=1,max=60"`
	// Kind of wood that the copies must be of; any by default
	Species *string `json:"species,omitzero" validate:"omitempty,max=60"`
	// How their board must be sawn; any way by default
	Sawn *string `json:"sawn,omitzero" validate:"omitempty,oneof=flat rift quarter"`
	// Thickness of each copy
	Thickness *length.Length `json:"thickness,omitzero" validate:"required,gt=0,within=..100m"`
	// Width across the grain; for all parts or for none
	Width *length.Length `json:"width,omitzero" validate:"omitempty,gt=0,within=..100m"`
	// Length along the grain; for all parts or for none
	Length *length.Length `json:"length,omitzero" validate:"omitempty,gt=0,within=..100m"`
	// Number of copies, in whole matched sets
	Quantity *int `json:"quantity,omitzero" validate:"required,gte=0,lte=1000000"`
	// How many copies belong together, from consecutive leaves of one billet
	Matched *int `json:"matched,omitzero" validate:"omitempty,gte=1,lte=10000" absent:"1"`
	// Copies beyond the quantity, in whole matched sets
	Spare *int `json:"spare,omitzero" validate:"omitempty,gte=0,lte=1000000" absent:"0"`
	// Whether a leaf may be divided into several copies of it, end to end and side by side
	Divide *bool `json:"divide,omitzero" absent:"true"`
}

// PlanProgress is how far a search has come.
type PlanProgress struct {
	// Cost of the best plan so far
	Cost endpoint.Money `json:"cost"`
	// Bound proven so far: no plan costs less
	LowerBound endpoint.Money `json:"lower_bound"`
	// Share of the cost that lies above the bound
	Gap float64 `json:"gap"`
	// Seconds since the search began
	Seconds float64 `json:"seconds"`
}

// The limits of a search.
const (
	DefaultPlanTime = 10 * time.Second
	maxPlanTime     = 60 * time.Second
)

// PlanKit is parts that must come from one board, so many times.
type PlanKit struct {
	// Name of the kit, which no other entry may have; kit 1, kit 2 and so on by default
	Name *string `json:"name,omitzero" validate:"omitempty,min=1,max=60"`
	// Number of kits; the quantity of a part includes the copies that they take
	Quantity *int `json:"quantity,omitzero" validate:"required,gte=0,lte=1000000"`
	// What goes into one kit
	Parts []PlanKitPart `json:"parts,omitzero" validate:"required,min=1,max=2000,dive"`
}

// PlanKitPart is copies of a part in a kit.
type PlanKitPart struct {
	// Name of the part
	Part *string `json:"part,omitzero" validate:"required,min=1,max=60"`
	// Number of copies, in whole matched sets
	Quantity *int `json:"quantity,omitzero" validate:"required,gte=1,lte=1000000"`
}

// Plan answers with the plan of an order.
//
//	@Summary		The boards to cut for an order
//	@Description	Chooses which boards to take, how to crosscut and rip each into billets and which leaves to saw from each billet, at the least cost of boards, passes and mountings, and says how much of the cost another plan with these boards and these cuts could save at most. Every kerf, the truing pass, the hold-back, trimmed ends, bow and defects are counted; matched sets come from consecutive leaves of one billet; a leaf may be divided into several copies of one part; what is of one kit comes from one board; parts do not turn against the grain. What the boards cannot give is listed as unmet. With no widths and lengths only the thickness counts. A plan takes 2000 kinds of boards and 2000 of parts, 20000 copies of parts in all, and a price of at most 20000000 a board, a pass or a mounted billet. The cutting height and the rail of a saw limit the billets only if the saw is named. Each billet has the request for its run sheet, unless the saw cannot take it, which a warning says. Where the boards have prices, the price of the leaves stands beside, by the time and the blade that the runs take and the shop's rates. A long search reports its progress to whoever accepts text/event-stream: events named progress, at the end one named result or problem.
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
	a.Price = a.priced(c, q, p, a.keepRuns(c))
	warnPlan(c, q, a)
	return a, nil
}

// RunSheet returns the run sheet of a billet that has a request for one.
func (a *PlanAnswer) RunSheet(b *PlanBillet) (*RunAnswer, error) {
	q := *b.Run
	q.Leaves = slices.Clone(q.Leaves) // the run must not fill in fields of the plan
	return endpoint.Within(a.call, Run, &q)
}

var planSources = []string{
	"pieces fit where the sum of (size + kerf) is at most room + kerf; leaves where skim, kerfs, leaves and hold-back add up to the thickness (definition)",
	"search: Gilmore and Gomory, Operations Research 9 (1961) 849-859, and 13 (1965) 94-120; Chvatal, Linear Programming (1983), chapter 13",
	"bow falls with the square of the length (geometry of a shallow arc)",
	"a shallow arc, one kerf between pieces, trimmed ends: how a shop breaks boards down (common practice)",
}

// searchPlan searches for the plan within its limits.
func searchPlan(c *endpoint.Call, q *PlanRequest, order plan.Order) (*plan.Plan, error) {
	options := solver.Options{WhatIf: alternatives(c, q)}
	if q.WorkLimit != nil {
		options.WorkLimit = max(1, int64(*q.WorkLimit)) // 0 is a plan that took no search
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

// progressOf passes on the progress of a search as the wire has it; nil if nobody wants
// it.
func progressOf(tell func(any), start time.Time) func(solver.Progress) {
	if tell == nil {
		return nil
	}
	return func(p solver.Progress) {
		tell(PlanProgress{endpoint.Money(p.Cost), endpoint.Money(p.LowerBound), p.Gap, time.Since(start).Round(time.Millisecond).Seconds()})
	}
}
