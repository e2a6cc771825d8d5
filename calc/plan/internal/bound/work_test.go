package bound

import (
	"context"
	"math/rand/v2"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/trial"
)

// worked is a tiny order with work in its cost, and what trying everything says of it.
type worked struct {
	p    *board.Problem
	need []int
	cost int64
}

// workOrder makes up such an order, with divided leaves or without.
func workOrder(r *rand.Rand, n int) worked {
	features := trial.Work
	if n%2 == 1 {
		features |= trial.Grids | trial.Smallest
	}
	o := trial.TinyWith(r, features)
	a := trial.NewBrute(o).Solve()
	return worked{board.Prepare(o), a.Sets, a.Cost}
}

// TestWorkBounds: no bound is above the least cost that trying everything finds.
func TestWorkBounds(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 8))
	for n := range trial.Rounds(600) {
		x := workOrder(r, n)
		if board.None(x.need) {
			continue
		}
		d := NewDual(x.p, x.need, float64(x.cost))
		for range 60 {
			d.Step(context.Background(), x.cost)
		}
		if volume := VolumeBound(x.p, x.need, x.cost); d.Bound > x.cost || volume > x.cost || x.p.LeastPasses(x.need) > x.cost {
			t.Fatalf("order %d: bounds %d, %d and %d for passes above the least cost %d\n%+v",
				n, d.Bound, volume, x.p.LeastPasses(x.need), x.cost, x.p.Order)
		}
	}
}

// TestWorkCounts: with the least cost as its limit, or more, the bound by numbers of
// boards ends at the least cost nearly always, and is never above it. A plan that it
// finds costs what it should.
func TestWorkCounts(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 5))
	var weighed, sharp, found int
	for n := range trial.Rounds(600) {
		x := workOrder(r, n)
		if board.None(x.need) || x.cost == 0 {
			continue
		}
		limit := x.cost + int64(n%3)*(1+x.cost/4)
		bound, plans := workCounts(x, limit)
		least := limit
		for _, plan := range plans {
			if cost := x.p.CostOf(plan); cost < x.cost || !deliverAll(plan, x.need) {
				t.Fatalf("order %d: a plan of %d, the least cost is %d\n%+v", n, cost, x.cost, x.p.Order)
			} else if cost < least {
				least = cost
				found++
			}
		}
		if bound > x.cost {
			t.Fatalf("order %d: bound %d above the least cost %d\n%+v", n, bound, x.cost, x.p.Order)
		}
		if weighed++; bound == x.cost && least == x.cost {
			sharp++
		}
	}
	if weighed < trial.Rounds(300) || sharp < weighed*9/10 || found < weighed/3 {
		t.Errorf("%d bounds, %d of them sharp, %d plans", weighed, sharp, found)
	}
}

// workCounts returns the bound by numbers of boards, and the plans that it met.
func workCounts(x worked, limit int64) (bound int64, plans [][]board.Layout) {
	d := NewDual(x.p, x.need, float64(limit))
	for range 40 {
		d.Step(context.Background(), limit)
	}
	c := NewBenders(context.Background(), d, board.NewAscent(x.p), NewPool(x.p), limit)
	for range 200 {
		bound = max(bound, c.Raise(context.Background(), limit))
		if c.Plan != nil {
			plans = append(plans, c.Plan)
			limit, c.Plan = min(limit, x.p.CostOf(c.Plan)), nil
		}
		if c.Done() {
			break
		}
	}
	return bound, plans
}

// TestFraction: two boards worth 10 for 4 each and two worth 6 for 4, and a unit of work
// for 2. Of 25, the dear boards are worth less than the work: 8 and 2.5 rounded up.
func TestFraction(t *testing.T) {
	boards := []CoverBoard{{10, 4, 2}, {6, 4, 2}}
	for _, c := range []struct {
		want int64
		work float64
		cost int64
	}{{25, 2, 11}, {25, 1, 12}, {25, 0, 12}, {20, 2, 8}, {33, 0, beyond}, {33, 1, 17}, {0, 2, 0}, {15, 2, 6}, {15, 3, 5}} {
		if got := fractionCover(boards, c.want, beyond+1, c.work); got != c.cost {
			t.Errorf("%d, work %g: %d, not %d", c.want, c.work, got, c.cost)
		}
		if c.work > 0 {
			if got := relaxed(boards, c.want, c.work); got > float64(c.cost) || got <= float64(c.cost-1) && c.cost > 0 {
				t.Errorf("%d, work %g: %g in parts, %d whole", c.want, c.work, got, c.cost)
			}
		}
	}
}

// TestFreeBoards: of boards that cost nothing there are any number, and the work is what
// a plan costs: four leaves on the billets of two boards.
func TestFreeBoards(t *testing.T) {
	o := plan.Order{PassPrice: 3, BilletPrice: 5,
		Boards: []plan.Board{{Thickness: 2, Width: 1, Length: 1, Quantity: plan.Unlimited}},
		Parts:  []plan.Part{{Thickness: 1, Width: 1, Length: 1, Quantity: 4}}}
	x := worked{board.Prepare(o), []int{4}, 22}
	if bound, _ := workCounts(x, 23); bound > 22 || bound < 20 {
		t.Errorf("bound %d, want 22", bound)
	}
}
