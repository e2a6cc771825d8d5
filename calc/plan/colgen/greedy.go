package colgen

import (
	"math/bits"
	"sort"
)

// nodes to fill a board of the first plan, and the part of a board it may leave
const (
	greedyNodes = 300
	greedyWaste = 500
)

// greedy has a plan and a bound for several kinds in one dimension before the
// first linear program: boards by rising price of what they hold, each filled
// and then exchanged for the cheapest that holds its pieces.
func (s *search) greedy() error {
	n := s.sack
	if s.inner || len(s.kinds) < 2 || !open(s.p.Demand) {
		return nil
	}
	order := s.byPrice(n)
	if err := s.raise(s.volume(n, order)); err != nil {
		return err
	}
	f := newPacker(n, s.p.Demand)
	plan, ok := s.fillAll(f, order)
	s.spend(f.work)
	if !ok {
		return nil
	}
	return s.offer(plan)
}

// byPrice lists the kinds by what a unit of their capacity costs.
func (s *search) byPrice(n *Knapsack) []int {
	var order []int
	for k := range s.kinds {
		if n.capacity[k] > 0 && s.kinds[k].Quantity != 0 {
			order = append(order, k)
		}
	}
	sort.SliceStable(order, func(a, b int) bool {
		x, y := order[a], order[b]
		return float64(s.kinds[x].Cost)*float64(n.capacity[y]) < float64(s.kinds[y].Cost)*float64(n.capacity[x])
	})
	return order
}

// volume is what boards cost at least that hold all sizes together: the
// cheapest for their capacity, the last of them in part. It is 0 where that
// takes more than 64 bits.
func (s *search) volume(n *Knapsack, order []int) int64 {
	left := int64(0)
	for i, d := range s.p.Demand {
		high, low := bits.Mul64(uint64(n.size[i]), uint64(d))
		if high > 0 || low > 1<<60 || left > 1<<60 || s.ceiling() == unreachable {
			return 0
		}
		left += int64(low)
	}
	cost := int64(0)
	for _, k := range order {
		boards, rest := left/n.capacity[k], left%n.capacity[k]
		if q := s.atMost(k); boards >= q {
			cost += q * s.kinds[k].Cost
			left -= q * n.capacity[k]
			continue
		}
		high, low := bits.Mul64(uint64(rest), uint64(s.kinds[k].Cost))
		part, over := bits.Div64(high, low, uint64(n.capacity[k]))
		if over > 0 {
			part++
		}
		return cost + boards*s.kinds[k].Cost + int64(part)
	}
	return cost // not enough boards: others find out
}

// atMost is how many boards of a kind a plan can use.
func (s *search) atMost(k int) int64 {
	n := int64(total(s.p.Demand))
	if q := s.kinds[k].Quantity; q != Unlimited {
		n = min(n, int64(q))
	}
	return n
}

// fillAll fills boards in the order of the kinds until all is cut.
func (s *search) fillAll(f *packer, order []int) ([]Use, bool) {
	copy(f.left, f.count)
	free := make([]int64, len(s.kinds))
	var held []int64 // by the boards cut
	for _, k := range order {
		full := f.n.capacity[k]
		f.allow = full / greedyWaste
		for free[k] = s.atMost(k); free[k] > 0 && f.fill(full, greedyNodes) && f.slack < full; {
			copies := f.cut(int(free[k]))
			f.cuts = append(f.cuts, packed{k, copies})
			f.takes = append(f.takes, f.found...)
			held = append(held, full-f.slack)
			free[k] -= int64(copies)
		}
	}
	for x := range f.cuts {
		s.cheapen(f, &f.cuts[x], held[x], free)
	}
	return f.plan(), f.done()
}

// cheapen exchanges the boards of a cut for the cheapest kind that holds as
// much and that there are enough of.
func (s *search) cheapen(f *packer, c *packed, held int64, free []int64) {
	best := c.kind
	for k, n := range free {
		if f.n.capacity[k] >= held && n >= int64(c.copies) && s.kinds[k].Cost < s.kinds[best].Cost {
			best = k
		}
	}
	free[c.kind] += int64(c.copies)
	free[best] -= int64(c.copies)
	c.kind = best
}
