package plan

import "slices"

// refit makes one attempt at a better plan on the same boards: it takes some
// strips out of a few of them and lays out the lengths that become free for
// what is then left. It is a small step, and many times cheaper than try.
func (s *search) refit() {
	s.steps += int64(len(s.need) + len(s.plan))
	plan, left := slices.Clone(s.plan), slices.Clone(s.left)
	open := s.open(plan, left)
	value := s.values()
	for i := range plan {
		plan[i] = plan[i].clone()
		s.ascent.b.top(plan[i], value, left)
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
	score := s.worthless(left) + s.charges(plan)
	if score > s.score+s.slack() {
		return
	}
	better := score < s.score
	s.plan, s.left, s.score = plan, left, score
	if none(left) || better && s.rng.IntN(8) == 0 {
		s.finish()
	}
}

// open takes strips out of one or two boards of a plan and adds their sets to
// what is left. It returns the boards, in any order.
func (s *search) open(plan []layout, left []int) []int {
	if len(plan) == 0 {
		return nil
	}
	var open []int
	for n := min(len(plan), 1+s.rng.IntN(2)); len(open) < n; {
		if i := s.rng.IntN(len(plan)); !slices.Contains(open, i) {
			open = append(open, i)
		}
	}
	for _, i := range open {
		part := 0.3 + 0.7*s.rng.Float64()
		lay := layout{kind: plan[i].kind}
		for _, st := range plan[i].strips {
			if s.rng.Float64() >= part {
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

// fillUp adds strips to a board with what is left, which it lowers.
func (s *search) fillUp(lay layout, value []int64, left []int) layout {
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
