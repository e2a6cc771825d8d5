package colgen

import (
	"context"
	"testing"
)

// A node is not closed by what another node proved.
func TestTightForgets(t *testing.T) {
	r := hard(20) // 20 boards by construction
	p := r.problem(t)
	s := newSearch(context.Background(), &p, Options{})
	q := s.newTight(p.Pricer.(*Knapsack), []int{20})
	q.short = -1 // as another node may leave it
	if none, err := q.solve(); none || err != nil {
		t.Errorf("none %v, error %v; 20 boards do", none, err)
	}
	q = s.newTight(p.Pricer.(*Knapsack), []int{19})
	if none, err := q.solve(); !none || err != nil {
		t.Errorf("none %v, error %v; 19 boards cannot hold it", none, err)
	}
}
