package plan

import "slices"

// refit makes one attempt at a better plan on the same boards: it takes some
// strips out of a few of them and lays out the lengths that become free for
// what is then left. It is a small step, and many times cheaper than try.
func (s *search) refit() {
	s.spent(len(s.plan))
	plan, left := slices.Clone(s.plan), slices.Clone(s.left)
	open := s.open(plan, left)
	value := s.values()
	for i := range plan {
		plan[i] = s.ascent.b.top(plan[i], value, left)
	}
	for _, i := range open {
		plan[i] = s.fillUp(plan[i], value, left)
	}
	if s.ctx.Err() != nil {
		return // left half done
	}
	if !s.keeps {
		plan = slices.DeleteFunc(plan, func(lay layout) bool { return len(lay.strips) == 0 })
	}
	score := s.score
	if s.accept(plan, left) && (none(left) || s.score < score && s.rng.IntN(8) == 0) {
		s.finish()
	}
}

// open takes strips out of some boards of a plan and adds their sets to
// what is left. It returns the boards, in any order.
func (s *search) open(plan []layout, left []int) []int {
	open := s.lossy(plan, min(len(plan), 1+s.rng.IntN(3)))
	for _, i := range open {
		part, mean := 0.1+0.5*s.rng.Float64(), s.rate(plan[i].strips...)
		lay := layout{kind: plan[i].kind}
		for _, st := range plan[i].strips {
			if s.rng.Float64() >= part*s.bias(st, mean) {
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
func (s *search) fillUp(lay layout, value []int64, left []int) layout {
	if !s.p.crosscuts() && len(lay.strips) > 0 {
		return lay
	}
	lay = lay.settle(s.p)
	f := s.ascent.part(lay.kind, s.p.free(lay), value, left, 1, 0)
	take(left, f.lay.pieces())
	lay.strips = append(lay.strips, f.lay.strips...)
	return lay
}

// free returns the stretches of a board behind the strips of a settled layout.
// A defect may be narrower than a kerf: then a strip on its one side leaves less
// room on the other.
func (p *problem) free(lay layout) []segment {
	all, kerf := p.kinds[lay.kind].segs, p.order.CrosscutKerf
	segs := slices.Clone(all)
	for _, st := range lay.strips {
		for i, seg := range all {
			if st.from < seg.to { // in this stretch or before it
				segs[i].from = max(segs[i].from, st.from+p.lens[st.l]+kerf)
			} else {
				segs[i].to = min(segs[i].to, st.from-kerf)
			}
		}
	}
	return segs
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
func (s *search) restack() {
	s.steps += stepWork * int64(len(s.need)) / 4
	plan, left := slices.Clone(s.plan), slices.Clone(s.left)
	value := s.values()
	for _, x := range s.loosen(plan, left) {
		items, _ := s.ascent.b.wanted(x.set, value, left)
		x.sets = s.ascent.b.remainder(items, x.l, x.w, x.of, value, left)
		take(left, x.sets)
	}
	if s.accept(plan, left) && none(left) {
		s.finish()
	}
}

// loosen takes billets of a plan apart and adds their sets to what is left.
func (s *search) loosen(plan []layout, left []int) []loose {
	var all []loose
	copied := map[int]bool{}
	for range min(len(plan), 2+s.rng.IntN(2)) {
		i := s.tournament(len(plan), boardRivals, func(i int) float64 { return s.loss(plan[i]) })
		if !copied[i] {
			plan[i], copied[i] = plan[i].clone(), true
		}
		if len(plan[i].strips) == 0 {
			continue
		}
		strips := plan[i].strips
		st := &strips[s.tournament(len(strips), stripRivals, func(n int) float64 { return -s.rate(strips[n]) })]
		if len(st.billets) == 0 {
			continue
		}
		g := s.p.groups[s.p.kinds[plan[i].kind].group]
		x := loose{&st.billets[s.rng.IntN(len(st.billets))], st.l, g.set, g.room[st.l]}
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
