package solver_test

import (
	"context"
	"testing"

	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
	"resawd/calc/plan/solver"
)

// TestTight: four leaves of 10 with kerfs of 1 and a truing cut of 2 with its
// kerf take 47 of 50, by five passes; 3 are left. A board thinner by 2 with
// kerfs that are not wider gives the leaves, one thinner by 4 does not; neither
// does one that is no thinner with kerfs wider by 1.
func TestTight(t *testing.T) {
	for _, c := range []struct {
		thinner, wider length.Length
		tight          bool
	}{{0, 0, false}, {3, 0, false}, {4, 0, true}, {0, 1, true}, {0, 0, false}} {
		o := plan.Order{Kerf: 1, Skim: 2, ThicknessMargin: c.thinner, KerfMargin: c.wider,
			Boards: []plan.Board{{Thickness: 50, Quantity: 1, Price: 1}}, Parts: []plan.Part{{Thickness: 10, Quantity: 4}}}
		p, err := solver.Solve(context.Background(), o, solver.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if b := p.Taken[0].Billets[0]; b.Remainder != 3 || b.Tight != c.tight {
			t.Errorf("thinner by %d, wider by %d: remainder %d, tight %t", c.thinner, c.wider, b.Remainder, b.Tight)
		}
	}
}

// TestLeastSkim: a quarter of a board has a sixteenth of its bow of 160, so 10;
// where the dial cannot be set to less than 15 the truing cut is that deep, and
// where there is neither skim nor bow there is none.
func TestLeastSkim(t *testing.T) {
	for _, c := range []struct{ bow, least, skim, want length.Length }{
		{160, 0, 0, 10}, {160, 9, 0, 10}, {160, 10, 0, 10}, {160, 15, 0, 15}, {160, 15, 6, 16}, {0, 15, 6, 15}, {0, 15, 0, 0},
	} {
		o := plan.Order{Kerf: 1, Skim: c.skim, LeastSkim: c.least,
			Boards: []plan.Board{{Thickness: 50, Width: 5, Length: 400, Bow: c.bow, Quantity: 1, Price: 1}},
			Parts:  []plan.Part{{Thickness: 10, Width: 5, Length: 100, Quantity: 1}}}
		p, err := solver.Solve(context.Background(), o, solver.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if got := p.Taken[0].Billets[0].Skim; got != c.want {
			t.Errorf("bow %d, at least %d, skim %d: truing cut of %d, want %d", c.bow, c.least, c.skim, got, c.want)
		}
	}
}

// TestShutdown ends a search by a cause: the plan says so, and is whole.
func TestShutdown(t *testing.T) {
	ctx, cancel := context.WithCancelCause(context.Background())
	cancel(plan.ErrShutdown)
	p, err := solver.Solve(ctx, trial.RealOrder(1), solver.Options{})
	if err != nil || p.StoppedBy != plan.ByShutdown || p.Status != plan.Feasible {
		t.Errorf("%v, %s, stopped by %s", err, p.Status, p.StoppedBy)
	}
	gone, end := context.WithCancel(context.Background())
	end()
	if p, err := solver.Solve(gone, trial.RealOrder(1), solver.Options{}); err != nil || p.StoppedBy != plan.ByTime {
		t.Errorf("%v, stopped by %s", err, p.StoppedBy)
	}
}
