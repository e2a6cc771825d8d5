package solver

import (
	"context"
	"slices"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/bound"
	"resawd/calc/plan/internal/keep"
	"resawd/calc/plan/internal/outright"
	"resawd/calc/plan/internal/search"
)

// job is a piece of an order that shares no board and no part with the rest.
type job struct {
	order    plan.Order // the whole of it
	unit     int64      // of prices, in that of the order: what they all have in common
	boards   []int      // indices in the order
	parts    [][]int    // the same, by item: parts of one size are one item
	kinds    []int      // the same, of kits
	p        *board.Problem
	line     bool           // of one dimension, for the engine; else of three stages
	kits     []int          // of each kind to deliver; the rest is unmet, with all its parts
	need     []int          // sets to deliver, those in kits among them; the rest is unmet
	cuts     []board.Use    // that deliver them
	bound    int64          // certified, on the cost of delivering them
	exact    bool           // solved outright
	sure     bool           // no plan leaves less unmet
	open     bool           // the search may still better the cuts or the bound
	search   *search.Search // where there are kits, without regard to them
	keeper   *keep.Keeper   // of plans with kits, nil where there are none
	searched bool           // the search has ended
	price    []float64      // of a set of each item, from the search; nil when it has none
	stats    plan.Stats
	weighed  int  // work of the last estimate, by saving
	brief    bool // only asked what can be had, with less work
}

// begin finds a first plan, or the best one outright.
func (j *job) begin(ctx context.Context) error {
	j.kits, j.need = j.p.Wanted()
	j.sure = true
	steps := outright.MaxExactSteps
	switch {
	case j.brief:
		steps = outright.WhatIfSteps
	case len(j.kits) > 0 || j.p.Priced() && states(j.need) <= fewStates:
		steps = outright.MoreExactSteps
	}
	if a, ok := outright.SolveExact(ctx, j.p, j.kits, j.need, steps); ok {
		if j.joined() && !board.Covers(a.Given, j.need) {
			return j.splitItems(ctx)
		}
		if b, ok := outright.FewestPasses(ctx, j.p, a, outright.PassSteps); ok && !j.brief {
			a = b
		}
		j.kits, j.need, j.cuts = a.Kits, a.Given, j.p.Trim(a.Cuts, a.Given)
		j.bound, j.exact = j.p.Cost(j.cuts), true
		return nil
	}
	return j.beginLarge(ctx)
}

// beginLarge finds a first plan of what is not solved outright.
func (j *job) beginLarge(ctx context.Context) error {
	problem, _ := line(j.p, j.need)
	j.line = problem != nil
	if slices.ContainsFunc(j.kits, func(n int) bool { return n > 0 }) {
		return j.beginKits(ctx)
	}
	return j.start(ctx)
}

// start finds a first plan without kits.
func (j *job) start(ctx context.Context) (err error) {
	cuts, left := j.first(ctx)
	if !board.None(left) {
		if j.joined() {
			return j.splitItems(ctx)
		}
		if cuts, err = j.deliver(ctx, cuts, left); err != nil {
			return err
		}
	}
	j.cuts, j.open = j.p.Trim(cuts, j.need), true
	if j.brief {
		return nil
	}
	j.bound = bound.VolumeBound(j.p.Bounds(), j.need, j.p.Cost(j.cuts))
	if !j.line {
		j.search = search.NewSearch(ctx, j.p, j.need, j.cuts)
	}
	return nil
}

// fewStates is up to how many an order with work in its cost is worth more steps: the
// search is no better at it.
const fewStates = 10_000

// states returns how many states there are of what is still wanted, or more than few.
func states(need []int) int {
	n := 1
	for _, sets := range need {
		if n *= sets + 1; n > fewStates {
			break
		}
	}
	return n
}

// first returns a first plan and what it leaves. The engine has a better one
// of its own in one dimension, where this one is for when time is up.
func (j *job) first(ctx context.Context) ([]board.Use, []int) {
	if j.line {
		return search.Rows(j.p, j.need)
	}
	q := j.p.Gross()
	defer j.p.Note(q)
	if q.Thinned() { // undivided leaves are far sooner laid out
		u := q.Undivided()
		cuts, left := search.Greedy(ctx, board.NewTables(u), board.NewAscent(u), j.need, u.Price)
		if q.Spent += u.Spent; board.None(left) || ctx.Err() != nil || j.brief {
			return q.Adopted(u, cuts), left
		}
	}
	return search.Greedy(ctx, board.NewTables(q), board.NewAscent(q), j.need, q.Price)
}

// gap returns how far the cost is above the bound.
func (j *job) gap() int64 {
	if !j.open {
		return 0
	}
	return j.unit * (j.p.Cost(j.cuts) - j.bound)
}

// hope returns the gap, the less the longer the search has gained nothing, so
// that one job does not keep the others from theirs.
func (j *job) hope() float64 {
	var idle int64
	if j.keeper != nil {
		idle = j.keeper.Idle
	} else {
		idle = j.search.Idle()
	}
	return float64(j.gap()) / (1 + float64(idle)/hopeWork)
}

// work returns the steps that searches have had.
func (j *job) work() int64 {
	var sum int64
	if j.search != nil {
		sum = j.search.Work()
	}
	if j.keeper != nil {
		sum += j.keeper.Work
	}
	return sum
}

// slice searches for a while.
func (j *job) slice(patient bool) {
	if j.search != nil {
		j.search.Patient = patient
	}
	if j.keeper != nil {
		j.keep(patient)
		return
	}
	j.open = j.search.Slice()
	j.bound, j.price = min(j.search.Dual.Bound, j.search.Best.Cost), j.search.Dual.Best
	j.cuts = j.search.Cuts()
}

// hopeWork is how much work without gain halves the hope.
const hopeWork = 5_000_000
