package colgen

import (
	"context"
	"math"
	"math/rand/v2"
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

func (r random) problem() Problem {
	return Problem{Kinds: r.kinds, Demand: r.demand, Capacity: r.capacity, Size: r.size}
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

// started is a search with its relaxation solved, unless that ended it.
func (r random) started() *search {
	p := r.problem()
	s := newSearch(context.Background(), &p, Options{})
	high := make([]int, len(s.kinds))
	for k := range high {
		high[k] = s.kinds[k].Quantity
	}
	if s.relax(make([]int, len(high)), high) != nil {
		return nil
	}
	return s
}

// one is a problem of one kind of board that never runs out.
func one(capacity int64, size []int64, demand []int) random {
	return random{[]Kind{{1, Unlimited}}, []int64{capacity}, size, demand}
}

func (r random) scaled(f int64) random {
	q := random{kinds: r.kinds, demand: r.demand}
	for _, c := range r.capacity {
		q.capacity = append(q.capacity, c*f+f-1)
	}
	for _, s := range r.size {
		q.size = append(q.size, s*f)
	}
	return q
}

func (r random) reversed() random {
	q := random{kinds: r.kinds, capacity: r.capacity}
	for i := len(r.size) - 1; i >= 0; i-- {
		q.size, q.demand = append(q.size, r.size[i]), append(q.demand, r.demand[i])
	}
	return q
}

func (r random) split() random {
	q := random{r.kinds, r.capacity, append([]int64(nil), r.size...), append([]int(nil), r.demand...)}
	q.size = append(q.size, q.size[0])
	q.demand = append(q.demand, q.demand[0]/2)
	q.demand[0] -= q.demand[0] / 2
	return q
}

// hard is a problem that takes longer than a moment: triplets that must fill
// every board exactly, with sizes drawn as in Falkenauer, Journal of
// Heuristics 2 (1996) 5-30.
func hard(triplets int) random {
	rng := rand.New(rand.NewPCG(5, 6))
	r := one(1000, nil, nil)
	for range triplets {
		a := 380 + rng.Int64N(111)
		b := 250 + rng.Int64N((1000-a)/2-250+1)
		for _, s := range []int64{a, b, 1000 - a - b} {
			r.size, r.demand = append(r.size, s), append(r.demand, 1)
		}
	}
	return r
}
