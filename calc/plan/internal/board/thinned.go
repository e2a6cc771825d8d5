package board

import (
	"slices"

	"resawd/calc/plan"
)

// Bounds returns the problem for bounds: it allows all plans, and where it is not the
// same, more than that.
func (p *Problem) Bounds() *Problem {
	if !p.Thinned() {
		return p
	}
	if p.bounds == nil {
		p.bounds = p.inClasses(p.classes)
	}
	return p.bounds
}

// inClasses returns the problem with so many classes of lengths and of widths of billets
// at most.
func (p *Problem) inClasses(n int) *Problem {
	long, wide := ways(p.Order)
	lens, wids := long.sizes(), wide.sizes()
	q := prepare(p.Order, joined(lens, n), joined(wids, n))
	q.within, q.coarse = n, n < max(len(lens), len(wids))
	return q
}

// Finer returns a problem for bounds with twice as many classes of sizes of billets, nil
// where there are no more or they would be too many.
func (p *Problem) Finer() *Problem {
	if !p.coarse {
		return nil
	}
	q := p.inClasses(2 * p.within)
	if len(q.Lens)*len(q.Wids)*len(q.Groups) > mostBillets {
		return nil
	}
	p.bounds = q
	return q
}

// Thinned tells whether plans make do with some sizes of billets.
func (p *Problem) Thinned() bool { return p.classes > 0 }

// Filled tells whether something was left out of a search for want of memory.
func (p *Problem) Filled() bool { return p.Full || p.bounds != nil && p.bounds.Filled() }

// Coarse tells whether a problem for bounds has classes of sizes of billets that are not
// the same.
func (p *Problem) Coarse() bool { return p.coarse }

// Undivided returns the problem without divided leaves.
func (p *Problem) Undivided() *Problem {
	o := p.Order
	o.Parts = slices.Clone(o.Parts)
	for i := range o.Parts {
		o.Parts[i].Divide = false
	}
	return Prepare(o)
}

// Adopted returns cuts of the undivided problem as those of this one.
func (p *Problem) Adopted(u *Problem, cuts []Use) []Use {
	var out []Use
	for _, c := range cuts {
		c.Layout = p.adopt(u, c.Layout)
		out = append(out, c)
	}
	return out
}

// adopt returns a layout of the undivided problem as one of this one.
func (p *Problem) adopt(u *Problem, lay Layout) Layout {
	lay = lay.Clone()
	for s := range lay.Strips {
		st := &lay.Strips[s]
		st.L, _ = slices.BinarySearch(p.Lens, u.Lens[st.L])
		for b := range st.Billets {
			bl := &st.Billets[b]
			bl.W, _ = slices.BinarySearch(p.Wids, u.Wids[bl.W])
			for i := range bl.Stacks {
				bl.Stacks[i].Places = p.Places(bl.Stacks[i].Item, st.L, bl.W)
			}
		}
	}
	return lay
}

// thin is Prepare with few sizes for plans, and few classes for bounds.
func thin(o plan.Order, sizes, classes int) *Problem {
	long, wide := ways(o)
	p := prepare(o, exactly(long.few(sizes)), exactly(wide.few(sizes)))
	p.classes = classes
	return p
}

// Up to how many lengths times widths of billets all are considered, and otherwise how
// many lengths and widths for plans, if that is more than one for each part, and how many
// classes of them for bounds.
const (
	mostSizes  = 1500
	fewSizes   = 30
	fewClasses = 14

	mostBillets = 150_000 // lengths, widths and groups of boards, where bounds have more classes
)
