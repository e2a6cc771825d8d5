package pack

import (
	"math/rand/v2"
	"testing"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/relax"
	"resawd/calc/plan/colgen/internal/trial"
)

// split cuts boards apart at random, so that as many boards hold all pieces.
func split(rng *rand.Rand, boards int, capacity int64) (size []int64, demand []int) {
	count := map[int64]int{}
	for range boards {
		left := capacity - rng.Int64N(capacity/50)
		for left > capacity/2 {
			piece := capacity/10 + rng.Int64N(capacity/3)
			count[piece]++
			left -= piece
		}
		count[left]++
	}
	for s := capacity; s > 0; s-- {
		if count[s] > 0 {
			size, demand = append(size, s), append(demand, count[s])
		}
	}
	return size, demand
}

// Boards cut apart are put together again, though not by the first fit.
func TestRepack(t *testing.T) {
	for seed := range uint64(5) {
		rng := rand.New(rand.NewPCG(seed, 1))
		r := trial.Random{Kinds: []colgen.Kind{{Cost: 1, Quantity: colgen.Unlimited}}, Capacity: []int64{10_000}}
		r.Size, r.Demand = split(rng, 60, 10_000)
		p := r.Problem()
		s := relax.NewState(t.Context(), &p, colgen.Options{})
		st, _ := stacked(s)
		packer := NewRepacker(st, 60, rng)
		if len(packer.outside) == 0 {
			t.Fatalf("seed %d: the first fit does it, which tests nothing", seed)
		}
		if !packer.Search(100_000_000) {
			t.Fatalf("seed %d: %d of the pieces stay outside", seed, packer.left)
		}
		if cost, err := p.CheckPlan(packer.Plan()); err != nil || cost != 60 {
			t.Errorf("seed %d: cost %d, error %v", seed, cost, err)
		}
	}
}

// One board too few never looks like enough.
func TestRepackTooFew(t *testing.T) {
	r := trial.Random{Kinds: []colgen.Kind{{Cost: 1, Quantity: colgen.Unlimited}}, Capacity: []int64{100}, Size: []int64{61, 30}, Demand: []int{4, 3}}
	p := r.Problem()
	s := relax.NewState(t.Context(), &p, colgen.Options{})
	st, _ := stacked(s)
	packer := NewRepacker(st, 3, rand.New(rand.NewPCG(1, 1)))
	if packer.Search(100_000) {
		t.Errorf("four pieces of 61 on three boards of 100: %v", packer.Plan())
	}
	if left := packer.left; left != 61 {
		t.Errorf("%d left outside, want one piece of 61", left)
	}
}
