package colgen

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
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

// errEnd ends a search: the question is settled, or work or time are used up.
var errEnd = errors.New("end of search")

// search is the state of one call of Solve. Costs inside are in units: the
// greatest common divisor of the costs of the kinds.
type search struct {
	ctx       context.Context
	p         *Problem
	o         Options
	kinds     []Kind // costs in units
	sack      *Knapsack
	unit      int64   // what all costs have in common
	dearest   float64 // largest cost in units; the linear program counts in it
	big       float64 // cost of an unmet demand in the linear program
	pool      pool
	many      int // patterns wanted of each query
	smoothing float64
	best      []Use // nil when there is no plan yet
	cost      int64 // of best, in units
	bound     int64 // certified, in units
	none      bool  // proven: there is no plan
	root      *generator
	rng       *rand.Rand
	below     int64 // plans of this cost or more are of no use
	inner     bool  // it solves what is left of a dive of another search
	stats     Stats
}

func newSearch(ctx context.Context, p *Problem, o Options) *search {
	s := &search{ctx: ctx, p: p, o: o, sack: newKnapsack(p.Capacity, p.Size), rng: rand.New(rand.NewPCG(o.Seed, 1)), many: 8, smoothing: 0.5, below: unreachable, big: 1e3}
	for _, k := range p.Kinds {
		s.unit = gcd(s.unit, k.Cost)
	}
	s.unit = max(s.unit, 1)
	s.dearest = 1
	for _, k := range p.Kinds {
		k.Cost /= s.unit
		s.kinds = append(s.kinds, k)
		s.dearest = max(s.dearest, float64(k.Cost))
	}
	return s
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

// offer takes a plan when it is better than the best. It ends the search when
// the plan meets the bound.
func (s *search) offer(plan []Use) error {
	cost, err := s.p.checkPlan(plan)
	if err != nil {
		return fmt.Errorf("%w: %w", ErrInternal, err)
	}
	cost /= s.unit
	if s.best == nil || cost < s.cost {
		s.best, s.cost = append([]Use{}, plan...), cost
		for _, u := range plan {
			s.pool.add(u.Kind, u.Pieces)
		}
		s.progress()
	}
	return s.settled()
}

// raise takes a certified bound when it is higher.
func (s *search) raise(bound int64) error {
	if bound > s.bound {
		s.bound = bound
		s.progress()
	}
	return s.settled()
}

// small reports whether what is left is better searched on its own.
func (s *search) small(demand []int) bool {
	return !s.inner && len(s.kinds) > 1 && total(demand) <= finishItems
}

// settled is errEnd when the best plan meets the bound, or no plan is cheap
// enough to be of use.
func (s *search) settled() error {
	if s.none || s.bound >= s.below || s.best != nil && s.cost <= s.bound {
		return errEnd
	}
	return nil
}

// cutoff is the cost from which on plans are of no use.
func (s *search) cutoff() int64 {
	if s.best == nil {
		return s.below
	}
	return min(s.cost, s.below)
}

// more than any plan costs, in units
const unreachable = int64(1) << 61

// ignoreEnd drops what ends a search.
func ignoreEnd(err error) error {
	if errors.Is(err, errEnd) {
		return nil
	}
	return ignoreNumeric(err)
}

// spend counts work.
func (s *search) spend(work int64) { s.stats.Work += work }

// metered runs a method of a linear program and counts its work and pivots.
func (s *search) metered(lp *master, method func() error) error {
	work, pivots := lp.work, lp.count
	err := method()
	s.spend(lp.work - work)
	s.stats.Pivots += lp.count - pivots
	return err
}

// alive is errEnd when work or time are used up.
func (s *search) alive() error {
	if s.ctx.Err() != nil || s.o.WorkLimit > 0 && s.stats.Work >= s.o.WorkLimit {
		return errEnd
	}
	return nil
}

// price asks for patterns and counts the work.
func (s *search) price(q Query) ([]Answer, error) {
	if err := s.alive(); err != nil {
		return nil, err
	}
	answers, work, err := s.sack.Price(s.ctx, q)
	s.spend(work)
	s.stats.Queries++
	if err != nil {
		if s.ctx.Err() != nil {
			return nil, errEnd
		}
		return nil, err
	}
	return answers, nil
}

func (s *search) progress() {
	if s.o.Progress != nil {
		cost, bound := s.cost*s.unit, s.bound*s.unit
		s.o.Progress(Progress{s.best != nil, cost, bound, gap(cost, bound), s.stats.Work})
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

// a query asks for a pattern for so many rows of the master problem
const manyPart = 10

// times that the cost of unmet demands is raised, each by thirty
const bigRaises = 8

// relax solves the relaxation of the whole problem. Where demands stay unmet
// it raises their cost until they are met, or until the bound exceeds what all
// boards cost: then there is no plan.
func (s *search) relax(low, high []int) error {
	for range bigRaises {
		s.root = s.newGenerator(s.p.Demand, low, high)
		s.many = max(s.many, s.root.lp.m/manyPart)
		s.root.exchange()
		if _, err := s.root.solve(s.cutoff()); err != nil {
			return err
		}
		if s.root.bound > s.ceiling() {
			s.none = true
			return errEnd
		}
		if s.root.lp.unmet() < 1e-7 {
			break
		}
		s.big *= 30
	}
	return s.raise(s.root.bound)
}
