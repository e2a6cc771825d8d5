package bound

import (
	"context"
	"slices"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
)

// Dual seeks prices of items at which the boards' own knapsacks give a high
// lower bound on the cost of a need. Every bound is a sum of whole numbers.
//
// Source: Lagrangian relaxation of the demands, subgradient steps as in ascent.
type Dual struct {
	p     *board.Problem
	T     *board.Tables
	pool  *Pool     // of which the boards are, if there is one: then nothing is certified
	need  []int     // none of what boards that cost nothing give in any number
	price []float64 // of a set of each item, in the unit of Board.Price
	Best  []float64 // the prices of the best bound
	value float64   // of the best bound, unrounded
	Bound int64     // certified
	dir   []float64 // of the walk
	scale []float64 // of its steps
	reach float64
	since int
	Steps int
	Row   Row // of the best bound
}

// NewDual returns a dual that starts from prices in proportion to the wood in
// the items, all of them together worth part of a cost.
func NewDual(p *board.Problem, need []int, cost float64) *Dual {
	need = slices.Clone(need)
	for i := range need {
		if gratis(p, i) {
			need[i] = 0
		}
	}
	d := &Dual{p: p, T: board.NewTables(p), need: need, price: make([]float64, len(need)),
		dir: make([]float64, len(need)), reach: dualReach}
	volume := p.Volumes(need)
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
	d.Best, d.scale = slices.Clone(d.price), slices.Clone(d.price)
	return d
}

// gratis tells whether boards that cost nothing give any number of an item.
func gratis(p *board.Problem, i int) bool {
	for k, b := range p.Order.Boards {
		if b.Price == 0 && b.Quantity == plan.Unlimited && slices.Contains(p.Sets[p.Groups[p.Kinds[k].Group].Set], i) && p.Fits(p.Kinds[k], i) {
			return true
		}
	}
	return false
}

// Step makes one step toward better prices, given the cost of a plan. The bound
// of prices is the cost of boards that are worth the need, the last of them
// taken in part: it is the same for all multiples of them.
func (d *Dual) Step(ctx context.Context, cost int64) {
	d.Steps++
	v := d.p.Values(d.price)
	d.ask(v)
	demand := board.Total(v, d.need)
	boards, give := make([]CoverBoard, len(d.p.Kinds)), make([]func() []int, len(d.p.Kinds))
	for k := range d.p.Kinds {
		if ctx.Err() != nil {
			return
		}
		boards[k].Price, boards[k].Most = d.p.Price(k), d.p.Most(k, cost)
		boards[k].Worth, give[k] = d.board(k, v)
		boards[k].Worth = min(boards[k].Worth, demand) // more is of no use
	}
	part, factor := parts(boards, demand, d.p.Grain)
	slack, value := make([]float64, len(v)), 0.0
	for i, n := range d.need {
		slack[i] = float64(n)
		d.price[i] *= factor
	}
	for k, n := range part {
		if value += n * float64(boards[k].Price); n == 0 {
			continue
		}
		for i, m := range give[k]() {
			slack[i] -= n * float64(m)
		}
	}
	if !d.full() {
		if value > d.value {
			d.Row = rowOf(boards, demand)
		}
		d.note(value, fractionCover(boards, demand, cost))
	}
	d.walk(slack, float64(cost)-value)
}

// Try weighs some prices, and keeps them if they are the best.
func (d *Dual) Try(ctx context.Context, price []float64, cost int64) {
	copy(d.price, price)
	for i, n := range d.need {
		if n == 0 {
			d.price[i] = 0
		}
	}
	d.Step(ctx, cost)
	copy(d.price, d.Best)
}

// ask sets a question of prices.
func (d *Dual) ask(v []int64) {
	if d.pool == nil {
		d.T.Ask(v, d.need)
	}
}

// board returns what a board is worth at prices and what it gives then: at most
// by the tables, or by the patterns of the pool.
func (d *Dual) board(k int, v []int64) (int64, func() []int) {
	if d.pool != nil {
		worth, x := d.pool.best(k, v, d.need)
		return worth, func() []int { return board.CountSets(x.Sets, len(v)) }
	}
	kd := d.p.Kinds[k]
	worth, pieces := d.T.Board(kd, kd.Segs)
	return worth, func() []int { return board.CountOf(d.T, kd, pieces) }
}

// full tells whether the tables left something out.
func (d *Dual) full() bool { return d.pool == nil && d.T.Arena.Full }

// note keeps a bound, and the prices if they are the best.
func (d *Dual) note(value float64, bound int64) {
	d.Bound = max(d.Bound, bound)
	if d.since++; value > d.value*1.0001 {
		d.since = 0
	}
	if value > d.value {
		d.value = value
		copy(d.Best, d.price)
	}
}

// How the dual walks.
const (
	dualReach  = 0.08 // the rise aimed at to begin with, as a share of the bound
	dualShrink = 0.6  // of the reach, after dualWait steps without gain
	dualWait   = 6
	dualMemory = 0.8 // of the directions before
)

// walk moves the prices against the slack and the directions before, each by a
// step in proportion to what its item is worth.
//
// Source: Camerini, Fratta and Maffioli, Mathematical Programming Study 3 (1975)
// 26-34: modified gradients (from memory).
func (d *Dual) walk(slack []float64, gap float64) {
	if d.since > dualWait {
		d.since = 0
		d.reach *= dualShrink
		copy(d.price, d.Best)
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
