package search

import (
	"slices"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
)

// Where kits are wanted a plan has to hold them. A solution that does not is worse by
// what the missing kits are worth, less what the board that is nearest to one holds of
// it. Steps favour what a kit is made of, now this one and now that, and now and then a
// board is laid out anew with a kit more.

// keptKits is how a solution keeps its kits.
type keptKits struct {
	holder board.Holder
	weight []float64 // of a missing kit of each kind, the more the longer it is missing
}

// How steps look for kits.
const (
	favoured    = 2   // one set of values in so many favours a kit
	favour      = 2.0 // by up to so many times what it is worth
	embeds      = 4   // nudges for a kit that is embedded
	embedRounds = 4   // of ascent, to fill a board up
	loads       = 3   // kits that are tried on a board that is laid out
	otherKind   = 4   // one board in so many becomes one of another kind
)

// hold looks for the kits in a plan.
func (w *working) hold(plan []board.Layout) {
	if w.kept.weight == nil {
		w.kept = keptKits{board.Holder{P: w.p}, slices.Repeat([]float64{1}, len(w.kits))}
	}
	w.steps += int64(len(plan) * len(w.kits))
	w.kept.holder.Hold(plan, w.kits)
}

// keepsKits tells whether the solution holds all kits.
func (w *working) keepsKits() bool {
	if w.kits == nil {
		return true
	}
	w.hold(w.Plan)
	return board.None(w.kept.holder.Missing)
}

// missing returns what the kits are worth that a plan does not hold.
func (w *working) missing(plan []board.Layout) float64 {
	if w.kits == nil {
		return 0
	}
	w.hold(plan)
	var sum float64
	for k, n := range w.kept.holder.Missing {
		if n > 0 {
			near, _ := w.kept.holder.Nearest(k, w.Dual.Best)
			sum += (float64(n)*w.p.KitWorth(k, w.Dual.Best) - near) * w.kept.weight[k]
		}
	}
	return sum
}

// learnKits makes kits that are missing weigh more, and the others less.
func (w *working) learnKits() {
	if w.kits == nil {
		return
	}
	w.hold(w.Plan)
	for k, n := range w.kept.holder.Missing {
		w.kept.weight[k] = reweighed(w.kept.weight[k], n > 0)
	}
}

// favour makes what a kit is made of worth more, at times.
func (w *working) favour(value []int64) {
	if w.kits == nil || w.rng.IntN(favoured) > 0 {
		return
	}
	by := 1 + favour*w.rng.Float64()
	for _, s := range w.p.Makings(w.someKit()) {
		value[s.Item] = int64(float64(value[s.Item]) * by)
	}
}

// someKit returns a kind of kit that is missing, or one that is wanted where none is.
func (w *working) someKit() int {
	w.hold(w.Plan)
	of := w.kept.holder.Missing
	if board.None(of) {
		of = w.kits
	}
	return w.someOf(of)
}

// someOf returns a kind of which there are any.
func (w *working) someOf(of []int) int {
	var kinds []int
	for k, n := range of {
		if n > 0 {
			kinds = append(kinds, k)
		}
	}
	return kinds[w.rng.IntN(len(kinds))]
}

// embed lays a board out anew so that it holds a kit more. What there is too much of then
// is left out elsewhere.
func (w *working) embed() {
	if w.kits == nil || len(w.Plan) == 0 || w.rng.IntN(embeds) > 0 {
		return
	}
	w.spent(len(w.Plan))
	k := w.someKit()
	at, next := w.host(k), slices.Clone(w.Plan)
	for i := range next {
		next[i].Kits = slices.Clone(w.kept.holder.Held[i])
	}
	next[at].Kits[k]++
	lay, ok := w.embedded(next[at], k)
	if !ok {
		return
	}
	next[at] = lay
	next = w.trimmed(next)
	left := w.lacks(next)
	for i := range next {
		next[i] = w.ascent.B.Top(next[i], w.values(), left)
	}
	if w.ctx.Err() == nil && w.accept(next, left) && board.None(left) {
		w.finish()
	}
}

