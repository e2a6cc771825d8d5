package bound

import (
	"context"
	"math/rand/v2"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/outright"
	"resawd/calc/plan/internal/trial"
)

// TestAllot compares what shortlists say of some boards with solving the order
// outright when there are no others.
func TestAllot(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 12))
	said := map[verdict]int{}
	for n := range trial.Rounds(1200) {
		o := trial.Tiny(r)
		if n%3 == 1 {
			o = trial.TinyWith(r, trial.Grids|trial.Smallest)
		}
		if len(plan.Validate(o)) == 0 {
			compareAllot(t, o, said)
		}
	}
	if said[can] < trial.Rounds(120) || said[cannot] < trial.Rounds(120) || said[undecided] > 3+(said[can]+said[cannot])/20 {
		t.Errorf("said %v", said)
	}
}

// TestAllotMany is TestAllot for boards that can be cut in more ways than are
// tried one by one. Of boards that are worth far more than the need, nothing is said.
func TestAllotMany(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 3))
	said := map[verdict]int{}
	for n := range trial.Rounds(60) {
		var o plan.Order
		for range 1 + n%2 {
			o.Boards = append(o.Boards, plan.Board{Thickness: nm(18 + r.IntN(12)), Width: 10, Length: nm(16 + r.IntN(9)), Quantity: 2 + r.IntN(2), Price: 1 + r.Int64N(9)})
		}
		for range 4 {
			o.Parts = append(o.Parts, plan.Part{Thickness: nm(2 + r.IntN(6)), Width: nm(4 + r.IntN(7)), Length: nm(6 + r.IntN(7)), Quantity: 2 + (1+n%2)*r.IntN(9)})
		}
		compareAllot(t, o, said)
	}
	if said[can] < trial.Rounds(8) || said[cannot] < trial.Rounds(8) || said[undecided] > 1+(said[can]+said[cannot])/10 {
		t.Errorf("said %v", said)
	}
}

// compareAllot counts what shortlists say of the boards of an order that can be
// solved outright, if they agree with that.
func compareAllot(t *testing.T, o plan.Order, said map[verdict]int) {
	t.Helper()
	p := board.Prepare(o)
	need := p.Possible()
	a, ok := outright.SolveExact(context.Background(), p, nil, need, outright.MaxExactSteps)
	given := a.Given
	if board.None(need) || !ok {
		return
	}
	d := NewDual(p, need, 100)
	for range 20 {
		d.Step(context.Background(), 100)
	}
	v, plan := allotAll(newRestricted(d, NewPool(p)), stockOf(o))
	able := board.Covers(given, need)
	if v == can != able && v != undecided || v == can && !deliverAll(plan, need) {
		t.Fatalf("says %d, can %v: %+v", v, able, o)
	}
	said[v]++
}

// allotAll goes through the levels to a verdict.
func allotAll(h *restricted, number []int) (verdict, []board.Layout) {
	h.ask(number)
	for level := 0; level < len(listSteps); level = h.level {
		_, v := h.forbid(context.Background(), number, 0)
		var plan []board.Layout
		if h.level > level {
			v, plan = h.decide(context.Background(), number, listSteps[level], 0)
		}
		if v != undecided {
			return v, plan
		}
	}
	return undecided, nil
}

// stockOf returns the numbers of boards at hand.
func stockOf(o plan.Order) []int {
	number := make([]int, len(o.Boards))
	for k, b := range o.Boards {
		number[k] = b.Quantity
	}
	return number
}

// deliverAll tells whether boards give all of a need.
func deliverAll(plan []board.Layout, need []int) bool {
	left := append([]int(nil), need...)
	for _, lay := range plan {
		board.Take(left, lay.Pieces())
	}
	return board.None(left)
}
