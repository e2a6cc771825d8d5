package solver_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
	"resawd/calc/plan/solver"
)

// TestSmallest: a smallest billet costs what parts cost that are as large as it.
func TestSmallest(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 16))
	differ := 0
	for n := range trial.Rounds(300) {
		o := trial.Tiny(r)
		plain, err := solver.Solve(context.Background(), o, solver.Options{WorkLimit: 1_000_000})
		if err != nil {
			t.Fatal(err)
		}
		safe, large := o, o
		safe.Smallest = plan.Face{Length: 4 + 2*o.Parts[0].Length/3, Width: 3 + o.Parts[0].Width/2}
		large.Parts = append([]plan.Part(nil), o.Parts...)
		for i := range large.Parts {
			p := &large.Parts[i]
			if p.Length > 0 {
				p.Length = max(p.Length, safe.Smallest.Length)
			}
			if p.Width > 0 {
				p.Width = max(p.Width, safe.Smallest.Width)
			}
		}
		got, err := solver.Solve(context.Background(), safe, solver.Options{WorkLimit: 1_000_000})
		if err != nil {
			t.Fatalf("order %d: %v\n%+v", n, err, safe)
		}
		want, err := solver.Solve(context.Background(), large, solver.Options{WorkLimit: 1_000_000})
		if err != nil {
			t.Fatal(err)
		}
		if got.Cost != want.Cost || got.Status != want.Status {
			t.Errorf("order %d: %s, cost %d; with larger parts %s, %d\n%+v", n, got.Status, got.Cost, want.Status, want.Cost, safe)
		}
		if got.Cost != plain.Cost || got.Status != plain.Status {
			differ++
		}
	}
	if differ < trial.Rounds(300)/20 {
		t.Errorf("the smallest billet matters to %d orders only", differ)
	}
}
