package solver

import (
	"cmp"
	"slices"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
)

// plan writes the plan down.
func (s *solver) plan() *plan.Plan {
	p := &plan.Plan{StoppedBy: s.stop(), Taken: []plan.Taken{}, UnmetKits: []plan.UnmetKit{}, Unmet: []plan.Unmet{}, UnmetProven: true}
	for _, j := range s.jobs {
		s.write(p, j)
	}
	p.Taken = together(p.Taken)
	arrange(s.o, p.Taken)
	p.LeftOver = s.o.LeftOver(p.Taken)
	slices.SortFunc(p.UnmetKits, func(x, y plan.UnmetKit) int { return cmp.Compare(x.Kit, y.Kit) })
	slices.SortStableFunc(p.Unmet, func(x, y plan.Unmet) int { return cmp.Compare(x.Part, y.Part) })
	s.tell(p)
	p.Gap = gap(p.Cost, p.LowerBound)
	p.Stats.Setups = setups(s.o, p.Taken)
	for _, t := range p.Taken {
		for _, b := range t.Billets {
			p.Stats.Passes += t.Copies * b.Passes()
		}
	}
	switch {
	case len(p.Unmet)+len(p.UnmetKits) > 0:
		p.Status = plan.Infeasible
	case p.LowerBound == p.Cost:
		p.Status = plan.Optimal
	default:
		p.Status = plan.Feasible
	}
	return p
}

// together sorts boards by kind and joins those that are cut alike.
func together(all []plan.Taken) []plan.Taken {
	slices.SortStableFunc(all, func(x, y plan.Taken) int { return cmp.Compare(x.Board, y.Board) })
	var out []plan.Taken
	for _, t := range all {
		i := slices.IndexFunc(out, func(x plan.Taken) bool {
			return x.Board == t.Board && slices.Equal(x.Kits, t.Kits) && slices.EqualFunc(x.Billets, t.Billets, sameCuts)
		})
		if i < 0 {
			out = append(out, t)
		} else {
			out[i].Copies += t.Copies
		}
	}
	return out
}

// sameCuts tells whether two billets are cut alike.
func sameCuts(x, y plan.Billet) bool {
	return x.From == y.From && x.Across == y.Across && x.Length == y.Length && x.Width == y.Width &&
		slices.Equal(x.Leaves, y.Leaves)
}

// write adds a job to a plan.
func (s *solver) write(p *plan.Plan, j *job) {
	left := make([]int, len(s.o.Parts)) // leaves of each part not given yet
	for i, part := range s.o.Parts {
		left[i] = part.SetCount() * part.SetSize()
	}
	cuts := slices.Clone(j.cuts)
	slices.SortStableFunc(cuts, func(x, y board.Use) int { return cmp.Compare(x.Kind, y.Kind) })
	for _, c := range cuts {
		p.Cost += j.unit * int64(c.Copies) * j.p.LayoutCost(c.Layout)
		p.Stats.Boards += c.Copies
		for n := c.Copies; n > 0; {
			t := j.p.Taken(c)
			t.Board = j.boards[t.Board]
			t.Copies = j.copies(t, n, left)
			t.Kits = j.kitsOf(c.Layout)
			n -= t.Copies
			p.Stats.Billets += t.Copies * len(t.Billets)
			for b := range t.Billets {
				t.Billets[b].Leaves = j.share(t.Billets[b].Leaves, t.Copies, left)
			}
			p.Taken = append(p.Taken, t)
		}
	}
	j.unmet(p)
	p.LowerBound += j.unit * j.bound
	p.UnmetProven = p.UnmetProven && j.sure
	p.Stats.Patterns += j.stats.Patterns
	p.Stats.Work += j.stats.Work
	p.Stats.MemoryFull = p.Stats.MemoryFull || j.stats.MemoryFull || j.p.Filled()
	p.Stats.Work += j.work()
}

// kitsOf returns the kits that a board gives.
func (j *job) kitsOf(lay board.Layout) []plan.KitCount {
	var all []plan.KitCount
	for k, n := range lay.Kits {
		if n > 0 {
			all = append(all, plan.KitCount{Kit: j.kinds[k], Count: n})
		}
	}
	return all
}

// unmet adds what a job leaves unmet: kits with all their parts, then what is missing
// of parts beside them, of the last parts of an item first.
func (j *job) unmet(p *plan.Plan) {
	for k, n := range j.kits {
		if m := j.p.Order.Kits[k].Quantity - n; m > 0 {
			p.UnmetKits = append(p.UnmetKits, plan.UnmetKit{Kit: j.kinds[k], Quantity: m})
		}
	}
	all := j.order.Parts
	for i, it := range j.p.Items {
		set, lost := j.p.Order.Parts[i].SetSize(), j.p.Lost(j.kits, i)
		if lost > 0 {
			p.Unmet = append(p.Unmet, plan.Unmet{Part: j.parts[i][0], Quantity: lost * set, Reason: plan.WithKit})
		}
		n := (it.Need - lost - j.need[i]) * set
		for _, part := range slices.Backward(j.parts[i]) {
			if m := min(n, all[part].SetCount()*set); m > 0 {
				p.Unmet = append(p.Unmet, plan.Unmet{Part: part, Quantity: m})
				n -= m
			}
		}
	}
}

// copies returns how many of the boards that are cut alike give the same parts, of
// which leaves are left as told: the next ones may give others.
func (j *job) copies(t plan.Taken, most int, left []int) int {
	count := make([]int, len(j.parts))
	for _, b := range t.Billets {
		for _, l := range b.Leaves {
			count[l.Part] += l.Count
		}
	}
	for i, of := range j.parts {
		if at := j.next(i, left); count[i] > 0 && at < len(of)-1 {
			most = min(most, max(1, left[of[at]]/count[i]))
		}
	}
	return most
}

// next returns which of the parts of an item is given next: the first of which
// there are leaves left, or the last.
func (j *job) next(item int, left []int) int {
	of := j.parts[item]
	at := 0
	for at < len(of)-1 && left[of[at]] == 0 {
		at++
	}
	return at
}

// share shares the leaves of items on some boards cut alike out among their parts, as
// far as each has some left.
func (j *job) share(leaves []plan.Leaves, copies int, left []int) []plan.Leaves {
	var out []plan.Leaves
	for _, l := range leaves {
		of := j.parts[l.Part]
		for at := j.next(l.Part, left); at < len(of) && l.Count > 0; at++ {
			give := l
			give.Part = of[at]
			if at < len(of)-1 {
				give.Count = min(l.Count, left[give.Part])
			}
			left[give.Part] -= copies * give.Count
			l.Count -= give.Count
			if give.Count > 0 {
				out = append(out, give)
			}
		}
	}
	all := j.order.Parts
	slices.SortStableFunc(out, func(x, y plan.Leaves) int {
		return cmp.Or(cmp.Compare(all[y.Part].Thickness, all[x.Part].Thickness), cmp.Compare(x.Part, y.Part))
	})
	return out
}
