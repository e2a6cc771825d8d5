package board

import (
	"cmp"
	"iter"
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
// the last cut to the first, and drops boards that give nothing then. Where work costs
// anything, billets become as short and narrow as what is left in them allows. What a
// board's kits are made of stays.
func (p *Problem) Trim(cuts []Use, want []int) []Use {
	excess := make([]int, len(want))
	for i, n := range want {
		excess[i] = -n
	}
	for _, c := range cuts {
		for _, s := range c.Pieces() {
			excess[s.Item] += s.Count * c.Copies
		}
	}
	var out []Use
	for _, c := range slices.Backward(cuts) {
		for _, t := range p.lessen(c, excess, 0) {
			if t.Layout = p.tidy(t.Layout); len(t.Strips) > 0 {
				out = append(out, t)
			}
		}
	}
	slices.Reverse(out)
	return out
}

// lessen lowers the excess of an item and those after it by cuts that leave leaves
// out, as few kinds of cuts as it takes. A leaf that gives more than the excess stays.
func (p *Problem) lessen(c Use, excess []int, from int) []Use {
	for _, s := range c.Pieces() {
		s.Count -= p.InKits(c.Kits, s.Item)
		if s.Item < from || excess[s.Item] <= 0 || s.Count <= 0 {
			continue
		}
		none := min(c.Copies, excess[s.Item]/s.Count) // boards without the item, but for their kits
		bare, out := c.without(s.Item, s.Count)
		if none == 0 || out == 0 {
			if bare, out = c.without(s.Item, min(s.Count, excess[s.Item])); out == 0 {
				continue
			}
			none = 1
		}
		excess[s.Item] -= none * out
		return append(p.lessenRest(c, c.Copies-none, excess), p.lessen(Use{bare, none}, excess, s.Item+1)...)
	}
	return []Use{c}
}

// lessenRest lessens the given number of copies of a cut.
func (p *Problem) lessenRest(c Use, copies int, excess []int) []Use {
	if copies == 0 {
		return nil
	}
	c.Copies = copies
	return p.lessen(c, excess, 0)
}

// without returns the layout with a number of sets of an item left out, or with as
// many as whole leaves give, from the billets that give the fewest of them. It says
// how many.
func (lay Layout) without(item, count int) (less Layout, out int) {
	lay = lay.Clone()
	var holders []*Stack
	for s := range lay.Strips {
		for b := range lay.Strips[s].Billets {
			for i := range lay.Strips[s].Billets[b].Stacks {
				if pc := &lay.Strips[s].Billets[b].Stacks[i]; pc.Item == item {
					holders = append(holders, pc)
				}
			}
		}
	}
	slices.SortStableFunc(holders, func(x, y *Stack) int { return cmp.Compare(x.Sets(), y.Sets()) })
	for _, h := range holders {
		n := min(h.Count, (count-out)/h.Places)
		h.Count -= n
		out += n * h.Places
	}
	return lay, out
}

// stacks yields the stacks of a layout.
func (lay Layout) stacks() iter.Seq[Stack] {
	return func(yield func(Stack) bool) {
		for _, st := range lay.Strips {
			for _, bl := range st.Billets {
				for _, s := range bl.Stacks {
					if !yield(s) {
						return
					}
				}
			}
		}
	}
}

// Clone returns a deep copy.
func (lay Layout) Clone() Layout {
	strips := slices.Clone(lay.Strips)
	for s := range strips {
		strips[s].Billets = slices.Clone(strips[s].Billets)
		for b := range strips[s].Billets {
			strips[s].Billets[b].Stacks = slices.Clone(strips[s].Billets[b].Stacks)
		}
	}
	return Layout{lay.Kind, strips, lay.Kits}
}

// compact returns the layout without stacks of none, empty billets and strips.
func (lay Layout) compact() Layout {
	lay = lay.Clone()
	for s := range lay.Strips {
		st := &lay.Strips[s]
		for b := range st.Billets {
			st.Billets[b].Stacks = slices.DeleteFunc(st.Billets[b].Stacks, func(s Stack) bool { return s.Count == 0 })
		}
		st.Billets = slices.DeleteFunc(st.Billets, func(b Billet) bool { return len(b.Stacks) == 0 })
	}
	lay.Strips = slices.DeleteFunc(lay.Strips, func(s Strip) bool { return len(s.Billets) == 0 })
	return lay
}

// tidy returns a compact layout, and a tight one where work costs anything.
func (p *Problem) tidy(lay Layout) Layout {
	if lay = lay.compact(); p.Priced() {
		lay = lay.tighten(p)
	}
	return lay
}

// tighten makes every strip as short and every billet as narrow as its leaves allow,
// with as many places in each.
func (lay Layout) tighten(p *Problem) Layout {
	lay = lay.Clone()
	for s := range lay.Strips {
		st := &lay.Strips[s]
		for st.L > 0 && !slices.ContainsFunc(st.Billets, func(bl Billet) bool { return !p.holds(bl.Stacks, st.L-1, bl.W) }) {
			st.L--
		}
		for b := range st.Billets {
			for bl := &st.Billets[b]; bl.W > 0 && p.holds(bl.Stacks, st.L, bl.W-1); {
				bl.W--
			}
		}
		slices.SortStableFunc(st.Billets, func(x, y Billet) int { return cmp.Compare(y.W, x.W) })
	}
	return lay
}

// holds tells whether leaves from a billet of classes have the places that stacks need.
func (p *Problem) holds(stacks []Stack, l, w int) bool {
	return !slices.ContainsFunc(stacks, func(s Stack) bool { return p.Places(s.Item, l, w) < s.Places })
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

// Cost returns what cuts cost: the boards and the work.
func (p *Problem) Cost(cuts []Use) int64 {
	var sum int64
	for _, c := range cuts {
		sum += int64(c.Copies) * p.LayoutCost(c.Layout)
	}
	return sum
}

// BoardsPrice returns what numbers of boards cost.
func (p *Problem) BoardsPrice(number []int) int64 {
	var sum int64
	for k, n := range number {
		sum += int64(n) * p.Price(k)
	}
	return sum
}

// LayoutCost returns what a board and the work on it cost.
func (p *Problem) LayoutCost(lay Layout) int64 { return p.Price(lay.Kind) + p.Work(lay) }

// CountSets counts the sets of each item.
func CountSets(sets []Sets, items int) []int {
	count := make([]int, items)
	for _, pc := range sets {
		count[pc.Item] += pc.Count
	}
	return count
}

// CountWithin counts the sets of each item that a layout gives, of each billet no more
// than a limit.
func CountWithin(lay Layout, limit []int) []int {
	count := make([]int, len(limit))
	for _, st := range lay.Strips {
		for _, bl := range st.Billets {
			for _, s := range bl.Stacks {
				count[s.Item] += min(s.Sets(), limit[s.Item])
			}
		}
	}
	return count
}

// CostOf returns what the boards of a plan cost, and the work.
func (p *Problem) CostOf(plan []Layout) int64 {
	var sum int64
	for _, lay := range plan {
		sum += p.LayoutCost(lay)
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

// Each returns cuts as boards, one for each copy.
func Each(cuts []Use) []Layout {
	var plan []Layout
	for _, c := range cuts {
		for range c.Copies {
			plan = append(plan, c.Layout)
		}
	}
	return plan
}

// Without returns the problem with some boards gone from the rack.
func (p *Problem) Without(gone []Layout) *Problem {
	q := *p
	q.bounds = nil
	q.Order.Boards = slices.Clone(p.Order.Boards)
	for _, lay := range gone {
		if b := &q.Order.Boards[lay.Kind]; b.Quantity != plan.Unlimited {
			b.Quantity--
		}
	}
	return &q
}
