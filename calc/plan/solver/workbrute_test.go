package solver

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"resawd/calc/plan/internal/trial"
)

// TestWorkBrute compares Solve with trying everything where work costs something: no
// plan is cheaper, no bound is above the least cost, and nearly all are proven.
func TestWorkBrute(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 65))
	orders, weighed, cheapest, proven := trial.Rounds(600), 0, 0, 0
	for n := range orders {
		features := trial.Work
		if n%2 == 1 {
			features |= trial.Grids | trial.Smallest
		}
		o := trial.TinyWith(r, features)
		p, err := Solve(context.Background(), o, Options{WorkLimit: 3e6})
		if err != nil {
			t.Fatalf("order %d: %v\n%+v", n, err, o)
		}
		a := trial.NewBrute(o).Solve()
		if !slices.Equal(delivered(o, p), a.Sets) {
			continue
		}
		if p.LowerBound > a.Cost || p.Cost < a.Cost {
			t.Fatalf("order %d: cost %d, bound %d, least %d\n%+v", n, p.Cost, p.LowerBound, a.Cost, o)
		}
		weighed++
		if p.Cost == a.Cost {
			cheapest++
		}
		if p.Cost == p.LowerBound {
			proven++
		}
	}
	if weighed < orders*95/100 || cheapest < weighed*98/100 || proven < weighed*95/100 {
		t.Errorf("of %d orders %d were weighed, %d the cheapest, %d proven", orders, weighed, cheapest, proven)
	}
}
