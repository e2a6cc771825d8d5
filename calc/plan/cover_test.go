package plan

import (
	"context"
	"math/rand/v2"
	"testing"
)

// TestCovers compares covers with trying all numbers of boards.
func TestCovers(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 2))
	for range 500 {
		var boards []coverBoard
		for range 3 {
			boards = append(boards, coverBoard{int64(1 + r.IntN(20)), int64(r.IntN(15)), int64(r.IntN(4))})
		}
		demand, limit := int64(r.IntN(60)), int64(40)
		least, most := limit, int64(0)
		for x := int64(0); x <= boards[0].most; x++ {
			for y := int64(0); y <= boards[1].most; y++ {
				for z := int64(0); z <= boards[2].most; z++ {
					worth := x*boards[0].worth + y*boards[1].worth + z*boards[2].worth
					price := x*boards[0].price + y*boards[1].price + z*boards[2].price
					if worth >= demand {
						least = min(least, price)
					}
					if price <= limit {
						most = max(most, worth)
					}
				}
			}
		}
		if got := leastCover(append([]coverBoard(nil), boards...), demand, limit); got != least {
			t.Fatalf("%v worth %d: %d, not %d", boards, demand, got, least)
		}
		var worth, price int64
		for i, n := range richest(boards, limit) {
			worth, price = worth+n*boards[i].worth, price+n*boards[i].price
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
		p := prepare(tiny(r))
		cuts, given, ok := solveExact(p, p.possible(), maxExactSteps)
		if !ok || none(given) {
			continue
		}
		cost := p.cost(cuts)
		d := newDual(p, given, float64(cost))
		d.bound = volumeBound(p, given, cost)
		for range 60 {
			d.step(context.Background(), cost)
		}
		if d.bound > cost {
			t.Fatalf("order %d: bound %d above the least cost %d\n%+v", n, d.bound, cost, p.order)
		}
	}
}
