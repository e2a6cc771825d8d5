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
		for _, j := range split(realOrder(seed)) {
			if err := j.begin(context.Background()); err != nil {
				t.Fatal(err)
			}
			for s := j.search; s != nil && s.contest.work < 20_000_000 && s.slice(); {
				for _, e := range s.contest.field {
					checkEntrant(t, s, e)
					laps++
				}
			}
		}
	}
	if laps < 1000 {
		t.Errorf("only %d entrants met", laps)
	}
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

// TestFree: of a board of 1000 with a defect from 500 to 501, a strip of 300 on
// either side and a kerf of 3.
func TestFree(t *testing.T) {
	p := prepare(Order{
		Boards: []Board{{Thickness: 50, Width: 100, Length: 1000, Quantity: 1, Defects: []Defect{{500, 501}}}},
		Parts:  []Part{{Thickness: 5, Width: 100, Length: 300, Quantity: 1}}, CrosscutKerf: 3})
	for _, c := range []struct{ from, from0, to0, from1, to1 nm }{
		{0, 303, 500, 501, 1000},
		{200, 503, 500, 503, 1000},
		{501, 0, 498, 804, 1000},
	} {
		segs := p.free(layout{strips: []strip{{piece: piece{0, c.from}}}})
		if segs[0].from != c.from0 || segs[0].to != c.to0 || segs[1].from != c.from1 || segs[1].to != c.to1 {
			t.Errorf("strip at %d: %v", int64(c.from), segs)
		}
	}
}
