package plan

import (
	"context"
	"math/rand/v2"
	"testing"
)

// TestAllot compares what shortlists say of some boards with solving the order
// outright when there are no others.
func TestAllot(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 12))
	said := map[verdict]int{}
	for range 3000 {
		if o := tiny(r); len(Validate(o)) == 0 {
			compareAllot(t, o, said)
		}
	}
	if said[can] < 300 || said[cannot] < 300 || said[undecided] > (said[can]+said[cannot])/20 {
		t.Errorf("said %v", said)
	}
}

// TestAllotMany is TestAllot for boards that can be cut in more ways than are
// tried one by one. Of boards that are worth far more than the need, nothing is said.
func TestAllotMany(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 3))
	said := map[verdict]int{}
	for n := range 240 {
		var o Order
		for range 1 + n%2 {
			o.Boards = append(o.Boards, Board{Thickness: nm(18 + r.IntN(12)), Width: 10, Length: nm(16 + r.IntN(9)), Quantity: 2 + r.IntN(2), Price: 1 + r.Int64N(9)})
		}
		for range 4 {
			o.Parts = append(o.Parts, Part{Thickness: nm(2 + r.IntN(6)), Width: nm(4 + r.IntN(7)), Length: nm(6 + r.IntN(7)), Quantity: 2 + (1+n%2)*r.IntN(9)})
		}
		compareAllot(t, o, said)
	}
	if said[can] < 30 || said[cannot] < 30 || said[undecided] > (said[can]+said[cannot])/10 {
		t.Errorf("said %v", said)
	}
}

// compareAllot counts what shortlists say of the boards of an order that can be
// solved outright, if they agree with that.
func compareAllot(t *testing.T, o Order, said map[verdict]int) {
	t.Helper()
	p := prepare(o)
	need := p.possible()
	_, given, ok := solveExact(p, need, maxExactSteps)
	if none(need) || !ok {
		return
	}
	d := newDual(p, need, 100)
	for range 20 {
		d.step(context.Background(), 100)
	}
	v, plan := allotAll(newHaggler(d, newPool(p)), stockOf(o))
	able := covers(given, need)
	if v == can != able && v != undecided || v == can && !deliverAll(plan, need) {
		t.Fatalf("says %d, can %v: %+v", v, able, o)
	}
	said[v]++
}

// allotAll goes through the levels to a verdict.
func allotAll(h *haggler, number []int) (verdict, []layout) {
	h.ask(number)
	for level := 0; level < len(allotSteps); level = h.level {
		_, v := h.forbid(context.Background(), number)
		var plan []layout
		if h.level > level {
			v, plan = h.allot(context.Background(), number, allotSteps[level])
		}
		if v != undecided {
			return v, plan
		}
	}
	return undecided, nil
}

// stockOf returns the numbers of boards at hand.
func stockOf(o Order) []int {
	number := make([]int, len(o.Boards))
	for k, b := range o.Boards {
		number[k] = b.Quantity
	}
	return number
}

// deliverAll tells whether boards give all of a need.
func deliverAll(plan []layout, need []int) bool {
	left := append([]int(nil), need...)
	for _, lay := range plan {
		take(left, lay.pieces())
	}
	return none(left)
}
