package solver

import (
	"context"
	"slices"
	"strings"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
)

// gcd returns the greatest common divisor; that of 0 and b is b.
func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// split divides an order into jobs.
func split(o plan.Order) []*job {
	o.Parts = slices.Clone(o.Parts)
	for i, some := range board.Divisible(o) {
		o.Parts[i].Divide = some
	}
	group := make([]int, len(o.Boards)+len(o.Parts)) // a board or part points at another of its job
	for i := range group {
		group[i] = i
	}
	root := func(i int) int {
		for group[i] != i {
			group[i] = group[group[i]]
			i = group[i]
		}
		return i
	}
	for k, b := range o.Boards {
		for i, p := range o.Parts {
			if x, y := root(len(o.Boards)+i), root(k); x != y && board.Suits(b, p) {
				group[x] = y
			}
		}
	}
	for _, k := range o.Kits {
		for _, kp := range k.Parts {
			group[root(len(o.Boards)+kp.Part)] = root(len(o.Boards) + k.Parts[0].Part)
		}
	}
	at := map[int]*job{}
	var jobs []*job
	for i := range o.Parts {
		r := root(len(o.Boards) + i)
		if at[r] == nil {
			at[r] = &job{order: o}
			jobs = append(jobs, at[r])
		}
		at[r].join(i)
	}
	for i := range o.Boards {
		if j := at[root(i)]; j != nil {
			j.boards = append(j.boards, i)
		}
	}
	for _, j := range jobs {
		j.p = board.Prepare(j.own(o))
	}
	return jobs
}

// join adds a part to the item of its size, or as one of its own, as always where some
// go into kits.
func (j *job) join(part int) {
	all := j.order.Parts
	i := slices.IndexFunc(j.parts, func(of []int) bool { return alike(all[of[0]], all[part]) })
	if i < 0 || len(j.order.Kits) > 0 {
		j.parts = append(j.parts, []int{part})
		return
	}
	j.parts[i] = append(j.parts[i], part)
}

// alike tells whether the leaves of one part serve as those of another. A leaf is not
// divided into copies of two parts.
func alike(p plan.Part, q plan.Part) bool {
	return !p.Divide && !q.Divide && p.Thickness == q.Thickness && p.Width == q.Width && p.Length == q.Length && p.SetSize() == q.SetSize() &&
		strings.EqualFold(p.Species, q.Species) && strings.EqualFold(p.Sawn, q.Sawn)
}

// joined tells whether an item has more than one part.
func (j *job) joined() bool {
	return slices.ContainsFunc(j.parts, func(of []int) bool { return len(of) > 1 })
}

// splitItems makes an item of every part and starts again: what is unmet goes by the
// order of the parts.
func (j *job) splitItems(ctx context.Context) error {
	parts := slices.Sorted(slices.Values(slices.Concat(j.parts...)))
	j.parts = nil
	for _, i := range parts {
		j.parts = append(j.parts, []int{i})
	}
	j.p = board.Prepare(j.own(j.order))
	return j.begin(ctx)
}

// own returns the order of a job's own boards and items. It has the prices in
// units of what they have in common, so that the currency does not matter. Where passes
// cost by their length, what a billet costs is rounded, and no unit but one will do.
func (j *job) own(o plan.Order) plan.Order {
	boards, parts := o.Boards, o.Parts
	o.Boards, o.Parts, j.unit = nil, nil, gcd(o.PassPrice, o.BilletPrice)
	for _, i := range j.boards {
		o.Boards = append(o.Boards, boards[i])
		j.unit = gcd(j.unit, boards[i].Price)
	}
	if j.unit = max(1, j.unit); o.PassLength.Price > 0 {
		j.unit = 1
	}
	for k := range o.Boards {
		o.Boards[k].Price /= j.unit
	}
	o.PassPrice, o.BilletPrice = o.PassPrice/j.unit, o.BilletPrice/j.unit
	for _, of := range j.parts {
		item := parts[of[0]]
		for _, i := range of[1:] {
			item.Quantity, item.Spare = item.Quantity+parts[i].Quantity, item.Spare+parts[i].Spare
		}
		item.Divide = j.order.Parts[of[0]].Divide // parts that are one item are not divided
		o.Parts = append(o.Parts, item)
	}
	j.ownKits(&o)
	return o
}

// ownKits leaves the kits of a job's own items in its order.
func (j *job) ownKits(o *plan.Order) {
	all := o.Kits
	o.Kits, j.kinds = nil, nil
	for k, kit := range all {
		parts := slices.Clone(kit.Parts)
		for n, kp := range parts {
			parts[n].Part = slices.IndexFunc(j.parts, func(of []int) bool { return of[0] == kp.Part })
		}
		if parts[0].Part >= 0 {
			kit.Parts = parts
			o.Kits, j.kinds = append(o.Kits, kit), append(j.kinds, k)
		}
	}
}
