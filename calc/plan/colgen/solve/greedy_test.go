package solve

import (
	"context"
	"math/rand/v2"
	"testing"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/pack"
	"resawd/calc/plan/colgen/internal/relax"
	"resawd/calc/plan/colgen/internal/trial"
)

// The first plan is a plan and the bound by volume a bound, by brute force.
func TestGreedy(t *testing.T) {
	rng := rand.New(rand.NewPCG(51, 52))
	plans, tight := 0, 0
	for n := range 1500 {
		r := trial.NewRandom(rng, 2+n%2)
		want := r.Brute()
		p := r.Problem()
		s := relax.NewState(context.Background(), &p, colgen.Options{})
		k := s.Sack
		order := pack.ByPrice(s, k)
		bound := pack.Volume(s, k, order) * s.Unit
		if want != trial.Impossible && bound > want {
			t.Fatalf("%+v: bound %d above %d", r, bound, want)
		}
		if bound == want {
			tight++
		}
		plan, ok := pack.FillAll(s, pack.NewPacker(k, p.Demand), order)
		if !ok {
			continue
		}
		plans++
		if cost, err := p.CheckPlan(plan); err != nil || cost < want {
			t.Fatalf("%+v: plan of %d, error %v; the least is %d", r, cost, err, want)
		}
	}
	if plans < 500 || tight < 100 {
		t.Errorf("%d plans, %d bounds met", plans, tight)
	}
}

// Thousands of different items have a plan long before a linear program of
// them is solved.
func TestGreedyLarge(t *testing.T) {
	rng := rand.New(rand.NewPCG(53, 54))
	var r trial.Random
	for range 20 {
		c := 500_000 + rng.Int64N(2_500_000)
		r.Capacity = append(r.Capacity, c)
		r.Kinds = append(r.Kinds, colgen.Kind{Cost: c * (8 + rng.Int64N(4)), Quantity: 200})
	}
	for range 1000 {
		r.Size, r.Demand = append(r.Size, 10_000+rng.Int64N(490_000)), append(r.Demand, 1)
	}
	p := r.Problem()
	res, err := Solve(context.Background(), p, colgen.Options{WorkLimit: 20_000_000})
	if err != nil || res.Status != colgen.Feasible || res.Gap > 0.02 {
		t.Errorf("%v, gap %g, error %v; want a plan within 2 %%", res.Status, res.Gap, err)
	}
}
