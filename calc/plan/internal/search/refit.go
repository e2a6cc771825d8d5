package search

import (
	"slices"

	"resawd/calc/plan/internal/board"
)

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
	w.embed()
}

// refit makes one attempt at a better plan on the same boards: it takes some
// strips out of a few of them and lays out the lengths that become free for
// what is then left. It is a small step, and many times cheaper than try.
func (w *working) refit() {
	w.spent(len(w.Plan))
	plan, left := slices.Clone(w.Plan), slices.Clone(w.Left)
	open := w.open(plan, left)
	value := w.values()
	for i := range plan {
		plan[i] = w.ascent.B.Top(plan[i], value, left)
	}
	for _, i := range open {
		plan[i] = w.fillUp(plan[i], value, left)
	}
	if w.ctx.Err() != nil {
		return // left half done
	}
	if !w.keeps {
		plan = slices.DeleteFunc(plan, func(lay board.Layout) bool { return len(lay.Strips) == 0 })
	}
	score := w.score
	if w.accept(plan, left) && (board.None(left) || w.score < score && w.rng.IntN(8) == 0) {
		w.finish()
	}
}

// open takes strips out of some boards of a plan and adds their sets to
// what is left. It returns the boards, in any order.
func (w *working) open(plan []board.Layout, left []int) []int {
	open := w.lossy(plan, min(len(plan), 1+w.rng.IntN(3)))
	for _, i := range open {
		part, mean := 0.1+0.5*w.rng.Float64(), w.rate(plan[i].Strips...)
		lay := board.Layout{Kind: plan[i].Kind}
		for _, st := range plan[i].Strips {
			if w.rng.Float64() >= part*w.bias(st, mean) {
				lay.Strips = append(lay.Strips, st)
				continue
			}
			for _, bl := range st.Billets {
				for _, s := range bl.Stacks {
					left[s.Item] += s.Sets()
				}
			}
		}
		plan[i] = lay
	}
	return open
}

// fillUp adds strips to a board with what is left, which it lowers. A board
// that is not crosscut has one strip at most.
func (w *working) fillUp(lay board.Layout, value []int64, left []int) board.Layout {
	if !w.p.Crosscuts() && len(lay.Strips) > 0 {
		return lay
	}
	lay = lay.Settle(w.p)
	f := w.ascent.Part(lay.Kind, w.p.Free(lay), value, left, 1, 0)
	board.Take(left, f.Lay.Pieces())
	lay.Strips = append(lay.Strips, f.Lay.Strips...)
	return lay
}

// loose is a billet of a plan that is to be resawn.
type loose struct {
	*board.Billet
	l   int // length class
	set int // of items that its board may give
	of  nm  // thickness
}

// restack makes one attempt at a better plan of the same billets: it saws two
// or three of them again, one after the other, from what they held and what is
// left. It is a smaller step than refit.
func (w *working) restack() {
	w.steps += stepWork * int64(len(w.need)) / 4
	plan, left := slices.Clone(w.Plan), slices.Clone(w.Left)
	value := w.values()
	for _, x := range w.loosen(plan, left) {
		items, _ := w.ascent.B.Wanted(x.set, value, left)
		x.Stacks = w.ascent.B.Remainder(x.set, items, x.l, x.W, x.of, value, left)
		board.TakeStacks(left, x.Stacks)
	}
	if w.accept(plan, left) && board.None(left) {
		w.finish()
	}
}

// loosen takes billets of a plan apart and adds their sets to what is left.
func (w *working) loosen(plan []board.Layout, left []int) []loose {
	var all []loose
	copied := map[int]bool{}
	for range min(len(plan), 2+w.rng.IntN(2)) {
		i := w.tournament(len(plan), boardRivals, func(i int) float64 { return w.loss(plan[i]) })
		if !copied[i] {
			plan[i], copied[i] = plan[i].Clone(), true
		}
		if len(plan[i].Strips) == 0 {
			continue
		}
		strips := plan[i].Strips
		st := &strips[w.tournament(len(strips), stripRivals, func(n int) float64 { return -w.rate(strips[n]) })]
		if len(st.Billets) == 0 {
			continue
		}
		g := w.p.Groups[w.p.Kinds[plan[i].Kind].Group]
		x := loose{&st.Billets[w.rng.IntN(len(st.Billets))], st.L, g.Set, g.Room[st.L]}
		if slices.ContainsFunc(all, func(y loose) bool { return y.Billet == x.Billet }) {
			continue
		}
		for _, s := range x.Stacks {
			left[s.Item] += s.Sets()
		}
		x.Stacks = nil
		all = append(all, x)
	}
	return all
}
