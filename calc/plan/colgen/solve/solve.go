package solve

import (
	"context"
	"errors"
	"fmt"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/exactly"
	"resawd/calc/plan/colgen/internal/knapsack"
	"resawd/calc/plan/colgen/internal/mix"
	"resawd/calc/plan/colgen/internal/pack"
	"resawd/calc/plan/colgen/internal/relax"
)

// Solve searches for a plan of least cost and for the bound that proves it.
// An error is a RangeError or ErrInternal; a search that ended early is not an
// error.
//
// Source: Gilmore and Gomory, Operations Research 9 (1961) 849-859; Belov and
// Scheithauer, European Journal of Operational Research 171 (2006) 85-106.
// Valid: a problem that [colgen.Problem.Validate] accepts, options whose plan and
// patterns can be cut.
func Solve(ctx context.Context, p colgen.Problem, o colgen.Options) (*colgen.Result, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	s := relax.NewState(ctx, &p, o)
	err := run(s)
	if err != nil && !errors.Is(err, relax.ErrEnd) {
		return nil, err
	}
	return result(s)
}

// Worth returns what a board of each kind is worth at most at some values of the
// items, none of them counted beyond its demand, and the steps of work it took.
//
// Source: the bounded knapsack problem, Martello and Toth, Knapsack Problems
// (Wiley 1990), ch. 3; from memory.
// Valid: a problem that [colgen.Problem.Validate] accepts, a value of at least 0 for each
// item.
func Worth(ctx context.Context, p colgen.Problem, value []int64) (worth []int64, work int64, err error) {
	if err := p.Validate(); err != nil {
		return nil, 0, err
	}
	if n := int64(len(p.Demand)); int64(len(value)) != n {
		return nil, 0, &colgen.RangeError{Quantity: "number of values", Index: -1, Value: int64(len(value)), Low: n, High: n}
	}
	answers, work, err := knapsack.NewKnapsack(p.Capacity, p.Size).Price(ctx, knapsack.Query{Value: value, Limit: p.Demand, Floor: make([]int64, len(p.Kinds)), Many: 1})
	for _, a := range answers {
		worth = append(worth, a.Bound)
	}
	return worth, work, err
}

// result puts together what was found.
func result(s *relax.State) (*colgen.Result, error) {
	s.Stats.Columns = len(s.Pool.Patterns)
	r := &colgen.Result{LowerBound: s.Bound * s.Unit, Stats: s.Stats, StoppedBy: colgen.ByWork}
	switch {
	case s.None:
		r.Status, r.StoppedBy = colgen.Infeasible, colgen.ByProof
	case s.Best == nil:
		r.Status = colgen.Unknown
	default:
		r.Status, r.Plan, r.Cost = colgen.Feasible, s.Best, s.Cost*s.Unit
		r.Gap = colgen.Gap(r.Cost, r.LowerBound)
		if s.Cost == s.Bound {
			r.Status, r.StoppedBy = colgen.Optimal, colgen.ByProof
		}
	}
	r.ItemPrice = itemPrices(s)
	if r.StoppedBy == colgen.ByWork && s.Ctx.Err() != nil {
		r.StoppedBy = colgen.ByTime
	}
	if s.Best != nil && (s.None || s.Bound > s.Cost) {
		return nil, fmt.Errorf("%w: the bound %d is above the cost %d", colgen.ErrInternal, s.Bound, s.Cost)
	}
	return r, nil
}

// itemPrices are the dual prices of the root in the units of the problem's costs; 0 for
// an item without a row.
func itemPrices(s *relax.State) []float64 {
	if s.Root == nil || s.None {
		return nil
	}
	price, unit := make([]float64, len(s.Root.ItemRow)), s.Dearest*float64(s.Unit)
	for i, r := range s.Root.ItemRow {
		if r >= 0 {
			price[i] = s.Root.Lp.Y[r] * unit
		}
	}
	return price
}

// run goes from the cheap to the dear.
func run(s *relax.State) error {
	if !relax.Open(s.P.Demand) {
		return s.Offer(nil)
	}
	if err := pack.Cheap(s); err != nil {
		return err
	}
	packer, err := pack.Repack(s, nil)
	if err != nil {
		return err
	}
	if err := pack.Greedy(s); err != nil && (!errors.Is(err, relax.ErrEnd) || s.Alive() != nil) {
		return err // when it settles the question, the linear program is solved for its prices
	}
	low, high := make([]int, len(s.Kinds)), make([]int, len(s.Kinds))
	for k := range high {
		high[k] = s.Kinds[k].Quantity
	}
	if err := s.Relax(low, high); err != nil {
		return err
	}
	if _, err := pack.Repack(s, packer); err != nil {
		return err
	}
	if err := mix.FirstMixes(s); err != nil {
		return err
	}
	first := mix.FirstDives
	if s.OneKind() {
		first = 0 // tight dives are better
	}
	if err := mix.Dives(s, 0, first); err != nil {
		return err
	}
	if err := mix.Mixes(s); err != nil {
		return err
	}
	if err := exactly.Tightly(s); err != nil {
		return err
	}
	if err := mix.ByKinds(s); err != nil {
		return err
	}
	return mix.Dives(s, first, mix.MostDives)
}
