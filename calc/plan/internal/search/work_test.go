package search

import (
	"context"
	"math/rand/v2"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/bound"
	"resawd/calc/plan/internal/trial"
)

// TestWorkSearch compares searches with trying everything where work costs something:
// no plan is cheaper, no bound is above the least cost, and nearly all are proven.
func TestWorkSearch(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 65))
	orders, weighed, cheapest, proven := trial.Rounds(600), 0, 0, 0
	for n := range orders {
		features := trial.Work
		if n%2 == 1 {
			features |= trial.Grids | trial.Smallest
		}
		o := trial.TinyWith(r, features)
		a := trial.NewBrute(o).Solve()
		p := board.Prepare(o)
		q := p.Gross()
		cuts, left := Greedy(context.Background(), board.NewTables(q), board.NewAscent(q), a.Sets, q.Price)
		if board.None(a.Sets) || !board.None(left) {
			continue
		}
		s := NewSearch(context.Background(), p, a.Sets, p.Trim(cuts, a.Sets))
		for s.Work() < 3e6 && s.Slice() {
		}
		lower, cost := s.Dual.Bound, p.CostOf(s.Best.Plan)
		if lower > a.Cost || cost < a.Cost || cost != s.Best.Cost {
			t.Fatalf("order %d: cost %d, %d by its boards, bound %d, least %d\n%+v", n, s.Best.Cost, cost, lower, a.Cost, o)
		}
		weighed++
		if cost == a.Cost {
			cheapest++
		}
		if cost == lower {
			proven++
		}
	}
	if weighed < orders*6/10 || cheapest < weighed*99/100 || proven < weighed*97/100 {
		t.Errorf("of %d orders %d were weighed, %d the cheapest, %d proven", orders, weighed, cheapest, proven)
	}
}

// TestFewerPasses: of plans of the same cost and as many boards, the one with fewer
// passes is kept.
func TestFewerPasses(t *testing.T) {
	p := board.Prepare(plan.Order{Skim: 1, BilletPrice: 1,
		Boards: []plan.Board{{Thickness: 9, Width: 2, Length: 4, Quantity: 2, Price: 3}, {Thickness: 9, Width: 2, Length: 4, Quantity: 2, Price: 4}},
		Parts:  []plan.Part{{Thickness: 1, Width: 2, Length: 2, Quantity: 4}}})
	billets := func(kind int, leaves ...int) board.Layout {
		lay := board.Layout{Kind: kind}
		for n, c := range leaves {
			lay.Strips = append(lay.Strips, board.Strip{Piece: board.Piece{From: nm(2 * n)},
				Billets: []board.Billet{{Stacks: []board.Stack{{Count: c, Places: 1}}}}})
		}
		return lay
	}
	b := Incumbent{P: p, Need: []int{4}, Pool: bound.NewPool(p), Clock: func() int64 { return 0 }, Cost: 100}
	for _, c := range []struct {
		lay            board.Layout
		cost           int64
		passes, boards int
	}{{billets(0, 2, 2), 5, 6, 1}, {billets(1, 4), 5, 5, 1}, {billets(0, 1, 3), 5, 5, 1}, {billets(0, 4), 4, 5, 1}} {
		if b.Offer([]board.Layout{c.lay}); b.Cost != c.cost || p.PassesOf(b.Plan) != c.passes || len(b.Plan) != c.boards {
			t.Errorf("cost %d, %d passes, %d boards: %v", b.Cost, p.PassesOf(b.Plan), len(b.Plan), b.Plan)
		}
	}
}
