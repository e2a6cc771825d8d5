package search

import (
	"slices"

	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/bound"
)

// Incumbent is the best plan so far that delivers everything.
type Incumbent struct {
	P     *board.Problem
	Need  []int
	Kits  []int       // wanted of each kind, nil for none
	Pool  *bound.Pool // of what plans were met
	Clock func() int64
	Plan  []board.Layout // a board each
	Cost  int64
	found int64 // work on plans when it was
	seen  int   // plans that delivered everything
}

// meetEvery is how many plans there are for one that goes into the pool.
const meetEvery = 20

// see notes a plan that delivers everything.
func (b *Incumbent) see(plan []board.Layout) {
	if b.seen++; b.seen%meetEvery == 0 {
		b.meet(plan)
	}
	b.Offer(plan)
}

// Offer keeps a plan that delivers everything if it is the cheapest.
func (b *Incumbent) Offer(plan []board.Layout) {
	plan = slices.DeleteFunc(slices.Clone(plan), func(lay board.Layout) bool { return len(lay.Strips) == 0 })
	if !b.Hold(plan) {
		return
	}
	if b.P.Priced() {
		plan = board.Each(b.P.Trim(board.UsesOf(plan), b.Need))
	}
	cost := b.P.CostOf(plan)
	switch {
	case cost < b.Cost || cost == b.Cost && len(plan) < len(b.Plan):
		b.found = b.Clock()
	case !b.P.Priced() || cost > b.Cost || len(plan) > len(b.Plan) || b.P.PassesOf(plan) >= b.P.PassesOf(b.Plan):
		return
	}
	b.Plan, b.Cost = plan, cost
	b.meet(plan)
}

// meet puts the boards of a plan into the pool.
func (b *Incumbent) meet(plan []board.Layout) {
	for _, lay := range plan {
		b.Pool.Add(lay)
	}
}
