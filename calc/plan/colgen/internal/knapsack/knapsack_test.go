package knapsack

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"resawd/calc/plan/internal/trial"
)

// plainKnapsack is the textbook recursion over capacities, one copy at a time.
func plainKnapsack(capacity int64, size, value []int64, limit []int) int64 {
	best := make([]int64, capacity+1)
	for i := range size {
		for range limit[i] {
			for c := capacity; c >= size[i]; c-- {
				best[c] = max(best[c], best[c-size[i]]+value[i])
			}
		}
	}
	return best[capacity]
}

// against compares the pricer with the plain recursion. scale makes the
// capacity so large that the grid is coarse.
func against(t *testing.T, capacity int64, size, value []int64, limit []int, scale int64) {
	t.Helper()
	want := plainKnapsack(capacity, size, value, limit)
	large := make([]int64, len(size))
	for i, s := range size {
		large[i] = s*scale + int64(i)%scale // spoils the common divisor
	}
	capacities := []int64{capacity*scale + scale*int64(sum(limit))/1_000_000}
	if scale == 1 {
		large = size
	}
	n := NewKnapsack(capacities, large)
	if scale > 1 { // the sizes differ a little: compare with the exact sizes
		want = plainKnapsack(capacities[0], large, value, limit)
	}
	answers, _, err := n.Price(context.Background(), Query{Value: value, Limit: limit, Floor: []int64{0}, Many: 3, Exact: true})
	if err != nil {
		t.Fatal(err)
	}
	a := answers[0]
	if a.Bound != want {
		t.Fatalf("bound %d; want %d (capacity %d, sizes %v, values %v, limits %v)", a.Bound, want, capacities[0], large, value, limit)
	}
	for x, p := range a.Patterns {
		sum := int64(0)
		for _, pc := range p {
			sum += large[pc.Item] * int64(pc.Count)
		}
		if sum > capacities[0] {
			t.Fatalf("%v takes %d of %d", p, sum, capacities[0])
		}
		worth := int64(0)
		for _, pc := range p {
			worth += value[pc.Item] * int64(pc.Count)
			if pc.Count > limit[pc.Item] {
				t.Fatalf("%d copies of item %d; at most %d", pc.Count, pc.Item, limit[pc.Item])
			}
		}
		if worth <= 0 || worth > want || x == 0 && worth != want {
			t.Fatalf("pattern %d is worth %d; the best is %d", x, worth, want)
		}
	}
	if want > 0 && len(a.Patterns) == 0 {
		t.Fatal("no pattern")
	}
}

func draw(rng *rand.Rand) (capacity int64, size, value []int64, limit []int) {
	capacity = 1 + rng.Int64N(60)
	for range 1 + rng.IntN(8) {
		size = append(size, 1+rng.Int64N(40))
		value = append(value, rng.Int64N(50))
		limit = append(limit, rng.IntN(6))
	}
	return
}

func TestKnapsackExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for range trial.Rounds(2000) {
		c, s, v, l := draw(rng)
		against(t, c, s, v, l, 1)
	}
}

// Capacities far beyond the grid give the same answers.
func TestKnapsackCoarse(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	for range trial.Rounds(40) {
		c, s, v, l := draw(rng)
		against(t, c, s, v, l, 20_011)
	}
}

func FuzzKnapsack(f *testing.F) {
	f.Add(uint64(1), uint64(2))
	f.Add(uint64(3), uint64(5))
	f.Fuzz(func(t *testing.T, a, b uint64) {
		c, s, v, l := draw(rand.New(rand.NewPCG(a, b)))
		against(t, c, s, v, l, 1)
	})
}

// A pattern that leaves no more than the waste is found on a coarse grid, too:
// here the items fill the board exactly, with the sizes rounded down on the
// grid they do not.
func TestKnapsackWaste(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for range trial.Rounds(100) {
		const pieces = 12
		cut := make([]int64, 0, pieces)
		rest := 1_000_000 + rng.Int64N(1_000_000_000)
		capacity := rest
		for len(cut) < pieces-1 {
			x := 1 + rng.Int64N(rest/2)
			cut, rest = append(cut, x), rest-x
		}
		cut = append(cut, rest)
		n := NewKnapsack([]int64{capacity}, cut)
		value, limit := make([]int64, pieces), make([]int, pieces)
		for i := range value {
			value[i], limit[i] = -10+rng.Int64N(20), 1
		}
		waste := rng.Int64N(3) * rng.Int64N(capacity)
		want := int64(never)
		for set := range 1 << pieces { // each set of items on its own
			var size, worth int64
			for i := range pieces {
				if set>>i&1 == 1 {
					size, worth = size+cut[i], worth+value[i]
				}
			}
			if size <= capacity && capacity-size <= waste {
				want = max(want, worth)
			}
		}
		answers, _, _ := n.Tight(context.Background(), Query{Value: value, Limit: limit, Floor: []int64{never}, Many: 1, Exact: true}, Rules{Waste: waste})
		if answers[0].Bound != want {
			t.Fatalf("bound %d; want %d (capacity %d, waste %d, sizes %v, values %v)", answers[0].Bound, want, capacity, waste, cut, value)
		}
	}
}

// Values nearly in proportion to sizes are hard: that nothing is worth more
// than the best is shown on a finer grid.
func TestKnapsackFiner(t *testing.T) {
	for seed := range uint64(3) {
		rng := rand.New(rand.NewPCG(seed, 14))
		var size, value []int64
		for range 100 {
			s := 1_000 + rng.Int64N(19_000)
			size, value = append(size, s), append(value, s*1000+rng.Int64N(s))
		}
		limit := slices.Repeat([]int{1}, len(size))
		capacity := []int64{100_000, 90_001}
		n := NewKnapsack(capacity, size)
		var best []int64
		for _, c := range capacity {
			best = append(best, plainKnapsack(c, size, value, limit))
		}
		answers, _, err := n.Price(context.Background(), Query{Value: value, Limit: limit, Floor: best, Many: 1, Exact: true})
		if err != nil {
			t.Fatal(err)
		}
		for k, a := range answers {
			if a.Bound != best[k] || len(a.Patterns) > 0 {
				t.Errorf("seed %d, kind %d: bound %d, %d patterns worth more; want %d, none", seed, k, a.Bound, len(a.Patterns), best[k])
			}
		}
	}
}

// sum adds up.
func sum(list []int) (total int) {
	for _, n := range list {
		total += n
	}
	return total
}
