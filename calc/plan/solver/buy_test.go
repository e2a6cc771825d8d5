package solver

import (
	"context"
	"math/rand/v2"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
)

// TestBoardForKit: the board to buy for several sets of several parts gives them, and
// none that is less in any one direction does, by trying everything. None is dearer than
// one on the rack that gives them.
func TestBoardForKit(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 77))
	several := 0
	for n := range trial.Rounds(400) {
		o := trial.Tiny(r)
		for i := range o.Parts {
			p := &o.Parts[i]
			p.Species, p.Sawn, p.Spare, p.Quantity = "", "", 0, p.SetSize()*(1+r.IntN(2))
		}
		a := asker{solver: &solver{ctx: context.Background(), o: o}, left: askWork}
		cures := a.toBuy(o.Parts)
		if len(cures) == 0 {
			if o.Saw == (plan.Saw{}) {
				t.Fatalf("order %d: no board is enough for %+v", n, o)
			}
			continue
		}
		c := cures[0]
		board := func(thinner, narrower, shorter nm) plan.Board {
			return plan.Board{Thickness: c.Thickness - thinner, Width: c.Width - narrower, Length: c.Length - shorter, Quantity: 1}
		}
		if !byBrute(o, board(0, 0, 0)) || byBrute(o, board(1, 0, 0)) ||
			c.Width > 0 && byBrute(o, board(0, 1, 0)) || c.Length > 0 && byBrute(o, board(0, 0, 1)) {
			t.Fatalf("order %d: %+v is not the least board\n%+v", n, c, o)
		}
		for _, b := range o.Boards {
			if b.Bow, b.Quantity, b.Defects = 0, 1, nil; byBrute(o, b) && c.Width > 0 && c.Length > 0 && size(b) < wood(c.Thickness, c.Width, c.Length) {
				t.Fatalf("order %d: %+v is less than %+v\n%+v", n, b, c, o)
			}
		}
		if len(o.Parts) > 1 {
			several++
		}
	}
	if several == 0 {
		t.Error("no board for several parts")
	}
}

// byBrute tells whether a board gives all of an order, by trying everything.
func byBrute(o plan.Order, b plan.Board) bool {
	if b.Thickness < 1 {
		return false
	}
	o.Boards = []plan.Board{b}
	sets := trial.NewBrute(o).Solve().Sets
	for i, p := range o.Parts {
		if sets[i] < p.SetCount() {
			return false
		}
	}
	return true
}
