package solver

import (
	"context"
	"math/rand/v2"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
)

// TestWorkOfLines: eight leaves come from two thick boards or four thin ones of the same
// price altogether. A billet is a board here, so that the thick ones are the cheaper.
func TestWorkOfLines(t *testing.T) {
	o := plan.Order{Kerf: 1, PassPrice: 20_000, BilletPrice: 10_000, Parts: []plan.Part{{Thickness: 9, Quantity: 8}},
		Boards: []plan.Board{{Thickness: 20, Quantity: plan.Unlimited, Price: 50_000}, {Thickness: 40, Quantity: plan.Unlimited, Price: 100_000}}}
	p, err := Solve(context.Background(), o, Options{})
	if err != nil || p.Cost != 380_000 || p.Status != plan.Optimal || p.Stats.Boards != 2 {
		t.Errorf("%v, %+v", err, p)
	}
}

// TestWorkOfOrders has made-up orders with work in their cost planned: the checker
// adds it up on its own.
func TestWorkOfOrders(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 16))
	for range trial.Rounds(300) {
		o := trial.RandomOrder(r, r.IntN(4) == 0)
		o.PassPrice, o.BilletPrice = int64(r.IntN(3)), int64(r.IntN(4))
		if r.IntN(2) == 0 {
			o.PassLength = plan.Rate{Price: int64(1 + r.IntN(3)), Per: nm(1 + r.IntN(20))}
		}
		if _, err := Solve(context.Background(), o, Options{WorkLimit: 1e6}); err != nil {
			t.Fatalf("%v\n%+v", err, o)
		}
	}
}
