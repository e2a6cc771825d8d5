package plan

import (
	"math"
	"slices"
)

// working is a solution that is worked on, and how it is judged. It may leave
// sets undelivered, at a penalty that rises while it does and falls while it
// does not.
type working struct {
	*toolbox
	best    *incumbent
	slack   func() float64 // how much worse the next one may be
	plan    []layout       // a board each
	left    []int          // sets it does not deliver
	score   float64        // cost and penalty
	weight  []float64      // of what is not delivered, the more the longer it is not
	penalty float64        // for what is not delivered, as a multiple of its dual prices
	keeps   bool           // to its boards
}

// newWorking returns a working solution without boards.
func newWorking(x *toolbox, best *incumbent, slack func() float64) working {
	return working{toolbox: x, best: best, slack: slack, left: slices.Clone(x.need),
		weight: slices.Repeat([]float64{1}, len(x.need)), penalty: 1.2}
}

// begin goes on from a plan that delivers everything.
func (w *working) begin(plan []layout) { w.plan, w.left = slices.Clone(plan), make([]int, len(w.need)) }

// take goes on from any plan.
func (w *working) take(plan []layout) {
	w.plan, w.left = plan, slices.Clone(w.need)
	for _, lay := range plan {
		take(w.left, lay.pieces())
	}
	for i, n := range w.left {
		w.left[i] = max(0, n)
	}
	w.finish()
}

// accept goes on from a solution that is not much worse than this one, and
// tells whether it did.
func (w *working) accept(plan []layout, left []int) bool {
	score := w.worthless(left) + float64(w.p.costOf(plan))
	if score > w.score+w.slack() {
		return false
	}
	w.plan, w.left, w.score = plan, left, score
	return true
}

// finish keeps the solution if it is the best plan, and moves the penalty.
func (w *working) finish() {
	if !none(w.left) {
		w.penalty = min(3, w.penalty*1.01)
		w.complete()
	} else {
		w.penalty = max(1, w.penalty*0.98)
		w.best.see(w.plan)
	}
	w.judge()
}

// judge finds the score.
func (w *working) judge() { w.score = w.worthless(w.left) + float64(w.p.costOf(w.plan)) }

// complete delivers what the solution leaves from further boards, and offers
// the plan that comes of it.
func (w *working) complete() {
	limit := w.best.cost - w.p.costOf(w.plan)
	left := slices.Clone(w.left)
	g := w.greed(w.plan, left, w.values())
	plan := slices.Clone(w.plan)
	for limit > 0 && !none(left) && w.ctx.Err() == nil {
		g.limit = limit
		c, ok := g.next()
		if !ok {
			return
		}
		plan = append(plan, c.layout)
		limit -= w.p.price(c.kind)
	}
	if none(left) {
		w.best.offer(plan)
	}
}

// worthless returns the penalty for what is left.
func (w *working) worthless(left []int) float64 {
	var sum float64
	for i, n := range left {
		sum += float64(n) * w.dual.best[i] * w.weight[i]
	}
	return sum * w.penalty
}

// mostSpread is by what part values of items are disturbed.
const mostSpread = 0.1

// values returns what a set of each item is worth in this attempt: the best
// prices of the dual, weighed and disturbed.
func (w *working) values() []int64 {
	v, spread := w.p.values(w.dual.best), mostSpread*w.rng.Float64()
	for i, x := range v {
		v[i] = 1 + int64(float64(x)*w.weight[i]*math.Exp(spread*w.rng.NormFloat64()))
	}
	return v
}

// How the weights of what is not delivered rise and fall.
const (
	weightUp   = 0.05
	weightDown = 0.02
	mostWeight = 3
)

// learn makes what the solution leaves weigh more, and the rest less.
//
// Source: sequential value correction, Mukhacheva and others 2000 (from memory);
// weights on what fails, common practice.
func (w *working) learn() {
	for i, n := range w.left {
		if n > 0 {
			w.weight[i] = min(mostWeight, w.weight[i]*(1+weightUp))
		} else {
			w.weight[i] += weightDown * (1 - w.weight[i])
		}
	}
	w.judge()
}
