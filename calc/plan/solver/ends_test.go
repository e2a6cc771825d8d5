package solver

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
)

// TestEnds: with time to spend and no limit of work, a search ends with a proof or when
// the time is up, and not before, whatever the order asks for.
func TestEnds(t *testing.T) {
	const limit = 200 * time.Millisecond
	r := rand.New(rand.NewPCG(27, 11))
	orders := []plan.Order{trial.RealOrder(2), trial.ShopOrder(1), trial.MakerOrder(1)}
	for range trial.Rounds(40) {
		orders = append(orders, trial.TinyWith(r, trial.Work|trial.Grids|trial.Kits), trial.RandomOrder(r, false))
	}
	late := 0
	for i, o := range orders {
		ctx, cancel := context.WithTimeout(context.Background(), limit)
		start := time.Now()
		p, err := Solve(ctx, o, Options{})
		took := time.Since(start)
		cancel()
		switch {
		case err != nil:
			t.Fatal(err)
		case p.StoppedBy == plan.ByTime && took >= limit:
			late++
		case p.StoppedBy != plan.ByProof:
			t.Errorf("order %d: by %s after %v", i, p.StoppedBy, took)
		}
	}
	if late == 0 {
		t.Error("every order was proven: none could show it")
	}
}
