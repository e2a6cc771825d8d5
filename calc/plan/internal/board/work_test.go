package board

import (
	"math/rand/v2"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
)

// workPrices gives an order random small prices of work.
func workPrices(r *rand.Rand, o *plan.Order) {
	o.PassPrice, o.BilletPrice = int64(r.IntN(3)), int64(r.IntN(4))
	if r.IntN(2) == 0 {
		o.PassLength = plan.Rate{Price: int64(1 + r.IntN(3)), Per: nm(1 + r.IntN(20))}
	}
}

// TestWork: from a billet 4 long, 3 sets of 2 leaves and a truing pass are 7 passes at
// 2 + 4/8 each, and mounting it costs 5: 22.5, rounded up. The steps that a bound counts
// on are no more than that for any billet.
func TestWork(t *testing.T) {
	o := plan.Order{Skim: 1, PassPrice: 2, PassLength: plan.Rate{Price: 1, Per: 8}, BilletPrice: 5,
		Boards: []plan.Board{{Thickness: 20, Width: 3, Length: 9, Quantity: 1, Price: 7}},
		Parts:  []plan.Part{{Thickness: 2, Width: 3, Length: 4, Quantity: 6, Matched: 2}, {Thickness: 2, Width: 2, Length: 3, Quantity: 1}}}
	p := Prepare(o)
	lay := Layout{Strips: []Strip{{Piece{L: 1}, []Billet{{W: 1, Stacks: []Stack{{Item: 0, Count: 3, Places: 1}}}, {W: 1}}}}}
	if got := p.Work(lay); got != 23 {
		t.Errorf("the work costs %d, not 23", got)
	}
	if got := p.LayoutCost(lay); got != 30 {
		t.Errorf("the board costs %d, not 30", got)
	}
	if got := p.PassesOf([]Layout{lay}); got != 8 {
		t.Errorf("%d passes, not 6 and 2", got)
	}
	if got := p.Gross().Work(lay); got != 0 {
		t.Errorf("%d of what costs nothing", got)
	}
}

// TestWorkSteps: the steps that bounds count on are no more than the work costs, and
// less by no more than a unit for each pass.
func TestWorkSteps(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 4))
	for range 500 {
		o := trial.Tiny(r)
		workPrices(r, &o)
		p := Prepare(o)
		for k, kd := range p.Kinds {
			g := p.Groups[kd.Group]
			for l := range p.Lens {
				for leaves := 1; leaves < 30; leaves++ {
					steps := float64(int64(leaves)*p.passSteps(g.Set, l) + p.MountSteps(kd.Group, l))
					if cost := float64(p.BilletWork(k, l, leaves)) * p.Grain; steps > cost || steps < cost-float64(leaves+2)*p.Grain {
						t.Fatalf("%d leaves of class %d: %g steps, the work costs %g\n%+v", leaves, l, steps, cost, o)
					}
				}
			}
		}
	}
}

// TestEvenly: with passes by length, a leaf costs the same from boards of one length
// only, and where nothing is rounded.
func TestEvenly(t *testing.T) {
	o := plan.Order{Skim: 1, PassPrice: 2, BilletPrice: 5, Parts: []plan.Part{{Thickness: 1, Quantity: 1}},
		Boards: []plan.Board{{Thickness: 9, Length: 8, Price: 7}, {Thickness: 7, Length: 9, Price: 1}}}
	leaf, boards, ok := Prepare(o).Evenly()
	if leaf != 2 || !ok || boards[0] != 14 || boards[1] != 8 {
		t.Errorf("%d a leaf, boards %v, %v", leaf, boards, ok)
	}
	o.PassLength = plan.Rate{Price: 1, Per: 4}
	if _, _, ok := Prepare(o).Evenly(); ok {
		t.Error("boards of two lengths")
	}
	o.Boards = o.Boards[:1]
	if leaf, _, ok := Prepare(o).Evenly(); !ok || leaf != 4 {
		t.Errorf("%d a leaf, not 4", leaf)
	}
	o.Boards[0].Length = 9
	if _, _, ok := Prepare(o).Evenly(); ok {
		t.Error("fractions")
	}
}
