package search

import (
	"slices"

	"resawd/calc/plan/internal/board"
)

// try makes one attempt at a better plan: it takes some boards out of the
// solution and lays out them or other boards again.
//
// Source: ruin and recreate: Schrimpf et al., J. Computational Physics 159
// (2000) 139-171 (from memory), with boards laid out by ascent.
func (w *working) try() {
	w.spent(len(w.Plan))
	kept, left, gone := w.ruin()
	value := w.values()
	for i := range kept {
		kept[i] = w.ascent.B.Top(kept[i], value, left)
	}
	plan := w.recreate(kept, left, value, gone)
	if w.ctx.Err() != nil {
		return // left half done
	}
	if w.accept(plan, left) {
		w.finish()
	}
}

// ruin takes one to four boards out of the solution. It returns the others,
// what is missing without them, and the kinds of the boards.
func (w *working) ruin() (kept []board.Layout, left, gone []int) {
	out := w.lossy(w.Plan, min(len(w.Plan), 1+w.rng.IntN(4)))
	left = slices.Clone(w.Left)
	for i, lay := range w.Plan {
		if !slices.Contains(out, i) {
			kept = append(kept, lay)
			continue
		}
		gone = append(gone, lay.Kind)
		for _, pc := range lay.Pieces() {
			left[pc.Item] += pc.Count
		}
	}
	return kept, left, gone
}

// board takes a board of a kind beside a plan: with kits that the plan misses, if it can.
func (w *working) board(g *greed, plan []board.Layout, k int) (board.Use, bool) {
	if lay, ok := w.loaded(g, plan, k); ok {
		return g.take(lay)
	}
	return g.Board(k)
}

// recreate lays boards out for what is left, as long as it is worth their
// price: boards of the kinds that are gone, or of any.
func (w *working) recreate(plan []board.Layout, left []int, value []int64, gone []int) []board.Layout {
	g := w.Greed(plan, left, value)
	if w.rng.IntN(4) > 0 {
		w.rng.Shuffle(len(gone), func(i, j int) { gone[i], gone[j] = gone[j], gone[i] })
		for _, k := range gone {
			if c, ok := w.board(g, plan, k); ok {
				plan = append(plan, c.Layout)
			}
		}
	}
	for !board.None(left) && w.ctx.Err() == nil {
		before := w.worthless(left)
		at := slices.Clone(left)
		c, ok := g.next()
		if !ok || before-w.worthless(left) <= float64(w.p.LayoutCost(c.Layout)) {
			copy(left, at)
			break
		}
		plan = append(plan, c.Layout)
	}
	return plan
}
