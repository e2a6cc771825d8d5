package solver

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"resawd/calc/plan"
	"resawd/calc/plan/colgen"
	"resawd/calc/plan/internal/later"
)

// Options steer a search. The zero value searches until the context ends, or, with
// one that cannot end, until nothing better has turned up for long.
type Options struct {
	// WorkLimit ends the search after about that many elementary steps beyond
	// the first plan, 0: no limit. The path of the search depends on it and
	// never on the clock; the context ends it by the clock.
	WorkLimit int64
	// WhatIf lists changes whose worth the plan shall estimate.
	WhatIf Alternatives
	// Progress is called whenever the best cost or the bound improves.
	Progress func(Progress)
}

// Progress is how far a search has come. Costs are in the unit of Board.Price.
type Progress struct {
	Cost, LowerBound int64
	Gap              float64
}

// Solve returns the plan of least cost for an order, or the best one found when
// the work limit or the context ended the search. What the boards cannot give
// is left unmet, as little as possible by the order of the parts. The plan has
// passed Check. Faults of the order are returned joined, as of Validate; any
// other error is ErrInternal.
//
// Source: Gilmore and Gomory 1961, 1965 (GG61, GG65).
// Valid: orders without faults.
func Solve(ctx context.Context, o plan.Order, opt Options) (*plan.Plan, error) {
	if faults := plan.Validate(o); len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	s := solver{ctx: ctx, o: o, opt: opt, jobs: split(o)}
	if err := s.solve(); err != nil {
		return nil, fmt.Errorf("%w: %w", plan.ErrInternal, err)
	}
	p := s.plan()
	p.WhatIf = s.whatIf()
	if err := plan.Check(o, p); err != nil {
		return nil, fmt.Errorf("%w: %w", plan.ErrInternal, err)
	}
	return p, nil
}

// solver is the state of one call of Solve.
type solver struct {
	ctx  context.Context
	o    plan.Order
	opt  Options
	jobs []*job
	last Progress

	weighed int              // by whatIf
	told    map[thing]remedy // why things are unmet
}

// solve solves the jobs: each has a first plan before any is searched.
func (s *solver) solve() error {
	if err := s.begin(); err != nil {
		return err
	}
	if err := s.explain(); err != nil {
		return err
	}
	return s.search()
}

// begin finds a first plan of every job.
func (s *solver) begin() error {
	for _, j := range s.jobs {
		if err := j.begin(s.ctx); err != nil {
			return err
		}
	}
	s.progress()
	return nil
}

// search betters the plans of the jobs.
func (s *solver) search() error {
	for _, j := range s.jobs {
		if j.open && j.search == nil && j.keeper == nil {
			if err := s.engine(j); err != nil {
				return err
			}
		}
	}
	s.turns()
	for _, j := range s.jobs {
		j.giveMore()
		j.cuts = j.p.Trim(j.cuts, j.need)
		if cuts := j.p.Trim(later.Improve(j.p, j.cuts), j.need); j.p.Cost(cuts) <= j.p.Cost(j.cuts) {
			j.cuts = cuts
		}
		j.bound = min(j.bound, j.p.Cost(j.cuts))
	}
	s.progress()
	return nil
}

// stop says why the search ended.
func (s *solver) stop() plan.Stop {
	cost, bound := s.money()
	sure := !slices.ContainsFunc(s.jobs, func(j *job) bool { return !j.sure })
	switch {
	case cost == bound && sure:
		return plan.ByProof
	case errors.Is(context.Cause(s.ctx), plan.ErrShutdown):
		return plan.ByShutdown
	case s.ctx.Err() != nil:
		return plan.ByTime
	}
	return plan.ByWork
}

// engine runs the engine on a job.
func (s *solver) engine(j *job) error {
	cost, bound := s.money()
	own, sure := j.unit*j.p.Cost(j.cuts), j.unit*j.bound // what the engine has yet to better
	err := j.engine(s.ctx, s.opt.WorkLimit, func(p colgen.Progress) {
		if p.Found {
			s.report(cost-own+min(own, j.unit*p.Cost), bound-sure+max(sure, j.unit*p.LowerBound))
		}
	})
	j.open = false
	return err
}

// turns lets the jobs of three stages search in turns, the one with the most
// hope first.
func (s *solver) turns() {
	for {
		var j *job
		var work int64
		for _, x := range s.jobs {
			work += x.work()
			if x.open && (j == nil || x.hope() > j.hope()) {
				j = x
			}
		}
		if j == nil {
			return
		}
		if s.ctx.Err() != nil || s.opt.WorkLimit > 0 && work > s.opt.WorkLimit {
			return // the best plan so far is the answer
		}
		j.slice(s.opt.WorkLimit == 0 && s.ctx.Done() != nil)
		s.makeRoom(j)
		s.progress()
	}
}

// mostHeld is how much memory the knapsacks of all jobs hold between turns.
const mostHeld = 32 << 20

// makeRoom has the other jobs give their memory back when all of them hold too much.
func (s *solver) makeRoom(j *job) {
	held := 0
	for _, x := range s.jobs {
		if x.search != nil {
			held += x.search.Bytes()
		}
	}
	for _, x := range s.jobs {
		if held > mostHeld && x != j && x.search != nil {
			x.search.Free()
		}
	}
}

// money returns the cost and the bound of all jobs.
func (s *solver) money() (cost, bound int64) {
	for _, j := range s.jobs {
		cost += j.unit * j.p.Cost(j.cuts)
		bound += j.unit * j.bound
	}
	return cost, bound
}

// progress reports how far all jobs are.
func (s *solver) progress() { s.report(s.money()) }

// report calls the caller's Progress when something is better than before.
func (s *solver) report(cost, bound int64) {
	p := Progress{cost, bound, gap(cost, bound)}
	if s.opt.Progress != nil && p != s.last {
		s.last = p
		s.opt.Progress(p)
	}
}

// gap returns (cost - bound)/cost.
func gap(cost, bound int64) float64 {
	if cost == 0 {
		return 0
	}
	return float64(cost-bound) / float64(cost)
}
