package mix

import (
	"sort"

	"resawd/calc/plan/colgen"
)

// A surrogate row is a condition that the numbers of boards of every plan meet: with
// prices on the items no board of kind k is worth more than most[k], so the
// boards together must be able to be worth what the demands are.
//
// Source: the surrogate constraint of Glover, Operations Research 16 (1968)
// 741-749 (from memory), with dual prices as its weights.
type surrogate struct {
	most  []int64
	worth int64     // of the demands
	step  int64     // of the table, in units of cost
	reach [][]int64 // by kind k and steps of cost: what kinds from k on are worth for it
}

// surrogates are the conditions known, and tables that say what it costs at least
// to meet each from the kinds from one on.
type surrogates struct {
	kinds []colgen.Kind // costs in units
	limit int64         // plans of interest cost less
	list  []*surrogate
	full  bool // rows were left out for want of memory
}

// The size of the rows that are kept.
const (
	mostCovers  = 40      // rows
	fineCovers  = 3       // the first of them
	fineCells   = 1 << 20 // of the table of one of these
	coarseCells = 1 << 16 // of that of another
)

// add keeps a surrogate row while they are not too many. It returns the work.
func (c *surrogates) add(most []int64, worth int64) int64 {
	if worth <= 0 {
		return 0
	}
	if len(c.list) == mostCovers {
		c.full = true
		return 0
	}
	v := &surrogate{worth: worth}
	for _, w := range most {
		v.most = append(v.most, max(0, min(w, worth)))
	}
	cells := int64(fineCells)
	if len(c.list) >= fineCovers {
		cells = coarseCells
	}
	v.step = c.limit/max(cells/int64(len(c.kinds)+1), 1) + 1
	c.list = append(c.list, v)
	return c.fill(v)
}

// fill makes the table of a surrogate row: kinds that cost their price rounded down to
// whole steps can only be worth more for the same cost.
func (c *surrogates) fill(v *surrogate) int64 {
	work := int64(0)
	v.reach = make([][]int64, len(c.kinds)+1)
	v.reach[len(c.kinds)] = make([]int64, c.limit/v.step+1)
	for k := len(c.kinds) - 1; k >= 0; k-- {
		row := append([]int64(nil), v.reach[k+1]...)
		v.reach[k] = row
		if v.most[k] == 0 {
			continue
		}
		for left, part := c.enough(v, k), int64(1); left > 0; part *= 2 {
			part = min(part, left)
			left -= part
			work += v.take(row, part*(c.kinds[k].Cost/v.step), part*v.most[k])
		}
	}
	return work
}

// enough is the largest number of boards of a kind that a surrogate row has a use for.
func (c *surrogates) enough(v *surrogate, k int) int64 {
	n := (v.worth + v.most[k] - 1) / v.most[k]
	if q := c.kinds[k].Quantity; q != colgen.Unlimited {
		n = min(n, int64(q))
	}
	return n
}

// take lets a row of a table take some boards or not.
func (v *surrogate) take(row []int64, cost, worth int64) int64 {
	for to := int64(len(row)) - 1; to >= cost; to-- {
		row[to] = max(row[to], min(row[to-cost]+worth, v.worth))
	}
	return max(int64(len(row))-cost, 0)
}

// least is what it costs at least to meet what is needed of each row from
// kinds from k on.
func (c *surrogates) least(k int, need []int64) int64 {
	least := int64(0)
	for j, n := range need {
		v := c.list[j]
		row := v.reach[k]
		from := int(least / v.step)
		if n > 0 && (from >= len(row) || row[from] < n) {
			from += sort.Search(len(row)-from, func(x int) bool { return row[from+x] >= n })
			least = max(least, int64(from)*v.step)
		}
	}
	return least
}
