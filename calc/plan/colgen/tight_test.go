package colgen

import (
	"context"
	"testing"
)

// A node is not closed by what another node proved.
func TestTightForgets(t *testing.T) {
	r := hard(20) // 20 boards by construction
	p := r.problem()
	s := newSearch(context.Background(), &p, Options{})
	q := s.newTight([]int{20})
	q.short = -1 // as another node may leave it
	if none, err := q.solve(); none || err != nil {
		t.Errorf("none %v, error %v; 20 boards do", none, err)
	}
	q = s.newTight([]int{19})
	if none, err := q.solve(); !none || err != nil {
		t.Errorf("none %v, error %v; 19 boards cannot hold it", none, err)
	}
}

// No pattern of a board of 10 holds an item of 12.
func TestHoldingNone(t *testing.T) {
	r := random{[]Kind{{3, 2}, {2, 2}}, []int64{20, 10}, []int64{12, 5}, []int{1, 2}}
	s := r.started()
	q := s.newTight([]int{1, 1})
	if _, err := q.solve(); err != nil {
		t.Fatal(err)
	}
	if got := q.holding(1, 0); got != 0 {
		t.Errorf("%d patterns; want none", got)
	}
}
