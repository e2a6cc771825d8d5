package colgen

import (
	"context"
	"math/rand/v2"
	"testing"
)

// Larger random problems, too large for brute force: no error, and every plan
// and bound stands the check inside Solve.
func TestLarger(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for n := range 60 {
		var r random
		unit := []int64{1, 25_400, 1_000_003}[n%3]
		for range 1 + rng.IntN(4) {
			k := Kind{Cost: rng.Int64N(1000), Quantity: Unlimited}
			if rng.IntN(2) == 0 {
				k.Quantity = rng.IntN(20)
			}
			r.kinds = append(r.kinds, k)
			r.capacity = append(r.capacity, (200+rng.Int64N(800))*unit+rng.Int64N(unit))
		}
		for range 5 + rng.IntN(40) {
			r.size = append(r.size, (10+rng.Int64N(500))*unit+rng.Int64N(unit))
			r.demand = append(r.demand, rng.IntN(12))
		}
		res, err := Solve(context.Background(), r.problem(), Options{WorkLimit: 10_000_000})
		if err != nil {
			t.Fatalf("%+v: %v", r, err)
		}
		if res.Status >= Feasible && res.LowerBound > res.Cost {
			t.Fatalf("%+v: bound %d above cost %d", r, res.LowerBound, res.Cost)
		}
	}
}
