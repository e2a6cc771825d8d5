package colgen

import "sort"

// A cover is a condition that the numbers of boards of every plan meet: with
// prices on the items no board of kind k is worth more than most[k], so the
// boards together must be able to be worth what the demands are.
//
// Source: the surrogate constraint of Glover, Operations Research 16 (1968)
// 741-749 (from memory), with dual prices as its weights.
type cover struct {
	most  []int64
	worth int64     // of the demands
	reach [][]int64 // by kind k and steps of cost: what kinds from k on are worth for it
}

// covers are the conditions known, and tables that say what it costs at least
// to meet each from the kinds from one on.
type covers struct {
	kinds []Kind // costs in units
	step  int64  // of the tables, in units
	width int    // steps
	list  []*cover
}

// most covers that are kept, and most cells of the table of one
const (
	mostCovers = 6
	coverCells = 1 << 20
)

// newCovers makes ready for plans that cost less than limit.
func newCovers(kinds []Kind, limit int64) *covers {
	width := max(int64(coverCells/(len(kinds)+1)), 1)
	step := limit/width + 1
	return &covers{kinds: kinds, step: step, width: int(limit/step) + 1}
}

// add keeps a cover, in place of the oldest but one when there are many: the
// first comes from the relaxation of the whole problem. It returns the work.
func (c *covers) add(most []int64, worth int64) int64 {
	if worth <= 0 {
		return 0
	}
	v := &cover{worth: worth}
	for _, w := range most {
		v.most = append(v.most, max(0, min(w, worth)))
	}
	if len(c.list) == mostCovers {
		c.list = append(c.list[:1], c.list[2:]...)
	}
	c.list = append(c.list, v)
	return c.fill(v)
}

// fill makes the table of a cover: kinds that cost their price rounded down to
// whole steps can only be worth more for the same cost.
func (c *covers) fill(v *cover) int64 {
	work := int64(0)
	v.reach = make([][]int64, len(c.kinds)+1)
	v.reach[len(c.kinds)] = make([]int64, c.width)
	for k := len(c.kinds) - 1; k >= 0; k-- {
		row := append([]int64(nil), v.reach[k+1]...)
		v.reach[k] = row
		if v.most[k] == 0 {
			continue
		}
		for left, part := c.enough(v, k), int64(1); left > 0; part *= 2 {
			part = min(part, left)
			left -= part
			work += v.take(row, part*(c.kinds[k].Cost/c.step), part*v.most[k])
		}
	}
	return work
}

// enough is the largest number of boards of a kind that a cover has a use for.
func (c *covers) enough(v *cover, k int) int64 {
	n := (v.worth + v.most[k] - 1) / v.most[k]
	if q := c.kinds[k].Quantity; q != Unlimited {
		n = min(n, int64(q))
	}
	return n
}

// take lets a row of a table take some boards or not.
func (v *cover) take(row []int64, cost, worth int64) int64 {
	for to := int64(len(row)) - 1; to >= cost; to-- {
		row[to] = max(row[to], min(row[to-cost]+worth, v.worth))
	}
	return max(int64(len(row))-cost, 0)
}

// least is what it costs at least to meet what is needed of each cover from
// kinds from k on.
func (c *covers) least(k int, need []int64) int64 {
	most := 0
	for j, v := range c.list {
		row := v.reach[k]
		if need[j] > 0 && (most == len(row) || row[most] < need[j]) {
			most += sort.Search(len(row)-most, func(x int) bool { return row[most+x] >= need[j] })
		}
	}
	return int64(most) * c.step
}
