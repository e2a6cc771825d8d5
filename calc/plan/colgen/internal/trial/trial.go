package trial

import (
	"context"
	"math"
	"math/rand/v2"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/relax"
)

// Random is a small problem of one dimension.
type Random struct {
	Kinds          []colgen.Kind
	Capacity, Size []int64
	Demand         []int
}

// NewRandom draws a problem small enough for brute force.
func NewRandom(rng *rand.Rand, kinds int) Random {
	var r Random
	for range kinds {
		k := colgen.Kind{Cost: rng.Int64N(9), Quantity: colgen.Unlimited}
		if rng.IntN(2) == 0 {
			k.Quantity = rng.IntN(4)
		}
		r.Kinds = append(r.Kinds, k)
		r.Capacity = append(r.Capacity, 5+rng.Int64N(16))
	}
	for range 1 + rng.IntN(4) {
		r.Size = append(r.Size, 1+rng.Int64N(14))
		r.Demand = append(r.Demand, rng.IntN(4))
	}
	return r
}

// Problem is the problem as the engine takes it.
func (r Random) Problem() colgen.Problem {
	return colgen.Problem{Kinds: r.Kinds, Demand: r.Demand, Capacity: r.Capacity, Size: r.Size}
}

// Impossible is the least cost where there is no plan.
const Impossible = math.MaxInt64 / 4

// Brute is the least cost by recursion over boards: each board is cut in every
// possible way. It knows nothing of linear programs or bounds.
func (r Random) Brute() int64 {
	memo := map[string]int64{}
	var best func(demand, left []int) int64
	best = func(demand, left []int) int64 {
		if relax.Total(demand) == 0 {
			return 0
		}
		key := keyOf(demand) + "|" + keyOf(left)
		if v, ok := memo[key]; ok {
			return v
		}
		least := int64(Impossible)
		for k := range r.Kinds {
			if left[k] == 0 {
				continue
			}
			if left[k] > 0 {
				left[k]--
			}
			r.cuts(demand, 0, r.Capacity[k], false, func() {
				least = min(least, r.Kinds[k].Cost+best(demand, left))
			})
			if left[k] >= 0 {
				left[k]++
			}
		}
		memo[key] = least
		return least
	}
	var left []int
	for _, k := range r.Kinds {
		left = append(left, k.Quantity)
	}
	return best(append([]int(nil), r.Demand...), left)
}

// cuts calls do for every way to cut something from a board.
func (r Random) cuts(demand []int, i int, capacity int64, some bool, do func()) {
	if i == len(demand) {
		if some {
			do()
		}
		return
	}
	before := demand[i]
	for c := 0; c <= before && int64(c)*r.Size[i] <= capacity; c++ {
		demand[i] = before - c
		r.cuts(demand, i+1, capacity-int64(c)*r.Size[i], some || c > 0, do)
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

// Started is a search with its relaxation solved, unless that ended it.
func (r Random) Started() *relax.State {
	p := r.Problem()
	s := relax.NewState(context.Background(), &p, colgen.Options{})
	high := make([]int, len(s.Kinds))
	for k := range high {
		high[k] = s.Kinds[k].Quantity
	}
	if s.Relax(make([]int, len(high)), high) != nil {
		return nil
	}
	return s
}

// One is a problem of one kind of board that never runs out.
func One(capacity int64, size []int64, demand []int) Random {
	return Random{[]colgen.Kind{{Cost: 1, Quantity: colgen.Unlimited}}, []int64{capacity}, size, demand}
}

// Scaled is the problem in finer units, with capacities that the sizes have no use for.
func (r Random) Scaled(f int64) Random {
	q := Random{Kinds: r.Kinds, Demand: r.Demand}
	for _, c := range r.Capacity {
		q.Capacity = append(q.Capacity, c*f+f-1)
	}
	for _, s := range r.Size {
		q.Size = append(q.Size, s*f)
	}
	return q
}

// Reversed is the problem with its items in the opposite order.
func (r Random) Reversed() Random {
	q := Random{Kinds: r.Kinds, Capacity: r.Capacity}
	for i := len(r.Size) - 1; i >= 0; i-- {
		q.Size, q.Demand = append(q.Size, r.Size[i]), append(q.Demand, r.Demand[i])
	}
	return q
}

// Split is the problem with half of the first item as an item of its own.
func (r Random) Split() Random {
	q := Random{r.Kinds, r.Capacity, append([]int64(nil), r.Size...), append([]int(nil), r.Demand...)}
	q.Size = append(q.Size, q.Size[0])
	q.Demand = append(q.Demand, q.Demand[0]/2)
	q.Demand[0] -= q.Demand[0] / 2
	return q
}

// Hard is a problem that takes longer than a moment: triplets that must fill
// every board exactly, with sizes drawn as in Falkenauer, Journal of
// Heuristics 2 (1996) 5-30.
func Hard(triplets int) Random {
	rng := rand.New(rand.NewPCG(5, 6))
	r := One(1000, nil, nil)
	for range triplets {
		a := 380 + rng.Int64N(111)
		b := 250 + rng.Int64N((1000-a)/2-250+1)
		for _, s := range []int64{a, b, 1000 - a - b} {
			r.Size, r.Demand = append(r.Size, s), append(r.Demand, 1)
		}
	}
	return r
}

// Dealt is a problem whose boards can be filled without waste: pieces that
// boards of the capacities were broken into, by how many there were of each.
func Dealt(rng *rand.Rand, capacity []int64, mix []int) Random {
	r := Random{Capacity: capacity}
	count := map[int64]int{}
	for k, n := range mix {
		r.Kinds = append(r.Kinds, colgen.Kind{Cost: capacity[k], Quantity: n})
		for range n {
			a := capacity[k]/5 + rng.Int64N(capacity[k]/5)
			b := a + 1 + rng.Int64N(capacity[k]-2*a-1)
			count[a]++
			count[b]++
			count[capacity[k]-a-b]++
		}
	}
	for s := int64(1); s < 1000; s++ {
		if count[s] > 0 {
			r.Size, r.Demand = append(r.Size, s), append(r.Demand, count[s])
		}
	}
	return r
}
