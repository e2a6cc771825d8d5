package search

import (
	"context"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/trial"
)

// TestContest: a candidate keeps to its boards, which cost less than the best
// plan and are on the rack, and misses just what they do not give.
func TestContest(t *testing.T) {
	rounds := 0
	for seed := range trial.Rounds(3) {
		s := begun(trial.RealOrder(uint64(seed)))
		for s.halving.work < 6_000_000 && s.Slice() {
			for _, e := range s.halving.field {
				checkEntrant(t, s, e)
				rounds++
			}
		}
	}
	if rounds < trial.Rounds(50) {
		t.Errorf("only %d candidates met", rounds)
	}
}

// begun returns a search of an order, whose parts may come from any board, from
// a greedy plan.
func begun(o plan.Order) *Search {
	for i := range o.Parts {
		o.Parts[i].Species = ""
	}
	p, ctx := board.Prepare(o), context.Background()
	need := p.Possible()
	cuts, left := Greedy(ctx, board.NewTables(p), board.NewAscent(p), need, p.Price)
	for i, n := range left {
		need[i] -= n
	}
	return NewSearch(ctx, p, need, cuts)
}

// checkEntrant checks the books of a candidate.
func checkEntrant(t *testing.T, s *Search, e *Candidate) {
	t.Helper()
	stock, give, cost := s.p.Stock(), make([]int, len(s.need)), int64(0)
	for _, lay := range e.Plan {
		cost += s.p.Price(lay.Kind)
		for _, pc := range lay.Pieces() {
			give[pc.Item] += pc.Count
		}
		if stock[lay.Kind]--; stock[lay.Kind] < 0 {
			t.Fatalf("more boards of kind %d than there are", lay.Kind)
		}
	}
	if cost != e.Cost {
		t.Fatalf("boards of %d; it said %d", cost, e.Cost)
	}
	for i, n := range s.need {
		if give[i]+e.Left[i] != n || e.Left[i] < 0 {
			t.Fatalf("item %d: %d given and %d left of %d", i, give[i], e.Left[i], n)
		}
	}
}
