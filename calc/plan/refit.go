package plan

import "slices"

// How many small steps there are for a larger one.
const (
	refits   = 20 // for a try
	restacks = 3  // for a refit
)

// nudge makes a few small steps.
func (w *working) nudge() {
	w.refit()
	for range restacks {
		w.restack()
	}
}

// refit makes one attempt at a better plan on the same boards: it takes some
// strips out of a few of them and lays out the lengths that become free for
// what is then left. It is a small step, and many times cheaper than try.
func (w *working) refit() {
	w.spent(len(w.plan))
	plan, left := slices.Clone(w.plan), slices.Clone(w.left)
	open := w.open(plan, left)
	value := w.values()
	for i := range plan {
		plan[i] = w.ascent.b.top(plan[i], value, left)
	}
	for _, i := range open {
		plan[i] = w.fillUp(plan[i], value, left)
	}
	if w.ctx.Err() != nil {
		return // left half done
	}
	if !w.keeps {
		plan = slices.DeleteFunc(plan, func(lay layout) bool { return len(lay.strips) == 0 })
	}
	score := w.score
	if w.accept(plan, left) && (none(left) || w.score < score && w.rng.IntN(8) == 0) {
		w.finish()
	}
}

// open takes strips out of some boards of a plan and adds their sets to
// what is left. It returns the boards, in any order.
func (w *working) open(plan []layout, left []int) []int {
	open := w.lossy(plan, min(len(plan), 1+w.rng.IntN(3)))
	for _, i := range open {
		part, mean := 0.1+0.5*w.rng.Float64(), w.rate(plan[i].strips...)
		lay := layout{kind: plan[i].kind}
		for _, st := range plan[i].strips {
			if w.rng.Float64() >= part*w.bias(st, mean) {
				lay.strips = append(lay.strips, st)
				continue
			}
			for _, bl := range st.billets {
				for _, pc := range bl.sets {
					left[pc.Item] += pc.Count
				}
			}
		}
		plan[i] = lay
	}
	return open
}

// fillUp adds strips to a board with what is left, which it lowers. A board
// that is not crosscut has one strip at most.
func (w *working) fillUp(lay layout, value []int64, left []int) layout {
	if !w.p.crosscuts() && len(lay.strips) > 0 {
		return lay
	}
	lay = lay.settle(w.p)
	f := w.ascent.part(lay.kind, w.p.free(lay), value, left, 1, 0)
	take(left, f.lay.pieces())
	lay.strips = append(lay.strips, f.lay.strips...)
	return lay
}

// loose is a billet of a plan that is to be sawn anew.
type loose struct {
	*billet
	l   int // length class
	set int // of items that its board may give
	of  nm  // thickness
}

// restack makes one attempt at a better plan of the same billets: it saws two
// or three of them anew, one after the other, from what they held and what is
// left. It is a smaller step than refit.
func (w *working) restack() {
	w.steps += stepWork * int64(len(w.need)) / 4
	plan, left := slices.Clone(w.plan), slices.Clone(w.left)
	value := w.values()
	for _, x := range w.loosen(plan, left) {
		items, _ := w.ascent.b.wanted(x.set, value, left)
		x.sets = w.ascent.b.remainder(items, x.l, x.w, x.of, value, left)
		take(left, x.sets)
	}
	if w.accept(plan, left) && none(left) {
		w.finish()
	}
}

// loosen takes billets of a plan apart and adds their sets to what is left.
func (w *working) loosen(plan []layout, left []int) []loose {
	var all []loose
	copied := map[int]bool{}
	for range min(len(plan), 2+w.rng.IntN(2)) {
		i := w.tournament(len(plan), boardRivals, func(i int) float64 { return w.loss(plan[i]) })
		if !copied[i] {
			plan[i], copied[i] = plan[i].clone(), true
		}
		if len(plan[i].strips) == 0 {
			continue
		}
		strips := plan[i].strips
		st := &strips[w.tournament(len(strips), stripRivals, func(n int) float64 { return -w.rate(strips[n]) })]
		if len(st.billets) == 0 {
			continue
		}
		g := w.p.groups[w.p.kinds[plan[i].kind].group]
		x := loose{&st.billets[w.rng.IntN(len(st.billets))], st.l, g.set, g.room[st.l]}
		if slices.ContainsFunc(all, func(y loose) bool { return y.billet == x.billet }) {
			continue
		}
		for _, pc := range x.sets {
			left[pc.Item] += pc.Count
		}
		x.sets = nil
		all = append(all, x)
	}
	return all
}
