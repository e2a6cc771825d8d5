package solve

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/trial"
)

// built is a problem made from a plan: some boards cut into pieces, and the
// pieces are demanded. It can be solved for the cost of those boards.
func built(rng *rand.Rand) (r trial.Random, cost int64) {
	scale := []int64{50, 1_000, 30_000, 100_000, 100_000_000}[rng.IntN(5)]
	for range 1 + rng.IntN(2)*rng.IntN(4) {
		c := scale/2 + rng.Int64N(scale)
		r.Capacity = append(r.Capacity, c)
		r.Kinds = append(r.Kinds, colgen.Kind{Cost: []int64{c, rng.Int64N(100)}[rng.IntN(2)], Quantity: colgen.Unlimited})
	}
	used, demand := make([]int, len(r.Kinds)), map[int64]int{}
	pieces, waste := 2+rng.IntN(6), rng.Int64N(3)
	for range 2 + rng.IntN(40) {
		k := rng.IntN(len(r.Kinds))
		used[k]++
		cost += r.Kinds[k].Cost
		rest := r.Capacity[k]
		rest -= rng.Int64N(1 + rest*waste/100)
		for n := 2 + rng.IntN(pieces); n > 1 && rest > 1; n-- {
			x := 1 + rng.Int64N(max(1, rest*2/int64(n)-1))
			demand[x]++
			rest -= x
		}
		if rest > 0 {
			demand[rest]++
		}
	}
	for k := range r.Kinds {
		if rng.IntN(2) == 0 {
			r.Kinds[k].Quantity = used[k] + rng.IntN(2)
		}
	}
	for s := range demand {
		r.Size = append(r.Size, s)
	}
	slices.Sort(r.Size)
	for _, s := range r.Size {
		r.Demand = append(r.Demand, demand[s])
	}
	return r, cost
}

// No bound is above the cost of the plan that a problem was made from, and none
// is found to have no plan.
func TestBuilt(t *testing.T) {
	for seed := range uint64(trial.Rounds(60)) {
		r, cost := built(rand.New(rand.NewPCG(seed, 41)))
		res, err := Solve(context.Background(), r.Problem(), colgen.Options{WorkLimit: 20_000_000})
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if res.LowerBound > cost || res.Status == colgen.Infeasible {
			t.Errorf("seed %d: %v, bound %d; a plan of %d exists", seed, res.Status, res.LowerBound, cost)
		}
	}
}
