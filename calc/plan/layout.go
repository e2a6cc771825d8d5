package plan

import (
	"cmp"
	"slices"
)

// Sets is a number of matched sets of one item.
type Sets struct{ Item, Count int }

// cut is a number of boards cut to one layout.
type cut struct {
	layout
	copies int
}

// trim takes out of the cuts what is delivered beyond the sets wanted, from
// the last cut to the first, and drops boards that give nothing then.
func trim(cuts []cut, want []int) []cut {
	excess := make([]int, len(want))
	for i := range excess {
		excess[i] = -want[i]
	}
	for _, c := range cuts {
		for _, s := range c.pieces() {
			excess[s.Item] += s.Count * c.copies
		}
	}
	var out []cut
	for _, c := range slices.Backward(cuts) {
		for _, t := range lessen(c, excess) {
			if t.layout = t.compact(); len(t.strips) > 0 {
				out = append(out, t)
			}
		}
	}
	slices.Reverse(out)
	return out
}

// lessen lowers the excess by cuts that leave sets out, as few kinds of them
// as it takes.
func lessen(c cut, excess []int) []cut {
	for _, s := range c.pieces() {
		if excess[s.Item] <= 0 {
			continue
		}
		none := min(c.copies, excess[s.Item]/s.Count) // boards without the item
		if none == 0 {
			one := cut{c.without(s.Item, excess[s.Item]), 1}
			excess[s.Item] = 0
			return append(lessenRest(c, c.copies-1, excess), lessen(one, excess)...)
		}
		excess[s.Item] -= none * s.Count
		bare := cut{c.without(s.Item, s.Count), none}
		return append(lessenRest(c, c.copies-none, excess), lessen(bare, excess)...)
	}
	return []cut{c}
}

// lessenRest lessens the given number of copies of a cut.
func lessenRest(c cut, copies int, excess []int) []cut {
	if copies == 0 {
		return nil
	}
	c.copies = copies
	return lessen(c, excess)
}

// without returns the layout with a number of sets of an item left out, from
// the billets that hold the fewest of them.
func (lay layout) without(item, count int) layout {
	lay = lay.clone()
	var holders []*Sets
	for s := range lay.strips {
		for b := range lay.strips[s].billets {
			for i := range lay.strips[s].billets[b].sets {
				if pc := &lay.strips[s].billets[b].sets[i]; pc.Item == item {
					holders = append(holders, pc)
				}
			}
		}
	}
	slices.SortStableFunc(holders, func(x, y *Sets) int { return cmp.Compare(x.Count, y.Count) })
	for _, h := range holders {
		n := min(h.Count, count)
		h.Count -= n
		count -= n
	}
	return lay
}

// clone returns a deep copy.
func (lay layout) clone() layout {
	strips := slices.Clone(lay.strips)
	for s := range strips {
		strips[s].billets = slices.Clone(strips[s].billets)
		for b := range strips[s].billets {
			strips[s].billets[b].sets = slices.Clone(strips[s].billets[b].sets)
		}
	}
	return layout{lay.kind, strips}
}

// compact returns the layout without sets of none, empty billets and strips.
func (lay layout) compact() layout {
	lay = lay.clone()
	for s := range lay.strips {
		st := &lay.strips[s]
		for b := range st.billets {
			st.billets[b].sets = slices.DeleteFunc(st.billets[b].sets, func(p Sets) bool { return p.Count == 0 })
		}
		st.billets = slices.DeleteFunc(st.billets, func(b billet) bool { return len(b.sets) == 0 })
	}
	lay.strips = slices.DeleteFunc(lay.strips, func(s strip) bool { return len(s.billets) == 0 })
	return lay
}

// tighten makes every billet as narrow and every strip as short as its leaves
// allow.
func (lay layout) tighten(p *problem) layout {
	lay = lay.clone()
	for s := range lay.strips {
		st := &lay.strips[s]
		st.l = 0
		for b := range st.billets {
			bl := &st.billets[b]
			bl.w = 0
			for _, set := range bl.sets {
				bl.w, st.l = max(bl.w, p.items[set.Item].wid), max(st.l, p.items[set.Item].len)
			}
		}
		slices.SortStableFunc(st.billets, func(x, y billet) int { return cmp.Compare(y.w, x.w) })
	}
	return lay
}

// settle moves the strips of each segment together at its start, the longest
// first.
func (lay layout) settle(p *problem) layout {
	if !p.crosscuts() {
		return lay
	}
	lay = lay.clone()
	segs := slices.Clone(p.kinds[lay.kind].segs)
	in := func(st strip) int {
		return slices.IndexFunc(p.kinds[lay.kind].segs, func(s segment) bool { return st.from >= s.from && st.from < s.to })
	}
	slices.SortStableFunc(lay.strips, func(x, y strip) int {
		return cmp.Or(cmp.Compare(in(x), in(y)), cmp.Compare(y.l, x.l))
	})
	var end nm
	for s := range lay.strips {
		st := &lay.strips[s]
		seg := &segs[max(0, in(*st))]
		st.from = max(seg.from, end)
		end = st.from + p.lens[st.l] + p.order.CrosscutKerf
		seg.from = end
	}
	return lay
}

// cost returns what the boards of cuts cost.
func (p *problem) cost(cuts []cut) int64 {
	var sum int64
	for _, c := range cuts {
		sum += int64(c.copies) * p.price(c.kind)
	}
	return sum
}

// countSets counts the sets of each item.
func countSets(sets []Sets, items int) []int {
	count := make([]int, items)
	for _, pc := range sets {
		count[pc.Item] += pc.Count
	}
	return count
}

// costOf returns what the boards of a plan cost.
func (p *problem) costOf(plan []layout) int64 {
	var sum int64
	for _, lay := range plan {
		sum += p.price(lay.kind)
	}
	return sum
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

// cutsOf returns boards as cuts of one copy each.
func cutsOf(plan []layout) []cut {
	var cuts []cut
	for _, lay := range plan {
		cuts = append(cuts, cut{lay, 1})
	}
	return cuts
}
