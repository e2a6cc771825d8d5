package solver_test

import (
	"context"
	"reflect"
	"testing"

	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/plan/solver"
)

// TestWhatIf: six leaves of 10 need 60 of the 50 that a board has, so two
// boards; hold-back 10 less and one board gives them: it saves a board. With
// no more than two boards of 7 and dearer ones of 9 besides, one more board
// of 7 saves 2.
func TestWhatIf(t *testing.T) {
	o := plan.Order{
		Boards: []plan.Board{{Thickness: 60, Price: 7, Quantity: 1}, {Thickness: 60, Price: 9, Quantity: plan.Unlimited}},
		Parts:  []plan.Part{{Thickness: 9, Quantity: 6}}, Kerf: 1, HoldBack: 10,
	}
	p, err := solver.Solve(context.Background(), o, solver.Options{WhatIf: solver.Alternatives{
		Kerfs: []length.Length{0, 2}, HoldBacks: []length.Length{0}}})
	want := []plan.WhatIf{
		{Change: plan.ExtraBoard, Board: 0, Saving: 2},
		{Change: plan.OtherKerf, Value: 0, Saving: 0},
		{Change: plan.OtherKerf, Value: 2, Saving: 0},
		{Change: plan.OtherHoldBack, Value: 0, Saving: 9},
	}
	if err != nil || p.Cost != 16 || !reflect.DeepEqual(p.WhatIf, want) {
		t.Errorf("%v, cost %d, what if %+v", err, p.Cost, p.WhatIf)
	}
}

// TestWhatIfUnmet: where parts stay unmet a further board gives more leaves
// instead of saving money, so nothing is said of it.
func TestWhatIfUnmet(t *testing.T) {
	o := plan.Order{
		Boards: []plan.Board{{Thickness: 60, Price: 7, Quantity: 1}},
		Parts:  []plan.Part{{Thickness: 9, Quantity: 9}}, Kerf: 1, HoldBack: 10,
	}
	p, err := solver.Solve(context.Background(), o, solver.Options{WhatIf: solver.Alternatives{HoldBacks: []length.Length{0}}})
	want := []plan.WhatIf{{Change: plan.OtherHoldBack, Value: 0, Saving: 0}}
	if err != nil || p.Status != plan.Infeasible || !reflect.DeepEqual(p.WhatIf, want) {
		t.Errorf("%v, %s, what if %+v", err, p.Status, p.WhatIf)
	}
}

// TestWhatIfShares: 6 000 leaves of 9, with their kerf 10, five in the 50 that a
// board of 7 has above its hold-back, fill 1 200 boards. Without the time for
// prices a leaf is worth its share of 1.4, and a sixth one in every board 1 680.
func TestWhatIfShares(t *testing.T) {
	o := plan.Order{
		Boards: []plan.Board{{Thickness: 60, Price: 7, Quantity: plan.Unlimited}},
		Parts:  []plan.Part{{Name: "a", Thickness: 9, Quantity: 3000}, {Name: "b", Thickness: 9, Quantity: 3000, Matched: 2}}, Kerf: 1, HoldBack: 10,
	}
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	p, err := solver.Solve(gone, o, solver.Options{WhatIf: solver.Alternatives{HoldBacks: []length.Length{0}}})
	if err != nil || len(p.WhatIf) != 1 || p.WhatIf[0].Saving < 1670 || p.WhatIf[0].Saving > 1690 {
		t.Errorf("%v, what if %+v", err, p.WhatIf)
	}
}
