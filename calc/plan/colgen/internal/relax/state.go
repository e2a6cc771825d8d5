package relax

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"

	"resawd/calc/lp"
	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/knapsack"
)

// State is the state of one call of Solve. Costs inside are in units: the
// greatest common divisor of the costs of the kinds.
type State struct {
	Ctx     context.Context
	P       *colgen.Problem
	O       colgen.Options
	Kinds   []colgen.Kind // costs in units
	Sack    *knapsack.Knapsack
	Unit    int64   // what all costs have in common
	Dearest float64 // largest cost in units; the linear program counts in it
	big     float64 // cost of an unmet demand in the linear program
	Pool    Pool
	Many    int          // patterns wanted of each query
	Best    []colgen.Use // nil when there is no plan yet
	Cost    int64        // of best, in units
	Bound   int64        // certified, in units
	None    bool         // proven: there is no plan
	Root    *Generator
	Rng     *rand.Rand
	Below   int64 // plans of this cost or more are of no use
	Inner   bool  // it solves what is left of a dive of another search
	Stats   colgen.Stats
}

// NewState returns the state of a search that has found nothing yet.
func NewState(ctx context.Context, p *colgen.Problem, o colgen.Options) *State {
	s := &State{Ctx: ctx, P: p, O: o, Sack: knapsack.NewKnapsack(p.Capacity, p.Size), Rng: rand.New(rand.NewPCG(o.Seed, 1)), Many: 8, Below: Unreachable, big: 1e3}
	for _, k := range p.Kinds {
		s.Unit = knapsack.Gcd(s.Unit, k.Cost)
	}
	s.Unit = max(s.Unit, 1)
	s.Dearest = 1
	for _, k := range p.Kinds {
		k.Cost /= s.Unit
		s.Kinds = append(s.Kinds, k)
		s.Dearest = max(s.Dearest, float64(k.Cost))
	}
	return s
}

// Offer takes a plan when it is better than the best. It ends the search when
// the plan meets the bound.
func (s *State) Offer(plan []colgen.Use) error {
	cost, err := s.P.CheckPlan(plan)
	if err != nil {
		return fmt.Errorf("%w: %w", colgen.ErrInternal, err)
	}
	cost /= s.Unit
	if s.Best == nil || cost < s.Cost {
		s.Best, s.Cost = append([]colgen.Use{}, plan...), cost
		for _, u := range plan {
			s.Pool.Add(u.Kind, u.Pieces)
		}
		s.progress()
	}
	return s.settled()
}

// Raise takes a certified bound when it is higher.
func (s *State) Raise(bound int64) error {
	if bound > s.Bound {
		s.Bound = bound
		s.progress()
	}
	return s.settled()
}

// settled is ErrEnd when the best plan meets the bound, or no plan is cheap
// enough to matter.
func (s *State) settled() error {
	if s.None || s.Bound >= s.Below || s.Best != nil && s.Cost <= s.Bound {
		return ErrEnd
	}
	return nil
}

// Cutoff is the cost from which on plans are of no use.
func (s *State) Cutoff() int64 {
	if s.Best == nil {
		return s.Below
	}
	return min(s.Cost, s.Below)
}

// IgnoreEnd drops what ends a search.
func IgnoreEnd(err error) error {
	if errors.Is(err, ErrEnd) {
		return nil
	}
	return IgnoreNumeric(err)
}

// Spend counts work.
func (s *State) Spend(work int64) { s.Stats.Work += work }

// Metered runs a method of a linear program and counts its work.
func (s *State) Metered(program *lp.Program, method func() error) error {
	work := program.Work
	err := method()
	s.Spend(program.Work - work)
	return err
}

// Alive is ErrEnd when work or time are used up.
func (s *State) Alive() error {
	if s.Ctx.Err() != nil || s.O.WorkLimit > 0 && s.Stats.Work >= s.O.WorkLimit {
		return ErrEnd
	}
	return nil
}

// price asks for patterns and counts the work.
func (s *State) price(q knapsack.Query) ([]knapsack.Answer, error) {
	if err := s.Alive(); err != nil {
		return nil, err
	}
	answers, work, err := s.Sack.Price(s.Ctx, q)
	s.Spend(work)
	if err != nil {
		if s.Ctx.Err() != nil {
			return nil, ErrEnd
		}
		return nil, err
	}
	return answers, nil
}

func (s *State) progress() {
	if s.O.Progress != nil {
		s.O.Progress(colgen.Progress{Found: s.Best != nil, Cost: s.Cost * s.Unit, LowerBound: s.Bound * s.Unit})
	}
}

// Ceiling is what all boards that any plan can use cost together, at most
// unreachable.
func (s *State) Ceiling() int64 {
	sum, boards := int64(0), int64(Total(s.P.Demand))
	for _, k := range s.Kinds {
		n := boards
		if k.Quantity != colgen.Unlimited {
			n = min(n, int64(k.Quantity))
		}
		if k.Cost > 0 && n > (Unreachable-sum)/k.Cost {
			return Unreachable
		}
		sum += n * k.Cost
	}
	return sum
}

// Total adds demands up.
func Total(demand []int) int {
	sum := 0
	for _, d := range demand {
		sum += d
	}
	return sum
}

// IgnoreNumeric drops the error of a linear program that did not settle: the
// node is given up, which is not a proof of anything.
func IgnoreNumeric(err error) error {
	if errors.Is(err, lp.ErrNumeric) {
		return nil
	}
	return err
}

// OneKind reports whether boards may be asked for by their number: one kind
// that never runs out, and not too many items.
func (s *State) OneKind() bool {
	return len(s.Kinds) == 1 && s.Kinds[0].Quantity == colgen.Unlimited && s.Kinds[0].Cost > 0 && Total(s.P.Demand) <= ManyItems
}

// Open reports whether a demand is left.
func Open(demand []int) bool {
	for _, n := range demand {
		if n > 0 {
			return true
		}
	}
	return false
}

// ErrEnd ends a search: the question is settled, or work or time are used up.
var ErrEnd = errors.New("end of search")

// Unreachable is more than any plan costs, in units.
const Unreachable = int64(1) << 61

// ManyItems is beyond what number of items boards are not asked for one by one.
const ManyItems = 3_000
