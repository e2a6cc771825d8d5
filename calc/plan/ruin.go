package plan

import "slices"

// try makes one attempt at a better plan: it takes some boards out of the
// solution and lays them or other boards out anew.
//
// Source: ruin and recreate: Schrimpf et al., J. Computational Physics 159
// (2000) 139-171 (from memory), with boards laid out by ascent.
func (w *working) try() {
	w.spent(len(w.plan))
	kept, left, gone := w.ruin()
	value := w.values()
	for i := range kept {
		kept[i] = w.ascent.b.top(kept[i], value, left)
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
func (w *working) ruin() (kept []layout, left, gone []int) {
	out := w.lossy(w.plan, min(len(w.plan), 1+w.rng.IntN(4)))
	left = slices.Clone(w.left)
	for i, lay := range w.plan {
		if !slices.Contains(out, i) {
			kept = append(kept, lay)
			continue
		}
		gone = append(gone, lay.kind)
		for _, pc := range lay.pieces() {
			left[pc.Item] += pc.Count
		}
	}
	return kept, left, gone
}

// recreate lays boards out for what is left, as long as it is worth their
// price: boards of the kinds that are gone, or of any.
func (w *working) recreate(plan []layout, left []int, value []int64, gone []int) []layout {
	g := w.greed(plan, left, value)
	if w.rng.IntN(4) > 0 {
		w.rng.Shuffle(len(gone), func(i, j int) { gone[i], gone[j] = gone[j], gone[i] })
		for _, k := range gone {
			if c, ok := g.board(k); ok {
				plan = append(plan, c.layout)
			}
		}
	}
	for !none(left) && w.ctx.Err() == nil {
		before := w.worthless(left)
		at := slices.Clone(left)
		c, ok := g.next()
		if !ok || before-w.worthless(left) <= float64(w.p.price(c.kind)) {
			copy(left, at)
			break
		}
		plan = append(plan, c.layout)
	}
	return plan
}
