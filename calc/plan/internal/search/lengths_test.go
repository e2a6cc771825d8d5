package search

import (
	"context"
	"math"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/trial"
)

// TestDive: a plan that a dive begins on the boards of another can be cut, and leaves
// what it says. Some of the dives leave nothing.
func TestDive(t *testing.T) {
	ctx, whole := context.Background(), 0
	for seed := range uint64(trial.Rounds(20)) {
		o := trial.FewParts(trial.ShopOrder(seed), 3)
		for i := range o.Parts {
			o.Parts[i].Quantity = 2 * o.Parts[i].SetSize()
		}
		p := board.Prepare(o)
		need := p.Possible()
		cuts, _ := Greedy(ctx, board.NewTables(p), board.NewAscent(p), need, p.Price)
		s := NewSearch(ctx, p, need, cuts)
		number := make([]int, len(p.Kinds))
		for _, lay := range s.Best.Plan {
			number[lay.Kind]++
		}
		e := s.halving.dive(number, math.MaxInt64)
		has := make([]int, len(need))
		for _, lay := range e.Plan {
			number[lay.Kind]--
			for _, x := range lay.Pieces() {
				has[x.Item] += x.Count
			}
			if taken := p.Taken(board.Use{Layout: lay, Copies: 1}); len(taken.Billets) > 0 {
				if err := trial.CheckBoard(o, taken); err != nil {
					t.Fatal(seed, err)
				}
			}
		}
		for i, n := range need {
			if has[i]+e.Left[i] < n {
				t.Fatalf("order %d: %d of item %d and %d left, of %d", seed, has[i], i, e.Left[i], n)
			}
		}
		for k, n := range number {
			if n < 0 && o.Boards[k].Quantity != plan.Unlimited {
				t.Fatalf("order %d: too many boards of kind %d", seed, k)
			}
		}
		if board.None(e.Left) {
			whole++
		}
	}
	if whole == 0 {
		t.Error("no dive left nothing")
	}
}
