package solver_test

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
	"resawd/calc/plan/solver"
)

// trimmings makes up an order of bindings, veneers and slips, whose leaves are divided.
func trimmings(r *rand.Rand) plan.Order {
	o := plan.Order{Kerf: MM, Skim: MM, HoldBack: 6 * MM, RipKerf: 3 * MM, CrosscutKerf: 3 * MM, LeafKerf: length.Length(1+r.IntN(2)) * MM}
	if r.IntN(2) == 0 {
		o.Smallest = plan.Face{Length: 200 * MM, Width: 40 * MM}
	}
	for range 2 + r.IntN(3) {
		p := plan.Part{Thickness: length.Length(15+5*r.IntN(8)) * MM / 10, Width: length.Length(8+r.IntN(60)) * MM,
			Length: length.Length(100+20*r.IntN(20)) * MM, Matched: 1 + r.IntN(2), Divide: r.IntN(4) > 0}
		p.Quantity = p.Matched * (2 + r.IntN(16))
		o.Parts = append(o.Parts, p)
	}
	for range 1 + r.IntN(2) {
		b := plan.Board{Thickness: length.Length(20+5*r.IntN(5)) * MM, Width: length.Length(100+10*r.IntN(8)) * MM,
			Length: length.Length(600+50*r.IntN(10)) * MM, Quantity: plan.Unlimited}
		b.Price = 10*int64(b.Thickness/MM)*int64(b.Width/MM)*int64(b.Length/MM)/100_000 + r.Int64N(9)
		o.Boards = append(o.Boards, b)
	}
	return o
}

// eachTrimmings calls do for made-up orders that are solved to a proof, with the cost.
func eachTrimmings(t *testing.T, do func(o plan.Order, cost int64)) {
	t.Helper()
	r := rand.New(rand.NewPCG(20, 16))
	rounds, proven := trial.Rounds(60), 0
	for range rounds {
		o := trimmings(r)
		if cost, ok := proof(t, o); ok {
			proven++
			do(o, cost)
		}
	}
	if proven < rounds*8/10 {
		t.Errorf("only %d of %d orders are proven", proven, rounds)
	}
}

// proof solves an order and tells whether its cost is proven least.
func proof(t *testing.T, o plan.Order) (int64, bool) {
	t.Helper()
	p, err := solver.Solve(context.Background(), o, solver.Options{WorkLimit: 20_000_000})
	if err != nil {
		t.Fatalf("%v\n%+v", err, o)
	}
	return p.Cost, p.Status == plan.Optimal
}

// TestDividedMetamorphic: the order of parts and boards, the scale and a useless board
// change no proven cost. The parts of an order that is split cost no less, as no leaf
// is divided into copies of two of them, and undivided leaves no less either.
func TestDividedMetamorphic(t *testing.T) {
	saved := 0
	eachTrimmings(t, func(o plan.Order, cost int64) {
		turned := o
		turned.Parts, turned.Boards = slices.Clone(o.Parts), slices.Clone(o.Boards)
		slices.Reverse(turned.Parts)
		slices.Reverse(turned.Boards)
		useless := o
		useless.Boards = append([]plan.Board{{Thickness: 7 * MM, Width: 90 * MM, Length: 90 * MM, Quantity: 9, Price: 1}}, o.Boards...)
		for name, same := range map[string]plan.Order{"turned": turned, "useless": useless, "doubled": doubled(o)} {
			if got, ok := proof(t, same); ok && got != cost {
				t.Errorf("%s: %d, not %d\n%+v", name, got, cost, o)
			}
		}
		split, whole := o, o
		half := o.Parts[0]
		half.Quantity = half.Quantity / half.SetSize() / 2 * half.SetSize()
		split.Parts = append([]plan.Part{half}, o.Parts...)
		split.Parts[1].Quantity -= half.Quantity
		whole.Parts = slices.Clone(o.Parts)
		for i := range whole.Parts {
			whole.Parts[i].Divide = false
		}
		for name, dear := range map[string]plan.Order{"split": split, "undivided": whole} {
			got, ok := proof(t, dear)
			if got < cost {
				t.Errorf("%s: %d is less than %d\n%+v", name, got, cost, o)
			}
			if ok && name == "undivided" && got > cost {
				saved++
			}
		}
	})
	if saved < trial.Rounds(60)/6 {
		t.Errorf("dividing leaves saves something in %d orders only", saved)
	}
}

// TestDividedPrices: whatever the currency, the same boards are cut alike.
func TestDividedPrices(t *testing.T) {
	eachTrimmings(t, func(o plan.Order, cost int64) {
		dearest := int64(1)
		for _, b := range o.Boards {
			dearest = max(dearest, b.Price)
		}
		for _, factor := range []int64{3, plan.MaxPrice / dearest} {
			scaled := o
			scaled.Boards = slices.Clone(o.Boards)
			for k := range scaled.Boards {
				scaled.Boards[k].Price *= factor
			}
			if got, ok := proof(t, scaled); !ok || got != factor*cost {
				t.Errorf("times %d: %d, not %d, proven %t\n%+v", factor, got, factor*cost, ok, o)
			}
		}
	})
}

// TestDividedLarge: orders whose leaves can be divided in very many ways are answered,
// and no bound is above a plan of undivided leaves.
func TestDividedLarge(t *testing.T) {
	for name, generate := range made {
		t.Run(name, func(t *testing.T) {
			parts := 30
			if trial.Few() {
				parts = 3
			}
			o := trial.FewParts(generate(1), parts)
			o.LeafKerf = o.Kerf
			whole, err := solver.Solve(context.Background(), o, solver.Options{WorkLimit: 1_000_000})
			if err != nil {
				t.Fatal(err)
			}
			o.Parts = slices.Clone(o.Parts)
			for i := range o.Parts {
				o.Parts[i].Divide = true
			}
			p, err := solver.Solve(context.Background(), o, solver.Options{WorkLimit: 150_000_000})
			if err != nil || len(p.Unmet) > 0 {
				t.Fatalf("%v, unmet %v", err, p.Unmet)
			}
			if p.LowerBound > whole.Cost || p.Cost > whole.Cost {
				t.Errorf("cost %d, bound %d, of undivided leaves %d", p.Cost, p.LowerBound, whole.Cost)
			}
			divided := 0
			for _, x := range p.Taken {
				for _, b := range x.Billets {
					for _, l := range b.Leaves {
						if l.EndToEnd*l.SideBySide > 1 {
							divided += x.Copies * l.Count
						}
					}
				}
			}
			if divided == 0 && parts == 30 {
				t.Error("no leaf is divided")
			}
			t.Logf("cost %d, undivided %d, %d leaves divided", p.Cost, whole.Cost, divided)
		})
	}
}