// host returns a board for a kit: the one that is nearest to it, or one that loses much.
func (w *working) host(k int) int {
	if _, at := w.kept.holder.Nearest(k, w.Dual.Best); at >= 0 && w.rng.IntN(2) > 0 {
		return at
	}
	return w.tournament(len(w.Plan), boardRivals, func(i int) float64 { return w.loss(w.Plan[i]) })
}

// embedded returns a board with the kits that are asked of it, or else with one of a kind
// alone, filled up with what is wanted without the board.
func (w *working) embedded(lay board.Layout, k int) (board.Layout, bool) {
	limit, value := slices.Clone(w.Left), w.values()
	for _, s := range lay.Pieces() {
		limit[s.Item] += s.Count
	}
	kind := w.rng.IntN(len(w.p.Kinds))
	if w.keeps || w.rng.IntN(otherKind) > 0 || !w.onRack(kind) {
		kind = lay.Kind
	}
	full, ok := w.ascent.Holding(kind, lay.Kits, value)
	if !ok {
		kits := make([]int, len(lay.Kits))
		kits[k] = 1
		if full, ok = w.ascent.Holding(kind, kits, value); !ok {
			return full, false
		}
	}
	for i := range limit {
		limit[i] = max(limit[i], w.p.InKits(full.Kits, i))
	}
	return w.ascent.Fill(full, value, limit, embedRounds), true
}

// loaded returns a board of a kind with one or more of the kits that a plan misses,
// filled up with what is left.
func (w *working) loaded(g *greed, plan []board.Layout, kind int) (lay board.Layout, ok bool) {
	if w.kits == nil || g.stock[kind] <= 0 {
		return lay, false
	}
	w.hold(plan)
	missing, kits := slices.Clone(w.kept.holder.Missing), make([]int, len(w.kits))
	for range loads {
		if board.None(missing) {
			break
		}
		k := w.someOf(missing)
		kits[k]++
		missing[k]--
		if next, holds := w.ascent.Holding(kind, slices.Clone(kits), g.value); holds {
			lay, ok = next, true
		} else {
			kits[k]--
		}
	}
	if !ok {
		return lay, false
	}
	limit := slices.Clone(g.left)
	for i := range limit {
		limit[i] = max(limit[i], w.p.InKits(lay.Kits, i))
	}
	return w.ascent.Fill(lay, g.value, limit, embedRounds), true
}

// onRack tells whether there is a board of a kind beside those of the solution.
func (w *working) onRack(k int) bool {
	n := w.p.Order.Boards[k].Quantity
	if n == plan.Unlimited {
		return true
	}
	for _, lay := range w.Plan {
		if lay.Kind == k {
			n--
		}
	}
	return n > 0
}

// trimmed returns boards without what they give beyond the need. One that gives nothing
// then is gone, unless the solution keeps to its boards.
func (w *working) trimmed(boards []board.Layout) []board.Layout {
	out := board.Each(w.p.Trim(board.UsesOf(boards), w.need))
	if !w.keeps {
		return out
	}
	lacks := make([]int, len(w.p.Kinds))
	for _, lay := range out {
		lacks[lay.Kind]--
	}
	for _, lay := range boards {
		if lacks[lay.Kind]++; lacks[lay.Kind] > 0 {
			out = append(out, board.Layout{Kind: lay.Kind})
			lacks[lay.Kind]--
		}
	}
	return out
}

// Hold gives the boards of a plan the kits wanted that it finds in them, and tells
// whether these are all.
func (b *Incumbent) Hold(plan []board.Layout) bool {
	if board.None(b.Kits) {
		return true
	}
	h := board.Holder{P: b.P}
	h.Hold(plan, b.Kits)
	for i := range plan {
		plan[i].Kits = h.Held[i]
	}
	return board.None(h.Missing)
}
