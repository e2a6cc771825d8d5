package solver_test

import (
	"context"
	"testing"

	"resawd/calc/plan/internal/trial"
	"resawd/calc/plan/solver"
)

// TestQuality holds the planner to what it could do: orders that three generators
// make up may be no further from proof, after a number of steps, than a ceiling
// for each, in percent of their cost. The path depends on the steps alone. Those that
// stay without proof take seconds each, and wait for the gate.
func TestQuality(t *testing.T) {
	for _, c := range []struct {
		generator string
		parts     int
		ceilings  []float64 // by seed
	}{
		{"harsh", 4, []float64{0, 0, 0}},
		{"harsh", 8, []float64{0, 0, 0}},
		{"harsh", 30, []float64{12, 12}},
		{"shop", 4, []float64{0, 0, 0}},
		{"shop", 8, []float64{0, 0, 0}},
		{"shop", 30, []float64{3.5, 1.5}},
		{"maker", 4, []float64{0, 0, 0}},
		{"maker", 8, []float64{0, 1.5, 4.5}},
		{"maker", 30, []float64{14, 16}},
	} {
		for seed, ceiling := range c.ceilings {
			if trial.Few() && ceiling > 0 {
				continue
			}
			p, err := solver.Solve(context.Background(), trial.FewParts(made[c.generator](uint64(seed)), c.parts), solver.Options{WorkLimit: 100_000_000})
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("%s %d of %d parts: gap %.2f %%", c.generator, seed, c.parts, 100*p.Gap)
			if 100*p.Gap > ceiling || len(p.Unmet) > 0 {
				t.Errorf("%s %d of %d parts: a gap of %.2f %%, at most %g; %d unmet", c.generator, seed, c.parts, 100*p.Gap, ceiling, len(p.Unmet))
			}
		}
	}
}
