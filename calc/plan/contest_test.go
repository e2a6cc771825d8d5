package plan

import (
	"context"
	"testing"
)

// TestContest: an entrant keeps to its boards, which cost less than the best
// plan and are on the rack, and misses just what they do not give.
func TestContest(t *testing.T) {
	laps := 0
	for seed := range uint64(2) {
		s := begun(RealOrder(seed))
		for s.contest.work < 20_000_000 && s.slice() {
			for _, e := range s.contest.field {
				checkEntrant(t, s, e)
				laps++
			}
		}
	}
	if laps < 1000 {
		t.Errorf("only %d entrants met", laps)
	}
}

// begun returns a search of an order, whose parts may come from any board, from
// a greedy plan.
func begun(o Order) *search {
	for i := range o.Parts {
		o.Parts[i].Species = ""
	}
	p, ctx := prepare(o), context.Background()
	need := p.possible()
	cuts, left := greedy(ctx, newTables(p), newAscent(p), need, p.price)
	for i, n := range left {
		need[i] -= n
	}
	return newSearch(ctx, p, need, cuts)
}

// checkEntrant checks the books of an entrant.
func checkEntrant(t *testing.T, s *search, e *entrant) {
	t.Helper()
	stock, give, cost := s.p.stock(), make([]int, len(s.need)), int64(0)
	for _, lay := range e.plan {
		cost += s.p.price(lay.kind)
		for _, pc := range lay.pieces() {
			give[pc.Item] += pc.Count
		}
		if stock[lay.kind]--; stock[lay.kind] < 0 {
			t.Fatalf("more boards of kind %d than there are", lay.kind)
		}
	}
	if cost != e.cost {
		t.Fatalf("boards of %d; it said %d", cost, e.cost)
	}
	for i, n := range s.need {
		if give[i]+e.left[i] != n || e.left[i] < 0 {
			t.Fatalf("item %d: %d given and %d left of %d", i, give[i], e.left[i], n)
		}
	}
}
