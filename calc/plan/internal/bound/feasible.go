package bound

import (
	"cmp"
	"context"
	"slices"

	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/layouts"
)

// feasibility decides whether some boards, taken together, can deliver the need,
// from shortlists: what a board gives is worth no less than the need is when all
// the other boards are worth as much as they can be. Other prices shorten the
// lists further, and what is left is tried.
type feasibility struct {
	h      *restricted
	groups []shortlisted
	near   surrogate  // prices at which the boards are worth little more than the need
	chosen [][]*entry // by kind
	steps  int        // of choosing
	misses int        // choices that deliver all that has a price, and not the rest
	plan   []board.Layout
}

// shortlisted is a kind of board and what is left of its shortlist.
type shortlisted struct {
	kind    int
	number  int
	list    *layouts.Enumerator
	entries []*entry
	low     []int // sets of each item that its best entries gave at least
	high    []int // and at most
}

// entry is a label of a board.
type entry struct {
	lot  layouts.Label
	sets []byte // of each item, no more than the need
	work int64  // in steps of value, but for leaves that cost the same from every billet
}

// listSteps is how many steps shortlists may take, level by level of boardNodes.
var listSteps = []int{200_000, 600_000, 2_000_000, 5_000_000, 10_000_000}

// Limits of a feasibility problem.
const (
	listClimbs    = 150 // rounds of ascent, for the multipliers of a shortlist
	listRounds    = 200 // of prices, for the shortlists as they are
	tightenRounds = 10  // the same, after every choice
	chooseSteps   = 8_000_000
	fewEntries    = 30 // that are chosen from one by one
	mostMisses    = 30

	listWork  = 10 // of a step of a shortlist, in steps of work
	entryWork = 5  // of weighing an entry
)

// decide decides whether numbers of boards can deliver the need, with work of a price, if
// shortlists will do for that, and returns a plan if they can. Where work costs anything
// it goes on to the cheapest plan, and the verdict is on those that are cheaper still.
func (h *restricted) decide(ctx context.Context, number []int, steps int, work int64) (verdict, []board.Layout) {
	if h.near.value == nil {
		return undecided, nil
	}
	a := &feasibility{h: h, chosen: make([][]*entry, len(number)), near: h.near}
	if verdict := a.shortlist(ctx, number, steps, work); verdict != can {
		return verdict, nil
	}
	v := a.seek(ctx, work)
	for v == can && h.d.p.Priced() {
		v = a.seek(ctx, h.d.p.CostOf(a.plan)-1-h.d.p.BoardsPrice(number))
	}
	h.spent += entryWork * int64(a.steps)
	if v == cannot && a.misses > 0 {
		v = undecided
	}
	return v, a.plan
}

// seek seeks a plan with work of a price in the shortlists.
func (a *feasibility) seek(ctx context.Context, work int64) verdict {
	price := make([]float64, len(a.h.d.need))
	for i, x := range a.near.value {
		price[i] = float64(x) / a.h.d.p.Grain
	}
	c := &subproblem{left: slices.Clone(a.h.d.need), work: work - a.h.d.p.AlikeWork(a.h.d.need), whole: work}
	for _, g := range a.groups {
		g.entries = slices.Clone(g.entries)
		c.groups = append(c.groups, g)
	}
	for i, v := range a.near.value {
		if v == 0 {
			c.left[i] = 0 // not in question: the entries leave it out
		}
	}
	if a.tighten(ctx, c, price, listRounds) {
		return cannot
	}
	return a.choose(ctx, c, price)
}

// shortlist makes the shortlists of numbers of boards. The verdict is that the
// boards can deliver the need as far as the values tell, with work of a price.
func (a *feasibility) shortlist(ctx context.Context, number []int, steps int, work int64) verdict {
	h, o, need := a.h, a.near, a.h.d.need
	share := make([][]float64, len(number))
	for k, n := range number {
		if n > 0 {
			known, _ := h.pool.best(k, o.value, need)
			f := h.a.Board(k, o.value, need, listClimbs, known)
			o.worth[k], share[k] = min(o.worth[k], f.Bound), f.Share
		}
	}
	over := board.Total(o.worth, number) + h.d.p.WorkSteps(work) - board.Total(o.value, need)
	if over < 0 {
		return cannot
	}
	for _, k := range o.upward(number) {
		s, ok := layouts.NewEnumerator(h.a.B.T, k, o.value, share[k], need)
		if !ok || ctx.Err() != nil {
			return undecided
		}
		ok = s.List(ctx, o.worth[k]-over, steps)
		h.spent += listWork * int64(steps-s.Budget)
		if steps = s.Budget; !ok {
			h.d.p.Full = h.d.p.Full || h.level == len(listSteps) && ctx.Err() == nil // no longer list is tried
			return undecided
		}
		if over -= int64(number[k]) * (o.worth[k] - s.Most()); over < 0 || len(s.Boards) == 0 {
			return cannot
		}
		a.groups = append(a.groups, a.group(s, k, number[k]))
	}
	return can
}

// upward returns the kinds of which there are some numbers, those that are worth least
// first: their lists are short, and tell by how much less the boards are worth.
func (o surrogate) upward(number []int) (kinds []int) {
	for k, n := range number {
		if n > 0 {
			kinds = append(kinds, k)
		}
	}
	slices.SortStableFunc(kinds, func(x, y int) int { return cmp.Compare(o.worth[x], o.worth[y]) })
	return kinds
}

// group returns the shortlisted kind of a shortlist.
func (a *feasibility) group(s *layouts.Enumerator, k, n int) shortlisted {
	g := shortlisted{kind: k, number: n, list: s}
	for _, x := range s.Boards {
		e := &entry{x, make([]byte, len(a.h.d.need)), a.h.d.p.Steps(x.Work)}
		for at, i := range s.Items {
			e.sets[i] = x.Sets[at]
		}
		g.entries = append(g.entries, e)
	}
	return g
}

// complete lays out what is chosen if it delivers the need.
func (a *feasibility) complete(c *subproblem) verdict {
	if !board.None(c.left) {
		return cannot
	}
	left := slices.Clone(a.h.d.need)
	var plan []board.Layout
	for _, g := range a.groups {
		for _, e := range a.chosen[g.kind] {
			if lay := g.list.Layout(g.kind, e.lot); len(lay.Pieces()) > 0 {
				board.Take(left, lay.Pieces())
				plan = append(plan, lay)
			}
		}
	}
	value := make([]int64, len(left))
	for i := range left {
		left[i], value[i] = max(0, left[i]), 1
	}
	for i := range plan {
		plan[i] = a.h.a.B.Top(plan[i], value, left)
	}
	if plan = a.trimmed(plan); a.cheap(c, plan) && board.None(left) {
		a.plan = plan
		return can
	}
	if a.misses++; a.misses > mostMisses {
		return undecided
	}
	return cannot
}

// trimmed returns a plan without what is beyond the need, where that costs work.
func (a *feasibility) trimmed(plan []board.Layout) []board.Layout {
	p := a.h.d.p
	if !p.Priced() {
		return plan
	}
	return board.Each(p.Trim(board.UsesOf(plan), a.h.d.need))
}

// cheap tells whether a plan keeps within the work that a choice has left. What fills
// its billets up may cost more than that.
func (a *feasibility) cheap(c *subproblem, plan []board.Layout) bool {
	if !a.h.d.p.Priced() {
		return true
	}
	var work int64
	for _, lay := range plan {
		work += a.h.d.p.Work(lay)
	}
	return work <= c.whole
}
