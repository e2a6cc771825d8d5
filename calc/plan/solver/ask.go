package solver

import (
	"slices"

	"resawd/calc/plan"
)

// Work allowed to all questions about what is unmet, and what a question of a job takes
// that is not solved outright, beside its greedy method.
const (
	askWork   = 250_000_000
	askedWork = 5_000_000
	pairWork  = 10 // to split an order, for each board and part
)

// asker asks what other boards would give.
type asker struct {
	*solver
	left int64 // work
	err  error // of a question: an internal one
}

// ask returns a first plan of an order, nil when no work is left for it.
func (a *asker) ask(o plan.Order) *plan.Plan {
	if a.left <= 0 || a.err != nil {
		return nil
	}
	s := solver{ctx: a.ctx, o: o, jobs: split(o)}
	a.left -= pairWork * int64(len(o.Boards)) * int64(len(o.Parts))
	for _, j := range s.jobs {
		j.brief = true
		if a.err = j.begin(a.ctx); a.err != nil {
			return nil
		}
		a.left -= j.p.Spent + 1000
		if !j.exact {
			a.left -= askedWork
		}
	}
	return s.plan()
}

// gives tells whether one board gives some parts.
func (a *asker) gives(b plan.Board, parts []plan.Part) bool {
	o := a.o
	b.Quantity, b.Price, b.Species, b.Sawn = 1, 0, "", ""
	o.Boards, o.Kits, o.Parts = []plan.Board{b}, nil, slices.Clone(parts)
	o.PassPrice, o.BilletPrice, o.PassLength = 0, 0, plan.Rate{}
	for i := range parts {
		o.Parts[i].Species, o.Parts[i].Sawn = "", ""
	}
	p := a.ask(o)
	return p != nil && len(p.Unmet) == 0
}

// alone is the order of a job's own boards, parts and kits, and what these are in the
// order that it is of.
type alone struct {
	plan.Order
	parts, kits []int
}

// upTo returns the order of a job up to a thing: nothing that comes after it is wanted.
func (j *job) upTo(o plan.Order, t thing) alone {
	out, at := alone{Order: o, parts: slices.Sorted(slices.Values(slices.Concat(j.parts...)))}, map[int]int{}
	out.Boards, out.Parts, out.Kits = nil, nil, nil
	for _, k := range j.boards {
		out.Boards = append(out.Boards, o.Boards[k])
	}
	for n, i := range out.parts {
		at[i] = n
		p := o.Parts[i]
		if t.kit || i > t.index {
			p.Quantity, p.Spare = 0, 0
		}
		out.Parts = append(out.Parts, p)
	}
	for n, k := range o.Kits {
		if _, own := at[k.Parts[0].Part]; !own || t.kit && n > t.index {
			continue
		}
		k.Parts = slices.Clone(k.Parts)
		for i, kp := range k.Parts {
			k.Parts[i].Part = at[kp.Part]
			if t.kit || kp.Part > t.index {
				out.Parts[at[kp.Part]].Quantity += k.Quantity * kp.Quantity
			}
		}
		out.Kits, out.kits = append(out.Kits, k), append(out.kits, n)
	}
	return out
}
