package solve

import (
	"context"
	"math/rand/v2"
	"testing"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/trial"
)

// Larger random problems, too large for brute force: no error, and every plan
// and bound stands the check inside Solve.
func TestLarger(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for n := range trial.Rounds(40) {
		var r trial.Random
		unit := []int64{1, 25_400, 1_000_003}[n%3]
		for range 1 + rng.IntN(4) {
			k := colgen.Kind{Cost: rng.Int64N(1000), Quantity: colgen.Unlimited}
			if rng.IntN(2) == 0 {
				k.Quantity = rng.IntN(20)
			}
			r.Kinds = append(r.Kinds, k)
			r.Capacity = append(r.Capacity, (200+rng.Int64N(800))*unit+rng.Int64N(unit))
		}
		for range 5 + rng.IntN(40) {
			r.Size = append(r.Size, (10+rng.Int64N(500))*unit+rng.Int64N(unit))
			r.Demand = append(r.Demand, rng.IntN(12))
		}
		res, err := Solve(context.Background(), r.Problem(), colgen.Options{WorkLimit: 10_000_000})
		if err != nil {
			t.Fatalf("%+v: %v", r, err)
		}
		if res.Status >= colgen.Feasible && res.LowerBound > res.Cost {
			t.Fatalf("%+v: bound %d above cost %d", r, res.LowerBound, res.Cost)
		}
	}
}
