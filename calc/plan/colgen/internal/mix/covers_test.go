package mix

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/exactly"
	"resawd/calc/plan/colgen/internal/relax"
	"resawd/calc/plan/colgen/internal/trial"
)

// counting is some kinds with covers, small enough to list all mixes.
type counting struct {
	surrogates
	low, high []int
}

// newCounting draws kinds whose costs are multiples of unit, and covers.
func newCounting(rng *rand.Rand, unit int64) *counting {
	c := &counting{surrogates: surrogates{limit: 60 * unit}}
	for range 2 + rng.IntN(3) {
		cost, more := unit*rng.Int64N(9)+rng.Int64N(unit), 3
		if rng.IntN(3) == 0 { // many boards for less than a unit
			cost, more = 1, 6
		}
		c.low = append(c.low, rng.IntN(2))
		c.high = append(c.high, c.low[len(c.low)-1]+rng.IntN(more))
		c.kinds = append(c.kinds, colgen.Kind{Cost: cost, Quantity: c.high[len(c.high)-1]})
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

// met reports whether a mix meets all rows.
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
// meets the rows costs more than the target and less than what comes next.
// Large units make the steps of the tables coarse.
func TestMixes(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	visited := 0
	for n := range trial.Rounds(90) {
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
			m := &mixes{surrogates: &c.surrogates, low: c.low, high: c.high, near: c.low, floor: target, target: target, boards: 99,
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
	if visited < trial.Rounds(200) {
		t.Errorf("only %d mixes met", visited)
	}
}

// A mix that does not meet the surrogate row of its relaxation is no plan, by brute
// force, and neither is any other mix that does not meet it.
func TestShortage(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 24))
	count := 0
	for n := range trial.Rounds(150) {
		r := trial.NewRandom(rng, 2+n%2)
		s := r.Started()
		if s == nil {
			continue
		}
		all := &counting{surrogates: surrogates{kinds: s.Kinds}, low: make([]int, len(s.Kinds))}
		for _, k := range r.Kinds {
			q := 2
			if k.Quantity != colgen.Unlimited {
				q = min(q, k.Quantity)
			}
			all.high = append(all.high, q)
		}
		h := newShortage(s)
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
				q.Kinds = append([]colgen.Kind(nil), r.Kinds...)
				for k, n := range other {
					q.Kinds[k].Quantity = n
				}
				if cost := q.Brute(); cost != trial.Impossible {
					t.Fatalf("%+v: mix %v was ruled out by %v, %d; it gives a plan of %d", r, other, most, worth, cost)
				}
			})
		})
	}
	if count < trial.Rounds(500) {
		t.Errorf("only %d mixes ruled out", count)
	}
}

// What all boards cost is no more than a number that no plan reaches.
func TestCeiling(t *testing.T) {
	r := trial.Random{Kinds: []colgen.Kind{{Cost: colgen.MaxCost, Quantity: colgen.Unlimited}, {Cost: colgen.MaxCost - 1, Quantity: 3}}, Capacity: []int64{10, 10}, Size: []int64{5, 4, 3, 2}, Demand: []int{colgen.MaxDemand, colgen.MaxDemand, colgen.MaxDemand, colgen.MaxDemand}}
	p := r.Problem()
	if got := relax.NewState(context.Background(), &p, colgen.Options{}).Ceiling(); got != relax.Unreachable {
		t.Errorf("%d; want %d", got, relax.Unreachable)
	}
	p.Demand = []int{1, 1, 0, 0}
	if got := relax.NewState(context.Background(), &p, colgen.Options{}).Ceiling(); got != 2*colgen.MaxCost+2*(colgen.MaxCost-1) {
		t.Errorf("%d; want two boards of each kind", got)
	}
}

// A search for mixes gives up at its limit of nodes.
func TestMixesLimit(t *testing.T) {
	c := newCounting(rand.New(rand.NewPCG(1, 1)), 1)
	m := &mixes{surrogates: &c.surrogates, low: c.low, high: c.high, near: c.low, boards: 99,
		do: func([]int) error { return nil }}
	if err := m.run(0); !errors.Is(err, exactly.ErrNodes) {
		t.Errorf("error %v; want the limit of nodes", err)
	}
}

// Rows beyond those kept are left out, and the statistics say so. A row that asks for
// nothing is none.
func TestRowsLeftOut(t *testing.T) {
	s := trial.Dealt(rand.New(rand.NewPCG(1, 1)), []int64{60, 45}, []int{2, 2}).Started()
	m := newMixing(s, s.Root, effort{relax: true})
	for len(m.covers.list) < mostCovers {
		m.covers.add([]int64{1, 1}, 1)
	}
	m.covers.add([]int64{1, 1}, 0)
	if m.covers.full {
		t.Errorf("full with %d rows", len(m.covers.list))
	}
	m.covers.list = m.covers.list[:mostCovers-1]
	for n, want := range []bool{false, true} {
		none, err := m.lacks([]int{0, 0})
		if !none || err != nil || s.Stats.MemoryFull != want || len(m.covers.list) != mostCovers {
			t.Errorf("row %d: ruled out %v, error %v, memory full %v, %d rows", mostCovers+n, none, err, s.Stats.MemoryFull, len(m.covers.list))
		}
	}
}
