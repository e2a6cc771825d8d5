package colgen

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
)

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

// ceiling is what all boards that any plan can use cost together, at most
// unreachable.
func (s *search) ceiling() int64 {
	sum, boards := int64(0), int64(total(s.p.Demand))
	for _, k := range s.kinds {
		n := boards
		if k.Quantity != Unlimited {
			n = min(n, int64(k.Quantity))
		}
		if k.Cost > 0 && n > (unreachable-sum)/k.Cost {
			return unreachable
		}
		sum += n * k.Cost
	}
	return sum
}

func total(demand []int) int {
	sum := 0
	for _, d := range demand {
		sum += d
	}
	return sum
}

// ignoreNumeric drops the error of a linear program that did not settle: the
// node is given up, which is not a proof of anything.
func ignoreNumeric(err error) error {
	if errors.Is(err, errNumeric) {
		return nil
	}
	return err
}

// oneKind reports whether boards may be asked for by their number: one kind
// that never runs out, and not too many items.
func (s *search) oneKind() bool {
	return len(s.kinds) == 1 && s.kinds[0].Quantity == Unlimited && s.kinds[0].Cost > 0 && total(s.p.Demand) <= manyItems
}

// open reports whether a demand is left.
func open(demand []int) bool {
	for _, n := range demand {
		if n > 0 {
			return true
		}
	}
	return false
}

// errEnd ends a search: the question is settled, or work or time are used up.
var errEnd = errors.New("end of search")

// more than any plan costs, in units
const unreachable = int64(1) << 61

// manyItems is beyond what number of items boards are not asked for one by one.
const manyItems = 3_000
