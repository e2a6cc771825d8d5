package search

import (
	"context"
	"math"
	"math/rand/v2"

	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/bound"
)

// toolbox is what steps on plans are made with: the need, the prices of items,
// the knapsacks of boards, and chance.
type toolbox struct {
	ctx    context.Context
	p      *board.Problem
	need   []int
	kits   []int       // of each kind that are wanted, nil for none
	passes int64       // what they cost at least
	Dual   *bound.Dual // its best prices are what items are worth
	t      *board.Tables
	ascent *board.Ascent
	rng    *rand.Rand
	steps  int64 // of work outside of knapsacks
}

// stepWork is the work of a step, for each item and board, beyond its knapsacks.
const stepWork = 150

// NewToolbox returns the toolbox for a need, and for numbers of kits, that some plan
// delivers at a cost.
func NewToolbox(ctx context.Context, p *board.Problem, need, kits []int, cost float64) *toolbox {
	if board.None(kits) {
		kits = nil
	}
	return &toolbox{kits: kits, ctx: ctx, p: p, need: need, passes: p.LeastPasses(need), Dual: bound.NewDual(p.Bounds(), need, cost), ascent: board.NewAscent(p), t: board.NewTables(p),
		rng: rand.New(rand.NewPCG(1, 2))}
}

// Work returns the steps of work so far, without those on the bound.
func (x *toolbox) Work() int64 {
	return x.t.Arena.Work + x.ascent.B.T.Arena.Work + x.ascent.B.Spare.Work + x.steps
}

// spent counts a step on a plan of some boards, beyond its knapsacks.
func (x *toolbox) spent(boards int) { x.steps += stepWork * int64(len(x.need)+boards) }

// Greed returns a greedy method that adds to boards what is left.
func (x *toolbox) Greed(boards []board.Layout, left []int, value []int64) *greed {
	stock := x.p.Stock()
	for _, lay := range boards {
		stock[lay.Kind]--
	}
	return &greed{ctx: x.ctx, p: x.p, t: x.t, a: x.ascent, value: value, left: left, stock: stock, price: x.p.Price,
		rounds: 3, limit: math.MaxInt64, single: true}
}

// worthOf returns what some sets are worth at the best prices of the dual.
func (x *toolbox) worthOf(sets []int) float64 {
	var sum float64
	for i, n := range sets {
		sum += float64(max(0, n)) * x.Dual.Best[i]
	}
	return sum
}
