package board

import (
	"cmp"
	"slices"

	"resawd/calc/plan"
)

// Sets is a number of matched sets of one item.
type Sets struct{ Item, Count int }

// Use is a number of boards cut to one layout.
type Use struct {
	Layout
	Copies int
}

// Trim takes out of the cuts what is delivered beyond the sets wanted, from
// the last cut to the first, and drops boards that give nothing then.
func Trim(cuts []Use, want []int) []Use {
	excess := make([]int, len(want))
	for i := range excess {
		excess[i] = -want[i]
	}
	for _, c := range cuts {
		for _, s := range c.Pieces() {
			excess[s.Item] += s.Count * c.Copies
		}
	}
	var out []Use
	for _, c := range slices.Backward(cuts) {
		for _, t := range lessen(c, excess) {
			if t.Layout = t.compact(); len(t.Strips) > 0 {
				out = append(out, t)
			}
		}
	}
	slices.Reverse(out)
	return out
}

// lessen lowers the excess by cuts that leave sets out, as few kinds of them
// as it takes.
func lessen(c Use, excess []int) []Use {
	for _, s := range c.Pieces() {
		if excess[s.Item] <= 0 {
			continue
		}
		none := min(c.Copies, excess[s.Item]/s.Count) // boards without the item
		if none == 0 {
			one := Use{c.without(s.Item, excess[s.Item]), 1}
			excess[s.Item] = 0
			return append(lessenRest(c, c.Copies-1, excess), lessen(one, excess)...)
		}
		excess[s.Item] -= none * s.Count
		bare := Use{c.without(s.Item, s.Count), none}
		return append(lessenRest(c, c.Copies-none, excess), lessen(bare, excess)...)
	}
	return []Use{c}
}

// lessenRest lessens the given number of copies of a cut.
func lessenRest(c Use, copies int, excess []int) []Use {
	if copies == 0 {
		return nil
	}
	c.Copies = copies
	return lessen(c, excess)
}

// without returns the layout with a number of sets of an item left out, from
// the billets that hold the fewest of them.
func (lay Layout) without(item, count int) Layout {
	lay = lay.Clone()
	var holders []*Sets
	for s := range lay.Strips {
		for b := range lay.Strips[s].Billets {
			for i := range lay.Strips[s].Billets[b].Sets {
				if pc := &lay.Strips[s].Billets[b].Sets[i]; pc.Item == item {
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

// Clone returns a deep copy.
func (lay Layout) Clone() Layout {
	strips := slices.Clone(lay.Strips)
	for s := range strips {
		strips[s].Billets = slices.Clone(strips[s].Billets)
		for b := range strips[s].Billets {
			strips[s].Billets[b].Sets = slices.Clone(strips[s].Billets[b].Sets)
		}
	}
	return Layout{lay.Kind, strips}
}

// compact returns the layout without sets of none, empty billets and strips.
func (lay Layout) compact() Layout {
	lay = lay.Clone()
	for s := range lay.Strips {
		st := &lay.Strips[s]
		for b := range st.Billets {
			st.Billets[b].Sets = slices.DeleteFunc(st.Billets[b].Sets, func(p Sets) bool { return p.Count == 0 })
		}
		st.Billets = slices.DeleteFunc(st.Billets, func(b Billet) bool { return len(b.Sets) == 0 })
	}
	lay.Strips = slices.DeleteFunc(lay.Strips, func(s Strip) bool { return len(s.Billets) == 0 })
	return lay
}

// tighten makes every billet as narrow and every strip as short as its leaves
// allow.
func (lay Layout) tighten(p *Problem) Layout {
	lay = lay.Clone()
	for s := range lay.Strips {
		st := &lay.Strips[s]
		st.L = 0
		for b := range st.Billets {
			bl := &st.Billets[b]
			bl.W = 0
			for _, set := range bl.Sets {
				bl.W, st.L = max(bl.W, p.Items[set.Item].Wid), max(st.L, p.Items[set.Item].Len)
			}
		}
		slices.SortStableFunc(st.Billets, func(x, y Billet) int { return cmp.Compare(y.W, x.W) })
	}
	return lay
}

// Settle moves the strips of each segment together at its start, the longest
// first.
func (lay Layout) Settle(p *Problem) Layout {
	if !p.Crosscuts() {
		return lay
	}
	lay = lay.Clone()
	segs := slices.Clone(p.Kinds[lay.Kind].Segs)
	in := func(st Strip) int {
		return slices.IndexFunc(p.Kinds[lay.Kind].Segs, func(s Segment) bool { return st.From >= s.From && st.From < s.To })
	}
	slices.SortStableFunc(lay.Strips, func(x, y Strip) int {
		return cmp.Or(cmp.Compare(in(x), in(y)), cmp.Compare(y.L, x.L))
	})
	var end nm
	for s := range lay.Strips {
		st := &lay.Strips[s]
		seg := &segs[max(0, in(*st))]
		st.From = max(seg.From, end)
		end = st.From + p.Lens[st.L] + p.Order.CrosscutKerf
		seg.From = end
	}
	return lay
}

// Cost returns what the boards of cuts cost.
func (p *Problem) Cost(cuts []Use) int64 {
	var sum int64
	for _, c := range cuts {
		sum += int64(c.Copies) * p.Price(c.Kind)
	}
	return sum
}

// CountSets counts the sets of each item.
func CountSets(sets []Sets, items int) []int {
	count := make([]int, items)
	for _, pc := range sets {
		count[pc.Item] += pc.Count
	}
	return count
}

// CostOf returns what the boards of a plan cost.
func (p *Problem) CostOf(plan []Layout) int64 {
	var sum int64
	for _, lay := range plan {
		sum += p.Price(lay.Kind)
	}
	return sum
}

// Free returns the stretches of a board behind the strips of a settled layout.
// A defect may be narrower than a kerf: then a strip on its one side leaves less
// room on the other.
func (p *Problem) Free(lay Layout) []Segment {
	all, kerf := p.Kinds[lay.Kind].Segs, p.Order.CrosscutKerf
	segs := slices.Clone(all)
	for _, st := range lay.Strips {
		for i, seg := range all {
			if st.From < seg.To { // in this stretch or before it
				segs[i].From = max(segs[i].From, st.From+p.Lens[st.L]+kerf)
			} else {
				segs[i].To = min(segs[i].To, st.From-kerf)
			}
		}
	}
	return segs
}

// UsesOf returns boards as cuts of one copy each.
func UsesOf(plan []Layout) []Use {
	var cuts []Use
	for _, lay := range plan {
		cuts = append(cuts, Use{lay, 1})
	}
	return cuts
}

// Without returns the problem with some boards gone from the rack.
func (p *Problem) Without(gone []Layout) *Problem {
	q := *p
	q.Order.Boards = slices.Clone(p.Order.Boards)
	for _, lay := range gone {
		if b := &q.Order.Boards[lay.Kind]; b.Quantity != plan.Unlimited {
			b.Quantity--
		}
	}
	return &q
}
