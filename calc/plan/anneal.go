package plan

import "math"

// walk is the search of plans from the one at hand. It runs in cycles: in each
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
func newWalk(x *toolbox, best *incumbent) *walk {
	w := &walk{}
	w.working = newWorking(x, best, w.cooling)
	w.begin(best.plan)
	w.score = float64(best.cost)
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
	return w.starts == 0 || w.starts < mostStarts && w.best.clock() < startWork
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
		w.begin(w.best.plan)
		w.finish()
	}
}

// cool begins the next cycle when one is at its end, and tells whether it did.
func (w *walk) cool() bool {
	work := w.best.clock()
	switch {
	case w.cycle == 0:
		w.cycle, w.heat, w.before = firstCycle, warm, w.best.cost
		return false
	case work-w.began <= w.cycle:
		return false
	}
	if w.heat = min(hot, w.heat*heating); w.best.cost < w.before {
		w.heat = warm
	}
	w.cycle, w.began, w.before = int64(float64(w.cycle)*cycleGrow), work, w.best.cost
	return true
}

// cooling returns how much worse the solution may become.
func (w *walk) cooling() float64 {
	part := float64(w.best.clock()-w.began) / float64(w.cycle)
	return float64(w.best.cost) * w.heat * math.Pow(cold/w.heat, min(1, part)) * w.rng.ExpFloat64()
}

// restart goes back to the best plan, or begins anew, and goes on from there.
func (w *walk) restart() {
	switch w.rng.IntN(8) {
	default:
		w.begin(w.best.plan)
	case 0:
		w.anew()
	case 1, 2, 3:
		w.within()
	}
	w.finish()
}

// anew begins with no board.
func (w *walk) anew() {
	w.left = append([]int(nil), w.need...)
	w.plan = w.recreate(nil, w.left, w.values(), nil)
}

// within lays out, within a budget below the cost of the best plan, the boards
// that promise to give most.
func (w *walk) within() {
	v := w.p.values(w.dual.best)
	boards := make([]coverBoard, len(w.p.kinds))
	for k := range boards {
		worth := float64(w.ascent.board(k, v, w.need, 3, 0).worth) * math.Exp(0.1*w.rng.NormFloat64())
		boards[k] = coverBoard{int64(worth), w.p.price(k), w.p.most(k, w.best.cost)}
	}
	span := float64(w.best.cost - w.dual.bound)
	budget := w.best.cost - 1 - int64(span*0.7*math.Pow(w.rng.Float64(), 2))
	w.plan, w.left = nil, append([]int(nil), w.need...)
	g := w.greed(nil, w.left, w.values())
	for k, n := range richest(boards, budget) {
		for range n {
			if c, ok := g.board(k); ok {
				w.plan = append(w.plan, c.layout)
			}
		}
	}
}
