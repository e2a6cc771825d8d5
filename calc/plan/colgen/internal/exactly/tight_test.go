package exactly

import (
	"context"
	"testing"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/relax"
	"resawd/calc/plan/colgen/internal/trial"
)

// A node is not closed by what another node proved.
func TestTightForgets(t *testing.T) {
	r := trial.Hard(20) // 20 boards by construction
	p := r.Problem()
	s := relax.NewState(context.Background(), &p, colgen.Options{})
	q := newTight(s, []int{20})
	q.short = -1 // as another node may leave it
	if none, err := q.solve(); none || err != nil {
		t.Errorf("none %v, error %v; 20 boards do", none, err)
	}
	q = newTight(s, []int{19})
	if none, err := q.solve(); !none || err != nil {
		t.Errorf("none %v, error %v; 19 boards cannot hold it", none, err)
	}
}

// No pattern of a board of 10 holds an item of 12.
func TestHoldingNone(t *testing.T) {
	r := trial.Random{Kinds: []colgen.Kind{{Cost: 3, Quantity: 2}, {Cost: 2, Quantity: 2}}, Capacity: []int64{20, 10}, Size: []int64{12, 5}, Demand: []int{1, 2}}
	s := r.Started()
	q := newTight(s, []int{1, 1})
	if _, err := q.solve(); err != nil {
		t.Fatal(err)
	}
	if got := q.holding(1, 0); got != 0 {
		t.Errorf("%d patterns; want none", got)
	}
}

// Boards of 20 hold items of 12 and of 5 in more ways than none and in fewer than ten: a
// list of no pattern is full, and one of ten is not.
func TestListFull(t *testing.T) {
	r := trial.Random{Kinds: []colgen.Kind{{Cost: 3, Quantity: 2}}, Capacity: []int64{20}, Size: []int64{12, 5}, Demand: []int{2, 2}}
	for most, want := range map[int]bool{0: true, 10: false} {
		s := r.Started()
		q := newTight(s, []int{2})
		if _, err := q.solve(); err != nil {
			t.Fatal(err)
		}
		if part, full := q.list(q.lp.Y, most, 1000); full != want || (part == nil) != want {
			t.Errorf("%d patterns: full %v", most, full)
		}
	}
}
