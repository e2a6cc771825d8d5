package solver_test

import (
	"context"
	"testing"
	"time"

	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/plan/solver"
)

// TestManyPieces: crumbs of a huge face, of which the board could give a
// hundred million, end in time and in little memory.
func TestManyPieces(t *testing.T) {
	ctx, stop := context.WithTimeout(context.Background(), 5*time.Second)
	defer stop()
	crumb := length.Inch / 100
	start := time.Now()
	p, err := solver.Solve(ctx, plan.Order{
		Boards: []plan.Board{{Thickness: length.Inch, Width: 10 * length.Inch, Length: 1000 * length.Inch, Quantity: 5, Price: 10_000}},
		Parts:  []plan.Part{{Thickness: length.Inch, Width: crumb, Length: crumb, Quantity: plan.MaxLeaves}},
	}, solver.Options{})
	if err != nil || p.Status != plan.Optimal || p.Cost != 10_000 {
		t.Fatalf("%+v, %v", p.Status, err)
	}
	if took := time.Since(start); took > 30*time.Second {
		t.Errorf("took %s", took)
	}
}
