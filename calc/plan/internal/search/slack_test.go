package search

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/bound"
)

// TestMargin: two boards of 3 and one of 5 are worth 11 together, and 27 by
// another row.
func TestMargin(t *testing.T) {
	three := []board.Layout{{Kind: 0}, {Kind: 0}, {Kind: 1}}
	p := board.Prepare(plan.Order{Boards: make([]plan.Board, 2), Parts: []plan.Part{{Thickness: 1}}})
	for want, margin := range map[int64]float64{10: 0.1, 11: 0, 22: -0.5, 5: 0.35} {
		rows := []bound.Row{{Worth: []int64{9, 9}, Want: 20}, {Worth: []int64{3, 5}, Want: want}}
		if got := mixOf(p, rows, three).slack(0); math.Abs(got-margin) > 1e-12 {
			t.Errorf("%d wanted: a margin of %v, not %v", want, got, margin)
		}
	}
}

// TestRoomy: the boards chosen are on the rack and within the budget, and their
// slack is the largest of all such choices, which are listed one by one.
func TestRoomy(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 20 {
		o := plan.Order{Parts: []plan.Part{{Thickness: 1, Quantity: 1}}}
		rows := []bound.Row{{Want: 30}, {Want: 40}, {Want: 50}}
		for range 5 {
			o.Boards = append(o.Boards, plan.Board{Thickness: 9, Price: int64(r.IntN(30)), Quantity: r.IntN(4)})
			for i := range rows {
				rows[i].Worth = append(rows[i].Worth, int64(r.IntN(20)))
			}
		}
		p, budget := board.Prepare(o), int64(20+r.IntN(100))
		s := NewSearch(context.Background(), p, []int{1}, nil)
		c := s.seekSlack(mixOf(p, rows, nil), budget)
		var cost int64
		for k, n := range c.number {
			cost += int64(n) * p.Price(k)
			if n < 0 || n > o.Boards[k].Quantity {
				t.Errorf("%d boards of %d", n, o.Boards[k].Quantity)
			}
		}
		if cost > budget || cost != c.cost {
			t.Errorf("boards of %d, said to cost %d, in a budget of %d", cost, c.cost, budget)
		}
		if most := mostMargin(mixOf(p, rows, nil), 0, budget); math.Abs(c.slack(0)-most) > 1e-12 {
			t.Errorf("a margin of %v where there is one of %v", c.slack(0), most)
		}
	}
}

// mostMargin returns the largest slack with any numbers of kinds k and after.
func mostMargin(c *mix, k int, budget int64) float64 {
	if c.cost > budget {
		return math.Inf(-1)
	}
	if k == len(c.number) {
		return c.slack(0)
	}
	most := mostMargin(c.clone(), k+1, budget)
	for n := range c.p.Order.Boards[k].Quantity {
		x := c.clone()
		x.add(k, n+1)
		most = max(most, mostMargin(x, k+1, budget))
	}
	return most
}
