package later_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/later"
	"resawd/calc/plan/internal/search"
	"resawd/calc/plan/internal/trial"
)

// worth is what counts of boards that are cut.
type worth struct {
	cost           int64
	boards, passes int
	largest        float64
}

// worthOf works it out from what a plan says.
func worthOf(p *board.Problem, cuts []board.Use) worth {
	var w worth
	var taken []plan.Taken
	for _, c := range cuts {
		t := p.Taken(c)
		w.cost += int64(c.Copies) * p.Price(c.Kind)
		w.boards += c.Copies
		for _, b := range t.Billets {
			w.passes += c.Copies * b.Passes()
			w.cost += int64(c.Copies) * p.Order.BilletCost(b.Passes(), b.Length)
		}
		taken = append(taken, t)
	}
	for _, l := range p.Order.LeftOver(taken) {
		w.largest = max(w.largest, float64(l.Thickness)*float64(l.Width)*float64(l.Length))
	}
	return w
}

// TestImprove: boards of made-up orders give what they gave, each as it can be cut, and
// are no worse, first by cost, then by boards, passes and the largest piece left over.
func TestImprove(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 10))
	ctx := context.Background()
	var fewer, larger int
	for n := range 300 {
		o := trial.TinyWith(r, trial.Grids|trial.Work|trial.Smallest)
		if n%10 == 0 {
			o = trial.RandomOrder(r, false)
		}
		o.Kits = nil // CheckBoard knows none
		if o.Parts[0].Length == 0 || o.Parts[0].Width == 0 {
			continue
		}
		p := board.Prepare(o)
		need := p.Possible()
		cuts, _ := search.Greedy(ctx, board.NewTables(p), board.NewAscent(p), need, p.Price)
		cuts = p.Trim(cuts, need)
		before := worthOf(p, cuts)
		better := later.Improve(p, cuts)
		for _, c := range better {
			if len(p.Taken(c).Billets) == 0 {
				continue
			}
			free := o // CheckBoard counts no work
			free.PassPrice, free.BilletPrice, free.PassLength = 0, 0, plan.Rate{}
			if err := trial.CheckBoard(free, p.Taken(c)); err != nil {
				t.Fatalf("order %d: %v\n%+v\n%+v", n, err, o, c)
			}
		}
		for i, had := range given(cuts, len(need)) {
			if has := given(better, len(need))[i]; has < had {
				t.Fatalf("order %d: %d of item %d, %d before", n, has, i, had)
			}
		}
		after := worthOf(p, p.Trim(better, need))
		switch {
		case after.cost > before.cost, after.cost == before.cost && after.boards > before.boards,
			after.cost == before.cost && after.boards == before.boards && after.passes > before.passes,
			after.cost == before.cost && after.boards == before.boards && after.passes == before.passes && after.largest < before.largest:
			t.Fatalf("order %d: %+v, before %+v\n%+v", n, after, before, o)
		case after.passes < before.passes:
			fewer++
		case after.largest > before.largest:
			larger++
		}
	}
	if fewer == 0 || larger == 0 {
		t.Errorf("%d with fewer passes, %d with a larger piece", fewer, larger)
	}
}

// given returns the sets of each item that cuts give.
func given(cuts []board.Use, items int) []int {
	n := make([]int, items)
	for _, c := range cuts {
		for _, s := range c.Pieces() {
			n[s.Item] += c.Copies * s.Count
		}
	}
	return n
}
