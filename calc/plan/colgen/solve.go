package colgen

import (
	"context"
	"fmt"
)

// Solve searches for a plan of least cost and for the bound that proves it.
// An error is a RangeError, an error of the Pricer, or ErrInternal; a search
// that ended early is not an error.
//
// Source: Gilmore and Gomory, Operations Research 9 (1961) 849-859.
func Solve(ctx context.Context, p Problem, o Options) (*Result, error) {
	if err := p.validate(); err != nil {
		return nil, err
	}
	s := newSearch(ctx, &p, o)
	if err := s.start(); err != nil {
		return nil, err
	}
	if err := s.run(); err != nil {
		return nil, err
	}
	return s.result()
}

// search is the state of one call of Solve.
type search struct {
	ctx   context.Context
	p     *Problem
	o     Options
	best  []Use // nil when there is no plan yet
	cost  int64 // of best
	bound int64 // certified
	none  bool  // proven: there is no plan
	stats Stats
}

func newSearch(ctx context.Context, p *Problem, o Options) *search {
	return &search{ctx: ctx, p: p, o: o}
}

// start takes the caller's plan, where it is one.
func (s *search) start() error {
	for _, u := range s.o.Plan {
		if err := s.p.checkPattern(u.Pattern); err != nil {
			return fmt.Errorf("colgen: the plan to start from: %w", err)
		}
	}
	for _, t := range s.o.Patterns {
		if err := s.p.checkPattern(t); err != nil {
			return fmt.Errorf("colgen: a pattern to start from: %w", err)
		}
	}
	if _, err := s.p.checkPlan(s.o.Plan); err == nil {
		return s.offer(s.o.Plan)
	}
	return nil
}

// offer takes a plan when it is better than the best.
func (s *search) offer(plan []Use) error {
	cost, err := s.p.checkPlan(plan)
	if err != nil {
		return fmt.Errorf("%w: %w", ErrInternal, err)
	}
	if s.best == nil || cost < s.cost {
		s.best, s.cost = append([]Use{}, plan...), cost
		s.progress()
	}
	return nil
}

func (s *search) progress() {
	if s.o.Progress != nil {
		s.o.Progress(Progress{s.best != nil, s.cost, s.bound, gap(s.cost, s.bound), s.stats.Work})
	}
}

// gap is (cost - bound)/cost, 0 when cost is 0.
func gap(cost, bound int64) float64 {
	if cost == 0 {
		return 0
	}
	return float64(cost-bound) / float64(cost)
}

// result puts together what was found.
func (s *search) result() (*Result, error) {
	r := &Result{LowerBound: s.bound, Stats: s.stats, StoppedBy: ByWork}
	switch {
	case s.none:
		r.Status, r.StoppedBy = Infeasible, ByProof
	case s.best == nil:
		r.Status = Unknown
	default:
		r.Status, r.Plan, r.Cost, r.Gap = Feasible, s.best, s.cost, gap(s.cost, s.bound)
		if s.cost <= s.bound {
			r.Status, r.StoppedBy = Optimal, ByProof
		}
	}
	if r.StoppedBy == ByWork && s.ctx.Err() != nil {
		r.StoppedBy = ByTime
	}
	if s.best != nil && s.bound > s.cost {
		return nil, fmt.Errorf("%w: the bound %d is above the cost %d", ErrInternal, s.bound, s.cost)
	}
	return r, nil
}
