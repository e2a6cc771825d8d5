package bound

import (
	"context"
	"math"
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
	least []float64 // prices that pay what the leaves cost in any case
	most  float64   // that the need is worth, where work costs anything
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
		dir: make([]float64, len(need)), reach: dualReach, least: make([]float64, len(need)), most: mostValue * cost}
	volume := p.Volumes(need)
	var total float64
	for i, n := range need {
		total += float64(volume[i]) * float64(n)
	}
	cost -= float64(p.LeastPasses(need))
	for i, n := range need {
		if n == 0 {
			continue
		}
		d.least[i] = p.LeastPass(i)
		d.price[i] = d.least[i] + float64(volume[i])/max(1, total)*cost*0.8
	}
	d.Best, d.scale = slices.Clone(d.price), slices.Clone(d.price)
	return d
}

// Problem returns the problem that it bounds: it allows all plans.
func (d *Dual) Problem() *board.Problem { return d.p }

// Refine goes on with more classes of sizes of billets, where there are more, and tells
// whether there are.
func (d *Dual) Refine() bool {
	p := d.p.Finer()
	if p == nil {
		return false
	}
	work := d.T.Arena.Work
	d.p, d.T = p, board.NewTables(p)
	d.T.Arena.Work = work
	for i, n := range d.need {
		if n > 0 {
			d.least[i] = p.LeastPass(i)
		}
	}
	d.value, d.reach, d.since = 0, dualReach, 0
	copy(d.price, d.Best)
	clear(d.dir)
	return true
}

// gratis tells whether boards that cost nothing give any number of an item, without work.
func gratis(p *board.Problem, i int) bool {
	if p.Priced() {
		return false
	}
	for k, b := range p.Order.Boards {
		if b.Price == 0 && b.Quantity == plan.Unlimited && slices.Contains(p.Sets[p.Groups[p.Kinds[k].Group].Set], i) && p.Fits(p.Kinds[k], i) {
			return true
		}
	}
	return false
}

// Step makes one step toward better prices, given the cost of a plan. The bound
// of prices is the cost of boards that are worth the need, the last of them
// taken in part: it is the same for all multiples of them, but where work costs
// anything. There it is highest where that board is worth its price.
func (d *Dual) Step(ctx context.Context, cost int64) {
	d.Steps++
	w, ok := d.weigh(ctx, cost)
	for n := 0; ok && d.p.Priced() && n < scalings && math.Abs(w.factor-1) > scaled; n++ {
		for i := range d.price {
			d.price[i] = max(d.least[i], d.price[i]*w.factor)
		}
		d.bring(d.price)
		w, ok = d.weigh(ctx, cost)
	}
	if !ok {
		return
	}
	slack, value := make([]float64, len(w.v)), 0.0
	for i, n := range d.need {
		slack[i] = float64(n)
		if !d.p.Priced() {
			d.price[i] *= w.factor
		}
	}
	for k, n := range w.part {
		if value += n * float64(w.boards[k].Price); n == 0 {
			continue
		}
		for i, m := range w.give[k]() {
			slack[i] -= n * float64(m)
		}
	}
	if d.p.Priced() {
		value = relaxed(w.boards, w.demand, d.p.WorkGrain())
	}
	if !d.full() {
		if value > d.value {
			d.Row = rowOf(w.boards, w.demand, d.p.WorkGrain())
		}
		d.note(value, fractionCover(w.boards, w.demand, cost, d.p.WorkGrain()))
	}
	d.walk(slack, float64(cost)-value)
}

// How near to its price the last board is brought, and how often that is tried.
const (
	scaled   = 1e-5
	scalings = 3
	upward   = 1.5 // where no board is worth anything
)

// weighed is what boards are worth at prices.
type weighed struct {
	v      []int64
	demand int64
	boards []CoverBoard
	give   []func() []int
	part   []float64 // of each board
	factor float64   // on the prices, at which the last of them is worth its own
}

// weigh weighs the boards at the prices. It is false when time is up.
func (d *Dual) weigh(ctx context.Context, cost int64) (w weighed, ok bool) {
	w.v = d.p.Values(d.price)
	d.ask(w.v)
	w.demand = board.Total(w.v, d.need)
	w.boards, w.give = make([]CoverBoard, len(d.p.Kinds)), make([]func() []int, len(d.p.Kinds))
	for k := range d.p.Kinds {
		if ctx.Err() != nil {
			return w, false
		}
		w.boards[k].Price, w.boards[k].Most = d.p.Price(k), d.p.Most(k, cost)
		w.boards[k].Worth, w.give[k] = d.board(k, w.v)
		w.boards[k].Worth = min(w.boards[k].Worth, w.demand) // more is of no use
	}
	var last int
	w.part, last = parts(w.boards, w.demand)
	w.factor = factor(w.boards, last, d.p.Grain)
	if d.p.Priced() {
		w.factor = d.grossFactor(last, w.v)
	}
	return w, true
}

// grossFactor is factor where what a board gives costs work.
func (d *Dual) grossFactor(k int, v []int64) float64 {
	if k < 0 {
		return upward
	}
	var worth, work int64
	if d.pool != nil {
		var x pattern
		worth, x = d.pool.best(k, v, d.need)
		work = x.work
	} else {
		worth, work = d.T.Gross(d.p.Kinds[k])
	}
	return (float64(d.p.Price(k))*d.p.Grain + float64(work)) / float64(worth+work)
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
	mostValue = 16 // times the cost of a plan, that the need is worth: the more, the less counts the work

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
		d.price[i] = max(d.least[i], d.price[i]+min(gap, d.reach*d.value)/norm*s*d.scale[i])
	}
}
