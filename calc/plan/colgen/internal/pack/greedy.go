package pack

import (
	"math/bits"
	"sort"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/knapsack"
	"resawd/calc/plan/colgen/internal/relax"
)

// The nodes to fill a board of the first plan, and the part of a board that it may leave.
const (
	greedyNodes = 300
	greedyWaste = 500
)

// Greedy has a plan and a bound for several kinds in one dimension before the
// first linear program: boards by rising price of what they hold, each filled
// and then exchanged for the cheapest that holds its pieces.
func Greedy(s *relax.State) error {
	n := s.Sack
	if s.Inner || len(s.Kinds) < 2 || !relax.Open(s.P.Demand) {
		return nil
	}
	order := ByPrice(s, n)
	if err := s.Raise(Volume(s, n, order)); err != nil {
		return err
	}
	f := NewPacker(n, s.P.Demand)
	plan, ok := FillAll(s, f, order)
	s.Spend(f.Work)
	if !ok {
		return nil
	}
	return s.Offer(plan)
}

// ByPrice lists the kinds by what a unit of their capacity costs.
func ByPrice(s *relax.State, n *knapsack.Knapsack) []int {
	var order []int
	for k := range s.Kinds {
		if n.Capacity[k] > 0 && s.Kinds[k].Quantity != 0 {
			order = append(order, k)
		}
	}
	sort.SliceStable(order, func(a, b int) bool {
		x, y := order[a], order[b]
		return float64(s.Kinds[x].Cost)*float64(n.Capacity[y]) < float64(s.Kinds[y].Cost)*float64(n.Capacity[x])
	})
	return order
}

// Volume is what boards cost at least that hold all sizes together: the
// cheapest for their capacity, the last of them in part. It is 0 where that
// takes more than 64 bits.
func Volume(s *relax.State, n *knapsack.Knapsack, order []int) int64 {
	left := int64(0)
	for i, d := range s.P.Demand {
		high, low := bits.Mul64(uint64(n.Size[i]), uint64(d))
		if high > 0 || low > 1<<60 || left > 1<<60 || s.Ceiling() == relax.Unreachable {
			return 0
		}
		left += int64(low)
	}
	cost := int64(0)
	for _, k := range order {
		boards, rest := left/n.Capacity[k], left%n.Capacity[k]
		if q := atMost(s, k); boards >= q {
			cost += q * s.Kinds[k].Cost
			left -= q * n.Capacity[k]
			continue
		}
		high, low := bits.Mul64(uint64(rest), uint64(s.Kinds[k].Cost))
		part, over := bits.Div64(high, low, uint64(n.Capacity[k]))
		if over > 0 {
			part++
		}
		return cost + boards*s.Kinds[k].Cost + int64(part)
	}
	return cost // not enough boards: others find out
}

// atMost is how many boards of a kind a plan can use.
func atMost(s *relax.State, k int) int64 {
	n := int64(relax.Total(s.P.Demand))
	if q := s.Kinds[k].Quantity; q != colgen.Unlimited {
		n = min(n, int64(q))
	}
	return n
}

// FillAll fills boards in the order of the kinds until all is cut.
func FillAll(s *relax.State, f *Packer, order []int) ([]colgen.Use, bool) {
	copy(f.left, f.Count)
	free := make([]int64, len(s.Kinds))
	var held []int64 // by the boards cut
	for _, k := range order {
		full := f.N.Capacity[k]
		f.allow = full / greedyWaste
		for free[k] = atMost(s, k); free[k] > 0 && f.fill(full, greedyNodes) && f.slack < full; {
			copies := f.cut(int(free[k]))
			f.cuts = append(f.cuts, packed{k, copies})
			f.takes = append(f.takes, f.found...)
			held = append(held, full-f.slack)
			free[k] -= int64(copies)
		}
	}
	for x := range f.cuts {
		cheapen(s, f, &f.cuts[x], held[x], free)
	}
	return f.Plan(), f.done()
}

// cheapen exchanges the boards of a cut for the cheapest kind that holds as
// much and that there are enough of.
func cheapen(s *relax.State, f *Packer, c *packed, held int64, free []int64) {
	best := c.kind
	for k, n := range free {
		if f.N.Capacity[k] >= held && n >= int64(c.copies) && s.Kinds[k].Cost < s.Kinds[best].Cost {
			best = k
		}
	}
	free[c.kind] += int64(c.copies)
	free[best] -= int64(c.copies)
	c.kind = best
}
