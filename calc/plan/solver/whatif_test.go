package solver_test

import (
	"context"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
	"resawd/calc/plan/solver"
)

// TestWhatIf: six leaves of 10 need 60 of the 50 that a board has, so two
// boards; hold-back 10 less and one board gives them: it saves a board. With
// no more than two boards of 7 and dearer ones of 9 besides, one more board
// of 7 saves 2. Other kerfs save nothing, so that nothing is said of them.
func TestWhatIf(t *testing.T) {
	o := plan.Order{
		Boards: []plan.Board{{Thickness: 60, Price: 7, Quantity: 1}, {Thickness: 60, Price: 9, Quantity: plan.Unlimited}},
		Parts:  []plan.Part{{Thickness: 9, Quantity: 6}}, Kerf: 1, HoldBack: 10,
	}
	p, err := solver.Solve(context.Background(), o, solver.Options{WhatIf: solver.Alternatives{
		Kerfs: []length.Length{0, 2}, HoldBacks: []length.Length{0}}})
	want := []plan.WhatIf{
		{Change: plan.ExtraBoard, Board: 0, Saving: 2},
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
	if err != nil || p.Status != plan.Infeasible || len(p.WhatIf) > 0 {
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

// TestWhatIfSolved: of small orders an estimate is what the changed order costs less, and
// whatever would cost less is told.
func TestWhatIfSolved(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 44))
	saving, none := 0, 0
	for n := range trial.Rounds(400) {
		o := trial.Tiny(r)
		solve := func(o plan.Order) *plan.Plan {
			p, err := solver.Solve(context.Background(), o, solver.Options{WorkLimit: 1e6, WhatIf: solver.Alternatives{
				Kerfs: []length.Length{o.Kerf / 2, o.Kerf}, HoldBacks: []length.Length{o.HoldBack / 2, o.HoldBack + 1}}})
			if err != nil {
				t.Fatal(err)
			}
			return p
		}
		p := solve(o)
		if len(p.Unmet) > 0 {
			continue
		}
		for _, w := range changes(o) {
			i := slices.IndexFunc(p.WhatIf, func(x plan.WhatIf) bool { x.Saving = 0; return x == w.WhatIf })
			changed := solve(w.order)
			switch less := p.Cost - changed.Cost; {
			case len(changed.Unmet) > 0:
			case less > 0 && (i < 0 || p.WhatIf[i].Saving != less) || less <= 0 && i >= 0:
				t.Fatalf("order %d: %+v saves %d, %+v is told\n%+v", n, w.WhatIf, less, p.WhatIf, o)
			case i >= 0:
				saving++
			default:
				none++
			}
		}
	}
	if saving == 0 || none == 0 {
		t.Errorf("%d changes saved something, %d nothing", saving, none)
	}
}

// changed is a change of an order, and the order with it.
type changed struct {
	plan.WhatIf
	order plan.Order
}

// changes returns the changes that TestWhatIfSolved asks about.
func changes(o plan.Order) []changed {
	var out []changed
	for k, b := range o.Boards {
		if b.Quantity != plan.Unlimited {
			out = append(out, changed{plan.WhatIf{Change: plan.ExtraBoard, Board: k}, with(o, k, 1)})
		}
	}
	for _, kerf := range slices.Compact([]length.Length{o.Kerf / 2, o.Kerf}) {
		x := o
		x.Kerf = kerf
		out = append(out, changed{plan.WhatIf{Change: plan.OtherKerf, Value: kerf}, x})
	}
	for _, hold := range []length.Length{o.HoldBack / 2, o.HoldBack + 1} {
		x := o
		x.HoldBack = hold
		out = append(out, changed{plan.WhatIf{Change: plan.OtherHoldBack, Value: hold}, x})
	}
	return out
}
