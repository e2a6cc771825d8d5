package solver_test

import (
	"context"
	"reflect"
	"testing"

	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/plan/solver"
)

// TestJoinedUnmet has two parts of one size with another between them, and boards
// of 12 for leaves of 3 and of 4: the first part is met before the second, and that
// before the third. One board gives both leaves of the first, 6, and one of the
// second, 4. Of 100 boards, 50 give the 200 leaves of the first part, 4 each, and
// the others 150 of the second, 3 each. The rest of the second takes 17 boards more,
// and that of the third 50 beside these: 67.
func TestJoinedUnmet(t *testing.T) {
	unmet := func(part, quantity, boards int) plan.Unmet {
		return plan.Unmet{Part: part, Quantity: quantity, Reason: plan.StockUsed, Cures: []plan.Cure{{Quantity: boards}}}
	}
	for _, c := range []struct {
		boards, leaves int
		unmet          []plan.Unmet
	}{
		{1, 2, []plan.Unmet{unmet(1, 1, 1), unmet(2, 2, 1)}},
		{100, 200, []plan.Unmet{unmet(1, 50, 17), unmet(2, 200, 67)}},
	} {
		for _, size := range []struct{ width, long int }{{0, 0}, {7, 9}} {
			o := plan.Order{Boards: []plan.Board{{Thickness: 12, Width: length.Length(size.width), Length: length.Length(size.long), Quantity: c.boards, Price: 1}}}
			for _, thick := range []int{3, 4, 3} {
				o.Parts = append(o.Parts, plan.Part{Thickness: length.Length(thick), Width: length.Length(size.width), Length: length.Length(size.long), Quantity: c.leaves})
			}
			p, err := solver.Solve(context.Background(), o, solver.Options{})
			if err != nil || !reflect.DeepEqual(p.Unmet, c.unmet) {
				t.Errorf("%d boards, width %d: %v, unmet %v, want %v", c.boards, size.width, err, p.Unmet, c.unmet)
			}
		}
	}
}

// TestJoinedParts splits a part of a shop's order in three: every part gets its
// leaves (Check sees to that), and boards that are cut alike stay together as long
// as they give the same part.
func TestJoinedParts(t *testing.T) {
	o := plan.Order{
		Boards: []plan.Board{{Thickness: 50, Quantity: plan.Unlimited, Price: 1}},
		Parts:  []plan.Part{{Thickness: 10, Quantity: 1000}, {Thickness: 10, Quantity: 7}, {Thickness: 10, Quantity: 993}},
	}
	p, err := solver.Solve(context.Background(), o, solver.Options{})
	if err != nil || p.Cost != 400 || len(p.Taken) > 4 {
		t.Errorf("%v, cost %d, %d ways to cut: %+v", err, p.Cost, len(p.Taken), p.Taken)
	}
}
