package search

import (
	"math"

	"resawd/calc/plan/internal/bound"
)

// walk is the search that goes from plan to plan. It runs in cycles: in each
// the solution may become worse, by less and less, and each is longer than the
// one before.
//
// Source: simulated annealing: Kirkpatrick, Gelatt and Vecchi, Science 220
// (1983) 671-680 (from memory).
type walk struct {
	working
	began  int64   // work on plans when the cycle began
	cycle  int64   // work in the cycle
	heat   float64 // at its beginning
	before int64   // cost of the best plan then
	starts int     // made
}

// The cycles.
const (
	warm       = 0.004 // of the least cost, by which a plan may become worse: in the mean
	hot        = 0.012
	cold       = 0.0003
	heating    = 1.5        // of a cycle after one without gain
	firstCycle = 40_000_000 // steps of work
	cycleGrow  = 1.3
)

// The search begins with several plans, as long as they cost little work.
const (
	mostStarts = 12
	startWork  = 10_000_000
)

// newWalk returns a walk from the best plan.
func newWalk(x *toolbox, best *Incumbent) *walk {
	w := &walk{}
	w.working = newWorking(x, best, w.cooling)
	w.begin(best.Plan)
	w.score = float64(best.Cost)
	return w
}

// step goes on by a step and some smaller ones.
func (w *walk) step() {
	if w.starting() {
		w.start()
	} else if w.cool() {
		w.restart()
	}
	w.try()
	w.learn()
	for range refits {
		w.nudge()
	}
}

// starting tells whether another plan is to be begun with.
func (w *walk) starting() bool {
	return w.starts == 0 || w.starts < mostStarts && w.Best.Clock() < startWork
}

// start begins with a plan of its own, and at the end with the best one.
func (w *walk) start() {
	if w.starts++; w.starts%2 == 1 {
		w.anew()
	} else {
		w.within()
	}
	w.finish()
	if !w.starting() {
		w.begin(w.Best.Plan)
		w.finish()
	}
}

// cool begins the next cycle when one is at its end, and tells whether it did.
func (w *walk) cool() bool {
	work := w.Best.Clock()
	switch {
	case w.cycle == 0:
		w.cycle, w.heat, w.before = firstCycle, warm, w.Best.Cost
		return false
	case work-w.began <= w.cycle:
		return false
	}
	if w.heat = min(hot, w.heat*heating); w.Best.Cost < w.before {
		w.heat = warm
	}
	w.cycle, w.began, w.before = int64(float64(w.cycle)*cycleGrow), work, w.Best.Cost
	return true
}

// cooling returns how much worse the solution may become.
func (w *walk) cooling() float64 {
	part := float64(w.Best.Clock()-w.began) / float64(w.cycle)
	return float64(w.Best.Cost) * w.heat * math.Pow(cold/w.heat, min(1, part)) * w.rng.ExpFloat64()
}

// restart goes back to the best plan, or starts afresh, and goes on from there.
func (w *walk) restart() {
	switch w.rng.IntN(8) {
	default:
		w.begin(w.Best.Plan)
	case 0:
		w.anew()
	case 1, 2, 3:
		w.within()
	}
	w.finish()
}

// anew begins with no board.
func (w *walk) anew() {
	w.Left = append([]int(nil), w.need...)
	w.Plan = w.recreate(nil, w.Left, w.values(), nil)
}

// within lays out, within a budget below the cost of the best plan, the boards
// that promise to give most.
func (w *walk) within() {
	v := w.p.Values(w.Dual.Best)
	boards := make([]bound.CoverBoard, len(w.p.Kinds))
	for k := range boards {
		f := w.ascent.Board(k, v, w.need, 3, 0)
		work := w.p.Work(f.Lay)
		worth := float64(f.Worth+w.p.Steps(work)) * math.Exp(0.1*w.rng.NormFloat64())
		boards[k] = bound.CoverBoard{Worth: int64(worth), Price: w.p.Price(k) + work, Most: w.p.Most(k, w.Best.Cost)}
	}
	span := float64(w.Best.Cost - w.Dual.Bound)
	budget := w.Best.Cost - 1 - int64(span*0.7*math.Pow(w.rng.Float64(), 2))
	w.Plan, w.Left = nil, append([]int(nil), w.need...)
	g := w.Greed(nil, w.Left, w.values())
	for k, n := range bound.Richest(boards, budget) {
		for range n {
			if c, ok := g.Board(k); ok {
				w.Plan = append(w.Plan, c.Layout)
			}
		}
	}
}
