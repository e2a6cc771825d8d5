package plan

import (
	"context"
	"slices"
	"strings"

	"resawd/calc/plan/colgen"
)

// job is a piece of an order that shares no board and no part with the rest.
type job struct {
	order   Order   // the whole of it
	unit    int64   // of prices, in that of the order: what they all have in common
	boards  []int   // indices in the order
	parts   [][]int // the same, by item: parts of one size are one item
	p       *problem
	line    *colgen.Knapsack // of one dimension; nil for three stages
	need    []int            // sets to deliver; the rest is unmet
	cuts    []cut            // that deliver them
	bound   int64            // certified, on the cost of delivering them
	exact   bool             // solved outright
	sure    bool             // no plan leaves less unmet
	open    bool             // the search may still better the cuts or the bound
	search  *search
	price   []float64 // of a set of each item, from the search; nil when it has none
	stats   Stats
	weighed int // work of the last estimate, by saving
}

// split divides an order into jobs.
func split(o Order) []*job {
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
	for b, board := range o.Boards {
		for p, part := range o.Parts {
			if x, y := root(len(o.Boards)+p), root(b); x != y && suits(board, part) {
				group[x] = y
			}
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
		j.p = prepare(j.own(o))
	}
	return jobs
}

// join adds a part to the item of its size, or as one of its own.
func (j *job) join(part int) {
	all := j.order.Parts
	i := slices.IndexFunc(j.parts, func(of []int) bool { return all[of[0]].alike(all[part]) })
	if i < 0 {
		j.parts = append(j.parts, []int{part})
		return
	}
	j.parts[i] = append(j.parts[i], part)
}

// alike tells whether the leaves of one part serve as those of another.
func (p Part) alike(q Part) bool {
	return p.Thickness == q.Thickness && p.Width == q.Width && p.Length == q.Length && p.set() == q.set() &&
		strings.EqualFold(p.Species, q.Species) && strings.EqualFold(p.Sawn, q.Sawn)
}

// joined tells whether an item has more than one part.
func (j *job) joined() bool {
	return slices.ContainsFunc(j.parts, func(of []int) bool { return len(of) > 1 })
}

// sunder makes an item of every part and begins anew: what is unmet is so by the
// order of the parts.
func (j *job) sunder(ctx context.Context) error {
	parts := slices.Sorted(slices.Values(slices.Concat(j.parts...)))
	j.parts = nil
	for _, i := range parts {
		j.parts = append(j.parts, []int{i})
	}
	j.p = prepare(j.own(j.order))
	return j.begin(ctx)
}

// own returns the order of a job's own boards and items. It has the prices in
// units of what they have in common, so that the currency does not matter.
func (j *job) own(o Order) Order {
	boards, parts := o.Boards, o.Parts
	o.Boards, o.Parts, j.unit = nil, nil, 0
	for _, i := range j.boards {
		o.Boards = append(o.Boards, boards[i])
		j.unit = gcd(j.unit, boards[i].Price)
	}
	j.unit = max(1, j.unit)
	for k := range o.Boards {
		o.Boards[k].Price /= j.unit
	}
	for _, of := range j.parts {
		item := parts[of[0]]
		for _, i := range of[1:] {
			item.Quantity, item.Spare = item.Quantity+parts[i].Quantity, item.Spare+parts[i].Spare
		}
		o.Parts = append(o.Parts, item)
	}
	return o
}

// gcd returns the greatest common divisor; that of 0 and b is b.
func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// begin finds a first plan, or the best one outright.
func (j *job) begin(ctx context.Context) (err error) {
	j.need, j.sure = j.p.possible(), true
	if cuts, given, ok := solveExact(j.p, j.need, maxExactSteps); ok {
		if j.joined() && !covers(given, j.need) {
			return j.sunder(ctx)
		}
		j.need, j.cuts = given, trim(cuts, given)
		j.bound, j.exact = j.p.cost(j.cuts), true
		return nil
	}
	if j.line, err = j.p.knapsack(); err != nil {
		return err
	}
	cuts, left := j.first(ctx)
	if !none(left) {
		if j.joined() {
			return j.sunder(ctx)
		}
		if cuts, err = j.deliver(ctx, cuts, left); err != nil {
			return err
		}
	}
	j.cuts, j.open = trim(cuts, j.need), true
	j.bound = volumeBound(j.p, j.need, j.p.cost(j.cuts))
	if j.line == nil {
		j.search = newSearch(ctx, j.p, j.need, j.cuts)
	}
	return nil
}

// first returns a first plan and what it leaves. The engine has a better one
// of its own in one dimension, where this one is for when time is up.
func (j *job) first(ctx context.Context) ([]cut, []int) {
	if j.line == nil {
		return greedy(ctx, newTables(j.p), newAscent(j.p), j.need, j.p.price)
	}
	return rows(j.p, j.need)
}

// possible returns how many sets of each item are wanted, none of items that
// fit no board on the rack.
func (p *problem) possible() []int {
	need := make([]int, len(p.items))
	for k, kd := range p.kinds {
		if p.order.Boards[k].Quantity == 0 {
			continue
		}
		for _, i := range p.sets[p.groups[kd.group].set] {
			if p.fits(kd, i) {
				need[i] = p.items[i].need
			}
		}
	}
	return need
}

// fits tells whether a set of an item can be cut from a kind of board.
func (p *problem) fits(kd kind, i int) bool {
	it := p.items[i]
	_, placed := kd.place(0, p.lens[it.len])
	return (placed || !p.crosscuts()) && it.wid < p.highest() && it.size <= p.groups[kd.group].room[it.len] &&
		(!p.rips() || p.wids[it.wid]+p.order.RipKerf <= kd.rip)
}

// none tells whether there is nothing left.
func none(left []int) bool { return !slices.ContainsFunc(left, func(n int) bool { return n > 0 }) }

// price returns what a board costs.
func (p *problem) price(k int) int64 { return p.order.Boards[k].Price }

// cost returns what the boards of cuts cost.
func (p *problem) cost(cuts []cut) int64 {
	var sum int64
	for _, c := range cuts {
		sum += int64(c.copies) * p.price(c.kind)
	}
	return sum
}

// gap returns how far the cost is above the bound.
func (j *job) gap() int64 {
	if !j.open {
		return 0
	}
	return j.unit * (j.p.cost(j.cuts) - j.bound)
}

// hope returns the gap, the less the longer the search has gained nothing, so
// that one job does not keep the others from theirs.
func (j *job) hope() float64 {
	return float64(j.gap()) / (1 + float64(j.search.idle())/hopeWork)
}

// hopeWork is how much work without gain halves the hope.
const hopeWork = 5_000_000
