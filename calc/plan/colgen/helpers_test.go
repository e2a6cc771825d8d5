package colgen

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
)

// random is a small problem of one dimension.
type random struct {
	kinds          []Kind
	capacity, size []int64
	demand         []int
}

// newRandom draws a problem small enough for brute force.
func newRandom(rng *rand.Rand, kinds int) random {
	var r random
	for range kinds {
		k := Kind{Cost: rng.Int64N(9), Quantity: Unlimited}
		if rng.IntN(2) == 0 {
			k.Quantity = rng.IntN(4)
		}
		r.kinds = append(r.kinds, k)
		r.capacity = append(r.capacity, 5+rng.Int64N(16))
	}
	for range 1 + rng.IntN(4) {
		r.size = append(r.size, 1+rng.Int64N(14))
		r.demand = append(r.demand, rng.IntN(4))
	}
	return r
}

func (r random) problem(t testing.TB) Problem {
	t.Helper()
	return Problem{Kinds: r.kinds, Demand: r.demand, Capacity: r.capacity, Size: r.size}
}

func (r random) solve(t testing.TB) *Result {
	t.Helper()
	res, err := Solve(context.Background(), r.problem(t), Options{})
	if err != nil {
		t.Fatalf("%+v: %v", r, err)
	}
	return res
}

const impossible = math.MaxInt64 / 4

// brute is the least cost by recursion over boards: each board is cut in every
// possible way. It knows nothing of linear programs or bounds.
func (r random) brute() int64 {
	memo := map[string]int64{}
	var best func(demand, left []int) int64
	best = func(demand, left []int) int64 {
		if total(demand) == 0 {
			return 0
		}
		key := keyOf(demand) + "|" + keyOf(left)
		if v, ok := memo[key]; ok {
			return v
		}
		least := int64(impossible)
		for k := range r.kinds {
			if left[k] == 0 {
				continue
			}
			if left[k] > 0 {
				left[k]--
			}
			r.cuts(demand, 0, r.capacity[k], false, func() {
				least = min(least, r.kinds[k].Cost+best(demand, left))
			})
			if left[k] >= 0 {
				left[k]++
			}
		}
		memo[key] = least
		return least
	}
	var left []int
	for _, k := range r.kinds {
		left = append(left, k.Quantity)
	}
	return best(append([]int(nil), r.demand...), left)
}

// cuts calls do for every way to cut something from a board.
func (r random) cuts(demand []int, i int, capacity int64, some bool, do func()) {
	if i == len(demand) {
		if some {
			do()
		}
		return
	}
	before := demand[i]
	for c := 0; c <= before && int64(c)*r.size[i] <= capacity; c++ {
		demand[i] = before - c
		r.cuts(demand, i+1, capacity-int64(c)*r.size[i], some || c > 0, do)
	}
	demand[i] = before
}

func keyOf(v []int) string {
	b := make([]byte, len(v))
	for i, n := range v {
		b[i] = byte(n + 1)
	}
	return string(b)
}
