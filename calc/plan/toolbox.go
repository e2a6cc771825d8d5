package plan

import (
	"context"
	"math"
	"math/rand/v2"
)

// toolbox is what steps on plans are made with: the need, the prices of items,
// the knapsacks of boards, and chance.
type toolbox struct {
	ctx    context.Context
	p      *problem
	need   []int
	dual   *dual // its best prices are what items are worth
	t      *tables
	ascent *ascent
	rng    *rand.Rand
	steps  int64 // of work outside of knapsacks
}

// stepWork is the work of a step, for each item and board, beyond its knapsacks.
const stepWork = 150

// newToolbox returns the toolbox for a need that some plan delivers at a cost.
func newToolbox(ctx context.Context, p *problem, need []int, cost float64) *toolbox {
	return &toolbox{ctx: ctx, p: p, need: need, dual: newDual(p, need, cost), ascent: newAscent(p), t: newTables(p),
		rng: rand.New(rand.NewPCG(1, 2))}
}

// work returns the steps of work so far, without those on the bound.
func (x *toolbox) work() int64 {
	return x.t.arena.work + x.ascent.b.t.arena.work + x.ascent.b.spare.work + x.steps
}

// spent counts a step on a plan of so many boards, beyond its knapsacks.
func (x *toolbox) spent(boards int) { x.steps += stepWork * int64(len(x.need)+boards) }

// greed returns a greedy method that adds to boards what is left.
func (x *toolbox) greed(boards []layout, left []int, value []int64) *greed {
	stock := x.p.stock()
	for _, lay := range boards {
		stock[lay.kind]--
	}
	return &greed{ctx: x.ctx, p: x.p, t: x.t, a: x.ascent, value: value, left: left, stock: stock, price: x.p.price,
		rounds: 3, limit: math.MaxInt64, single: true}
}

// worthOf returns what some sets are worth at the best prices of the dual.
func (x *toolbox) worthOf(sets []int) float64 {
	var sum float64
	for i, n := range sets {
		sum += float64(n) * x.dual.best[i]
	}
	return sum
}
