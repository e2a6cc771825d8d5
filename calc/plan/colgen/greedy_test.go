package colgen

import (
	"context"
	"math/rand/v2"
	"testing"
)

// The first plan is a plan and the bound by volume a bound, by brute force.
func TestGreedy(t *testing.T) {
	rng := rand.New(rand.NewPCG(51, 52))
	plans, tight := 0, 0
	for n := range 1500 {
		r := newRandom(rng, 2+n%2)
		want := r.brute()
		p := r.problem()
		s := newSearch(context.Background(), &p, Options{})
		k := s.sack
		order := s.byPrice(k)
		bound := s.volume(k, order) * s.unit
		if want != impossible && bound > want {
			t.Fatalf("%+v: bound %d above %d", r, bound, want)
		}
		if bound == want {
			tight++
		}
		plan, ok := s.fillAll(newPacker(k, p.Demand), order)
		if !ok {
			continue
		}
		plans++
		if cost, err := p.checkPlan(plan); err != nil || cost < want {
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
	var r random
	for range 20 {
		c := 500_000 + rng.Int64N(2_500_000)
		r.capacity = append(r.capacity, c)
		r.kinds = append(r.kinds, Kind{c * (8 + rng.Int64N(4)), 200})
	}
	for range 1000 {
		r.size, r.demand = append(r.size, 10_000+rng.Int64N(490_000)), append(r.demand, 1)
	}
	p := r.problem()
	res, err := Solve(context.Background(), p, Options{WorkLimit: 20_000_000})
	if err != nil || res.Status != Feasible || res.Gap > 0.02 {
		t.Errorf("%v, gap %g, error %v; want a plan within 2 %%", res.Status, res.Gap, err)
	}
}
