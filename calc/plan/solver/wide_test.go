package solver_test

import (
	"context"
	"testing"
	"time"

	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/plan/solver"
)

// TestWideBoards: a board that gives all that is wanted many times over is no reason to
// list every place on it.
func TestWideBoards(t *testing.T) {
	o := plan.Order{Kerf: MM, RipKerf: 3 * MM, CrosscutKerf: 3 * MM, LeafKerf: MM,
		Boards: []plan.Board{{Thickness: 20 * MM, Width: 100_000 * MM, Length: 900 * MM, Quantity: 2, Price: 10_000}}}
	for i, width := range []length.Length{373_355_210, 211_234_567, 307_654_321, 251_918_273, 189_777_771} {
		o.Parts = append(o.Parts, plan.Part{Thickness: 2 * MM, Width: width, Length: length.Length(100+i) * MM, Quantity: 1})
	}
	ctx, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	start := time.Now()
	p, err := solver.Solve(ctx, o, solver.Options{WorkLimit: 1_000_000})
	if took := time.Since(start); err != nil || len(p.Unmet) > 0 || took > 10*time.Second {
		t.Errorf("%v, took %v", err, took)
	}
}
