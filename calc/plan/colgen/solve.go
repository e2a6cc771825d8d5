package colgen

import (
	"context"
	"errors"
	"fmt"
)

// Solve searches for a plan of least cost and for the bound that proves it.
// An error is a RangeError or ErrInternal; a search that ended early is not an
// error.
//
// Source: Gilmore and Gomory, Operations Research 9 (1961) 849-859; Belov and
// Scheithauer, European Journal of Operational Research 171 (2006) 85-106.
func Solve(ctx context.Context, p Problem, o Options) (*Result, error) {
	if err := p.validate(); err != nil {
		return nil, err
	}
	s := newSearch(ctx, &p, o)
	err := s.start()
	if err == nil {
		err = s.run()
	}
	if err != nil && !errors.Is(err, errEnd) {
		return nil, err
	}
	return s.result()
}

// Worth returns what a board of each kind is worth at most at some values of the
// items, none of them counted beyond its demand, and the steps of work it took.
//
// Source: the bounded knapsack problem, Martello and Toth, Knapsack Problems
// (Wiley 1990), ch. 3; from memory.
func Worth(ctx context.Context, p Problem, value []int64) (worth []int64, work int64, err error) {
	if err := p.validate(); err != nil {
		return nil, 0, err
	}
	answers, work, err := newKnapsack(p.Capacity, p.Size).Price(ctx, Query{Value: value, Limit: p.Demand, Floor: make([]int64, len(p.Kinds)), Many: 1})
	for _, a := range answers {
		worth = append(worth, a.Bound)
	}
	return worth, work, err
}

// start takes the caller's patterns, and the plan where it is one.
func (s *search) start() error {
	for _, u := range s.o.Plan {
		if err := s.p.checkPattern(u.Pattern); err != nil {
			return fmt.Errorf("colgen: the plan to start from: %w", err)
		}
		s.pool.add(u.Kind, u.Pieces)
	}
	for _, t := range s.o.Patterns {
		if err := s.p.checkPattern(t); err != nil {
			return fmt.Errorf("colgen: a pattern to start from: %w", err)
		}
		s.pool.add(t.Kind, t.Pieces)
	}
	if _, err := s.p.checkPlan(s.o.Plan); err == nil {
		return s.offer(s.o.Plan)
	}
	return nil
}

// result puts together what was found.
func (s *search) result() (*Result, error) {
	s.stats.Columns = len(s.pool.patterns)
	r := &Result{LowerBound: s.bound * s.unit, Stats: s.stats, StoppedBy: ByWork}
	switch {
	case s.none:
		r.Status, r.StoppedBy = Infeasible, ByProof
	case s.best == nil:
		r.Status = Unknown
	default:
		r.Status, r.Plan, r.Cost = Feasible, s.best, s.cost*s.unit
		r.Gap = gap(r.Cost, r.LowerBound)
		if s.cost == s.bound {
			r.Status, r.StoppedBy = Optimal, ByProof
		}
	}
	r.ItemPrice, r.KindPrice = s.prices()
	if r.StoppedBy == ByWork && s.ctx.Err() != nil {
		r.StoppedBy = ByTime
	}
	if s.best != nil && (s.none || s.bound > s.cost) {
		return nil, fmt.Errorf("%w: the bound %d is above the cost %d", ErrInternal, s.bound, s.cost)
	}
	return r, nil
}

// prices are the dual prices of the root in the units of the problem's costs.
func (s *search) prices() (item, kind []float64) {
	if s.root == nil || s.none {
		return nil, nil
	}
	f := s.dearest * float64(s.unit)
	for _, r := range s.root.itemRow {
		item = append(item, at(s.root.lp.y, r)*f)
	}
	for _, r := range s.root.highRow {
		kind = append(kind, -at(s.root.lp.y, r)*f)
	}
	return item, kind
}

// at is an element, or 0 for the index -1.
func at(y []float64, r int) float64 {
	if r < 0 {
		return 0
	}
	return y[r]
}

// run goes from the cheap to the dear.
func (s *search) run() error {
	if err := s.cheap(); err != nil {
		return err
	}
	packer, err := s.repack(nil)
	if err != nil {
		return err
	}
	if err := s.greedy(); err != nil && (!errors.Is(err, errEnd) || s.alive() != nil) {
		return err // when it settles the question, the linear program is solved for its prices
	}
	low, high := make([]int, len(s.kinds)), make([]int, len(s.kinds))
	for k := range high {
		high[k] = s.kinds[k].Quantity
	}
	if err := s.relax(low, high); err != nil {
		return err
	}
	if _, err := s.repack(packer); err != nil {
		return err
	}
	if err := s.firstMixes(); err != nil {
		return err
	}
	first := firstDives
	if s.oneKind() {
		first = 0 // tight dives are better
	}
	if err := s.dives(0, first); err != nil {
		return err
	}
	if err := s.mixes(); err != nil {
		return err
	}
	if err := s.tightly(); err != nil {
		return err
	}
	if err := s.byKinds(); err != nil {
		return err
	}
	return s.dives(first, mostDives)
}
