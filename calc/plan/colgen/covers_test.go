package colgen

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
)

// counting is some kinds with covers, small enough to list all mixes.
type counting struct {
	covers
	low, high []int
}

// newCounting draws kinds whose costs are multiples of unit, and covers.
func newCounting(rng *rand.Rand, unit int64) *counting {
	c := &counting{covers: covers{limit: 60 * unit}}
	for range 2 + rng.IntN(3) {
		cost, more := unit*rng.Int64N(9)+rng.Int64N(unit), 3
		if rng.IntN(3) == 0 { // many boards for less than a unit
			cost, more = 1, 6
		}
		c.low = append(c.low, rng.IntN(2))
		c.high = append(c.high, c.low[len(c.low)-1]+rng.IntN(more))
		c.kinds = append(c.kinds, Kind{cost, c.high[len(c.high)-1]})
	}
	for range 1 + rng.IntN(3) {
		var most []int64
		for range c.kinds {
			most = append(most, rng.Int64N(20))
		}
		c.add(most, 1+rng.Int64N(60))
	}
	return c
}

// each calls do for every mix of kinds from k on.
func (c *counting) each(mix []int, do func(mix []int, cost int64)) {
	if k := len(mix); k < len(c.kinds) {
		for n := c.low[k]; n <= c.high[k]; n++ {
			c.each(append(mix, n), do)
		}
		return
	}
	cost := int64(0)
	for k, n := range mix {
		cost += int64(n) * c.kinds[k].Cost
	}
	do(mix, cost)
}

// met reports whether a mix meets all covers.
func (c *counting) met(mix []int) bool {
	for _, v := range c.list {
		worth := v.worth
		for k, n := range mix {
			worth -= int64(n) * v.most[k]
		}
		if worth > 0 {
			return false
		}
	}
	return true
}

// The mixes of a cost are those that listing all mixes finds; no other mix that
// meets the covers costs more than the target and less than what comes next.
// Large units make the steps of the tables coarse.
func TestMixes(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	visited := 0
	for n := range 90 {
		c := newCounting(rng, []int64{1, 1, 100_000}[n%3])
		costs := map[int64]bool{}
		c.each(nil, func(_ []int, cost int64) { costs[cost] = true })
		for target := range costs {
			if target >= c.limit {
				continue
			}
			want, got := map[string]bool{}, map[string]bool{}
			least := int64(math.MaxInt64)
			c.each(nil, func(mix []int, cost int64) {
				free := true // what costs nothing is taken
				for k, n := range mix {
					free = free && (c.kinds[k].Cost > 0 || n == c.high[k])
				}
				switch {
				case !c.met(mix) || !free:
				case cost == target:
					want[fmt.Sprint(mix)] = true
				case cost > target:
					least = min(least, cost)
				}
			})
			m := &mixes{covers: &c.covers, low: c.low, high: c.high, near: c.low, floor: target, target: target, boards: 99,
				do: func(mix []int) error { got[fmt.Sprint(mix)] = true; return nil }}
			if err := m.run(1_000_000); err != nil {
				t.Fatal(err)
			}
			if fmt.Sprint(want) != fmt.Sprint(got) {
				t.Fatalf("%+v: mixes of %d are %v; want %v", c.kinds, target, got, want)
			}
			if m.next <= target || m.next > least && least < c.limit {
				t.Fatalf("%+v: next after %d is %d; want at most %d", c.kinds, target, m.next, least)
			}
			visited += len(want)
		}
	}
	if visited < 200 {
		t.Errorf("only %d mixes met", visited)
	}
}

// The work alone decides the path of a search over several kinds, too.
func TestDeterministicKinds(t *testing.T) {
	r := dealt(rand.New(rand.NewPCG(41, 42)), []int64{90, 75, 60, 40}, []int{9, 9, 9, 9})
	for k := range r.kinds {
		r.kinds[k] = Kind{r.capacity[k], Unlimited}
	}
	for _, limit := range []int64{300_000, 3_000_000} {
		a, errA := Solve(context.Background(), r.problem(), Options{WorkLimit: limit})
		b, errB := Solve(context.Background(), r.problem(), Options{WorkLimit: limit})
		if errA != nil || errB != nil || !reflect.DeepEqual(a, b) {
			t.Errorf("two searches differ: %+v, %v; %+v, %v", a, errA, b, errB)
		}
	}
}

// A search for mixes gives up at its limit of nodes.
func TestMixesLimit(t *testing.T) {
	c := newCounting(rand.New(rand.NewPCG(1, 1)), 1)
	m := &mixes{covers: &c.covers, low: c.low, high: c.high, near: c.low, boards: 99,
		do: func([]int) error { return nil }}
	if err := m.run(0); !errors.Is(err, errNodes) {
		t.Errorf("error %v; want the limit of nodes", err)
	}
}

// Boards of 10 for 5 and of 7 for 4, twelve leaves of 1: two of 7 do for 8, one
// of 7 and one of 10 for 9, two of 10 for 10, and no single board does. The
// relaxation says 12 x 5/10 = 6.
func TestNextMix(t *testing.T) {
	r := random{[]Kind{{5, 9}, {4, 9}}, []int64{10, 7}, []int64{1}, []int{12}}
	if got := r.solve(t); got.Status != Optimal || got.Cost != 8 || got.Stats.Dives > 0 {
		t.Errorf("%+v; want a proof of 8 without dives", got)
	}
}

// A mix that does not meet the cover of its relaxation is no plan, by brute
// force, and neither is any other mix that does not meet it.
func TestShortage(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 24))
	count := 0
	for n := range 150 {
		r := newRandom(rng, 2+n%2)
		s := r.started()
		if s == nil {
			continue
		}
		all := &counting{covers: covers{kinds: s.kinds}, low: make([]int, len(s.kinds))}
		for _, k := range r.kinds {
			q := 2
			if k.Quantity != Unlimited {
				q = min(q, k.Quantity)
			}
			all.high = append(all.high, q)
		}
		h := s.newShortage()
		all.each(nil, func(mix []int, _ int64) {
			most, worth, err := h.of(mix)
			if err != nil || !short(most, worth, mix) {
				return
			}
			all.each(nil, func(other []int, _ int64) {
				if !short(most, worth, other) {
					return
				}
				count++
				q := r
				q.kinds = append([]Kind(nil), r.kinds...)
				for k, n := range other {
					q.kinds[k].Quantity = n
				}
				if cost := q.brute(); cost != impossible {
					t.Fatalf("%+v: mix %v was ruled out by %v, %d; it gives a plan of %d", r, other, most, worth, cost)
				}
			})
		})
	}
	if count < 500 {
		t.Errorf("only %d mixes ruled out", count)
	}
}

// What all boards cost is no more than a number that no plan reaches.
func TestCeiling(t *testing.T) {
	r := random{[]Kind{{MaxCost, Unlimited}, {MaxCost - 1, 3}}, []int64{10, 10}, []int64{5, 4, 3, 2}, []int{MaxDemand, MaxDemand, MaxDemand, MaxDemand}}
	p := r.problem()
	if got := newSearch(context.Background(), &p, Options{}).ceiling(); got != unreachable {
		t.Errorf("%d; want %d", got, unreachable)
	}
	p.Demand = []int{1, 1, 0, 0}
	if got := newSearch(context.Background(), &p, Options{}).ceiling(); got != 2*MaxCost+2*(MaxCost-1) {
		t.Errorf("%d; want two boards of each kind", got)
	}
}
