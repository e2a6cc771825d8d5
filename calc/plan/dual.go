package plan

import (
	"context"
	"slices"
)

// dual seeks prices of items at which the boards' own knapsacks give a high
// lower bound on the cost of a need. Every bound is a sum of whole numbers.
//
// Source: Lagrangian relaxation of the demands, subgradient steps as in ascent.
type dual struct {
	p     *problem
	t     *tables
	pool  *pool     // of which the boards are, if there is one: then nothing is certified
	need  []int     // none of what boards that cost nothing give in any number
	price []float64 // of a set of each item, in the unit of Board.Price
	best  []float64 // the prices of the best bound
	value float64   // of the best bound, unrounded
	bound int64     // certified
	dir   []float64 // of the walk
	scale []float64 // of its steps
	reach float64
	since int
	steps int
	row   row // of the best bound
}

// newDual returns a dual that starts from prices in proportion to the wood in
// the items, all of them together worth part of a cost.
func newDual(p *problem, need []int, cost float64) *dual {
	need = slices.Clone(need)
	for i := range need {
		if p.gratis(i) {
			need[i] = 0
		}
	}
	d := &dual{p: p, t: newTables(p), need: need, price: make([]float64, len(need)),
		dir: make([]float64, len(need)), reach: dualReach}
	volume := p.volumes(need)
	var total float64
	for i, n := range need {
		total += float64(volume[i]) * float64(n)
	}
	for i, n := range need {
		if n == 0 {
			continue
		}
		d.price[i] = float64(volume[i]) / max(1, total) * cost * 0.8
	}
	d.best, d.scale = slices.Clone(d.price), slices.Clone(d.price)
	return d
}

// gratis tells whether boards that cost nothing give any number of an item.
func (p *problem) gratis(i int) bool {
	for k, b := range p.order.Boards {
		if b.Price == 0 && b.Quantity == Unlimited && slices.Contains(p.sets[p.groups[p.kinds[k].group].set], i) && p.fits(p.kinds[k], i) {
			return true
		}
	}
	return false
}

// step makes one step toward better prices, given the cost of a plan. The bound
// of prices is the cost of boards that are worth the need, the last of them
// taken in part: it is the same for all multiples of them.
func (d *dual) step(ctx context.Context, cost int64) {
	d.steps++
	v := d.p.values(d.price)
	d.ask(v)
	demand := total(v, d.need)
	boards, give := make([]coverBoard, len(d.p.kinds)), make([]func() []int, len(d.p.kinds))
	for k := range d.p.kinds {
		if ctx.Err() != nil {
			return
		}
		boards[k].price, boards[k].most = d.p.price(k), d.p.most(k, cost)
		boards[k].worth, give[k] = d.board(k, v)
		boards[k].worth = min(boards[k].worth, demand) // more is of no use
	}
	part, factor := parts(boards, demand, d.p.fine)
	slack, value := make([]float64, len(v)), 0.0
	for i, n := range d.need {
		slack[i] = float64(n)
		d.price[i] *= factor
	}
	for k, n := range part {
		if value += n * float64(boards[k].price); n == 0 {
			continue
		}
		for i, m := range give[k]() {
			slack[i] -= n * float64(m)
		}
	}
	if !d.full() {
		if value > d.value {
			d.row = rowOf(boards, demand)
		}
		d.note(value, fractionCover(boards, demand, cost))
	}
	d.walk(slack, float64(cost)-value)
}

// ask sets a question of prices.
func (d *dual) ask(v []int64) {
	if d.pool == nil {
		d.t.ask(v, d.need)
	}
}

// board returns what a board is worth at prices and what it gives then: at most
// by the tables, or by the patterns of the pool.
func (d *dual) board(k int, v []int64) (int64, func() []int) {
	if d.pool != nil {
		worth, x := d.pool.best(k, v, d.need)
		return worth, func() []int { return countSets(x.sets, len(v)) }
	}
	kd := d.p.kinds[k]
	worth, pieces := d.t.board(kd, kd.segs)
	return worth, func() []int { return countOf(d.t, kd, pieces) }
}

// full tells whether the tables left something out.
func (d *dual) full() bool { return d.pool == nil && d.t.arena.full }

// note keeps a bound, and the prices if they are the best.
func (d *dual) note(value float64, bound int64) {
	d.bound = max(d.bound, bound)
	if d.since++; value > d.value*1.0001 {
		d.since = 0
	}
	if value > d.value {
		d.value = value
		copy(d.best, d.price)
	}
}

// How the dual walks.
const (
	dualReach  = 0.08 // the rise aimed at to begin with, as a share of the bound
	dualShrink = 0.6  // of the reach, after so many steps without gain
	dualWait   = 6
	dualMemory = 0.8 // of the directions before
)

// walk moves the prices against the slack and the directions before, each by a
// step in proportion to what its item is worth.
//
// Source: Camerini, Fratta and Maffioli, Mathematical Programming Study 3 (1975)
// 26-34: modified gradients (from memory).
func (d *dual) walk(slack []float64, gap float64) {
	if d.since > dualWait {
		d.since = 0
		d.reach *= dualShrink
		copy(d.price, d.best)
		clear(d.dir)
	}
	var norm float64
	for i, s := range slack {
		d.dir[i] = dualMemory*d.dir[i] + s
		norm += d.dir[i] * d.dir[i] * d.scale[i]
	}
	if norm == 0 {
		return
	}
	for i, s := range d.dir {
		d.price[i] = max(0, d.price[i]+min(gap, d.reach*d.value)/norm*s*d.scale[i])
	}
}
