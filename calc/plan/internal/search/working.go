package search

import (
	"math"
	"slices"

	"resawd/calc/plan/internal/board"
)

// working is a solution that is worked on, and how it is judged. It may leave
// sets undelivered, at a penalty that rises while it does and falls while it
// does not.
type working struct {
	*toolbox
	Best      *Incumbent
	tolerance func() float64 // how much worse the next one may be
	Plan      []board.Layout // a board each
	Left      []int          // sets it does not deliver; below 0: delivers beyond the need
	score     float64        // cost and penalty
	weight    []float64      // of what is not delivered, the more the longer it is not
	penalty   float64        // for what is not delivered, as a multiple of its dual prices
	keeps     bool           // to its boards
	kept      keptKits
}

// newWorking returns a working solution without boards.
func newWorking(x *toolbox, best *Incumbent, slack func() float64) working {
	return working{toolbox: x, Best: best, tolerance: slack, Left: slices.Clone(x.need),
		weight: slices.Repeat([]float64{1}, len(x.need)), penalty: 1.2}
}

// begin goes on from a plan that delivers everything.
func (w *working) begin(plan []board.Layout) {
	w.Plan, w.Left = slices.Clone(plan), w.lacks(plan)
}

// lacks returns the sets that a plan does not deliver.
func (x *toolbox) lacks(plan []board.Layout) []int {
	left := slices.Clone(x.need)
	for _, lay := range plan {
		board.Take(left, lay.Pieces())
	}
	return left
}

// take goes on from any plan.
func (w *working) take(plan []board.Layout) {
	w.Plan, w.Left = plan, w.lacks(plan)
	w.finish()
}

// accept goes on from a solution that is not much worse than this one, and
// tells whether it did.
func (w *working) accept(plan []board.Layout, left []int) bool {
	score := w.worthless(left) + w.penalty*w.missing(plan) + float64(w.p.CostOf(plan))
	if score > w.score+w.tolerance() {
		return false
	}
	w.Plan, w.Left, w.score = plan, left, score
	return true
}

// finish keeps the solution if it is the best plan, and moves the penalty.
func (w *working) finish() {
	if !board.None(w.Left) || !w.keepsKits() {
		w.penalty = min(3, w.penalty*1.01)
		w.complete()
	} else {
		w.penalty = max(1, w.penalty*0.98)
		w.Best.see(w.Plan)
	}
	w.judge()
}

// judge finds the score.
func (w *working) judge() {
	w.score = w.worthless(w.Left) + w.penalty*w.missing(w.Plan) + float64(w.p.CostOf(w.Plan))
}

// complete delivers what the solution leaves from further boards, and offers
// the plan that comes of it.
func (w *working) complete() {
	if board.None(w.Left) {
		return // kits are missing
	}
	limit := w.Best.Cost - w.p.CostOf(w.Plan)
	left := slices.Clone(w.Left)
	g := w.Greed(w.Plan, left, w.p.Worthy(w.values()))
	plan := slices.Clone(w.Plan)
	for limit > 0 && !board.None(left) && w.ctx.Err() == nil {
		g.limit = limit
		c, ok := g.next()
		if !ok {
			return
		}
		plan = append(plan, c.Layout)
		limit -= w.p.LayoutCost(c.Layout)
	}
	if board.None(left) {
		w.Best.Offer(plan)
	}
}

// worthless returns the penalty for what is left.
func (w *working) worthless(left []int) float64 {
	var sum float64
	for i, n := range left {
		sum += float64(max(0, n)) * w.Dual.Best[i] * w.weight[i]
	}
	return sum * w.penalty
}

// mostSpread is by what part values of items are disturbed.
const mostSpread = 0.1

// values returns what a set of each item is worth in this attempt: the best
// prices of the dual, weighed and disturbed.
func (w *working) values() []int64 { return w.disturbed(mostSpread) }

// disturbed is values disturbed by up to a part.
func (w *working) disturbed(most float64) []int64 {
	v, spread := w.p.Values(w.Dual.Best), most*w.rng.Float64()
	for i, x := range v {
		v[i] = 1 + int64(float64(x)*w.weight[i]*math.Exp(spread*w.rng.NormFloat64()))
	}
	w.favour(v)
	return w.p.Paying(v)
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
	for i, n := range w.Left {
		w.weight[i] = reweighed(w.weight[i], n > 0)
	}
	w.learnKits()
	w.judge()
}

// reweighed returns the weight of what is missing, or of what is not.
func reweighed(weight float64, missing bool) float64 {
	if missing {
		return min(mostWeight, weight*(1+weightUp))
	}
	return weight + weightDown*(1-weight)
}
