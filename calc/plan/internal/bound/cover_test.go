package bound

import (
	"context"
	"math/rand/v2"
	"testing"

	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/outright"
	"resawd/calc/plan/internal/trial"
)

// TestCovers compares covers with trying all numbers of boards.
func TestCovers(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 2))
	for range 500 {
		var boards []CoverBoard
		for range 3 {
			boards = append(boards, CoverBoard{int64(1 + r.IntN(20)), int64(r.IntN(15)), int64(r.IntN(4))})
		}
		demand, limit := int64(r.IntN(60)), int64(40)
		least, most := limit, int64(0)
		for x := int64(0); x <= boards[0].Most; x++ {
			for y := int64(0); y <= boards[1].Most; y++ {
				for z := int64(0); z <= boards[2].Most; z++ {
					worth := x*boards[0].Worth + y*boards[1].Worth + z*boards[2].Worth
					price := x*boards[0].Price + y*boards[1].Price + z*boards[2].Price
					if worth >= demand {
						least = min(least, price)
					}
					if price <= limit {
						most = max(most, worth)
					}
				}
			}
		}
		if got := leastCover(append([]CoverBoard(nil), boards...), demand, limit); got != least {
			t.Fatalf("%v worth %d: %d, not %d", boards, demand, got, least)
		}
		var worth, price int64
		for i, n := range Richest(boards, limit) {
			worth, price = worth+n*boards[i].Worth, price+n*boards[i].Price
		}
		if worth != most || price > limit {
			t.Fatalf("%v for %d: worth %d for %d, not %d", boards, limit, worth, price, most)
		}
	}
}

// TestBounds: no plan that is found is below a bound of the dual.
func TestBounds(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	for n := range 400 {
		p := board.Prepare(trial.Tiny(r))
		a, ok := outright.SolveExact(context.Background(), p, nil, p.Possible(), outright.MaxExactSteps)
		cuts, given := a.Cuts, a.Given
		if !ok || board.None(given) {
			continue
		}
		cost := p.Cost(cuts)
		d := NewDual(p, given, float64(cost))
		d.Bound = VolumeBound(p, given, cost)
		for range 60 {
			d.Step(context.Background(), cost)
		}
		if d.Bound > cost {
			t.Fatalf("order %d: bound %d above the least cost %d\n%+v", n, d.Bound, cost, p.Order)
		}
	}
}
