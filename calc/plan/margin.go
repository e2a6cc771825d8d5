package plan

import (
	"math"
	"slices"
)

// choice is numbers of boards, and what they give by some rows.
type choice struct {
	p      *problem
	rows   []row
	number []int
	cost   int64
	sum    []float64 // of what they are worth, by row
}

// choose returns the choice of the boards of a plan.
func (p *problem) choose(rows []row, plan []layout) *choice {
	c := &choice{p: p, rows: rows, number: make([]int, len(p.kinds)), sum: make([]float64, len(rows))}
	for _, lay := range plan {
		c.add(lay.kind, 1)
	}
	return c
}

// clone returns a copy.
func (c *choice) clone() *choice {
	return &choice{c.p, c.rows, slices.Clone(c.number), c.cost, slices.Clone(c.sum)}
}

// add adds some boards of a kind, or takes them away.
func (c *choice) add(k, n int) {
	c.number[k] += n
	c.cost += int64(n) * c.p.price(k)
	for r := range c.rows {
		c.sum[r] += float64(n) * float64(c.rows[r].worth[k])
	}
}

// margin returns by what part the boards give more than every row wants: the
// more, the likelier it is that they deliver the need.
func (c *choice) margin() float64 {
	least := math.Inf(1)
	for r, sum := range c.sum {
		least = min(least, sum/float64(max(1, c.rows[r].want)))
	}
	return least - 1
}

// How numbers of boards are sought.
const (
	roomySteps = 2000
	roomyHeat  = 0.02 // of the margin
	roomyCold  = 0.001
	mostIn     = 4 // boards that a step puts in
)

// roomy seeks, from a choice of boards, one with a large margin within a budget.
//
// Source: simulated annealing, as in anneal.
func (x *toolbox) roomy(c *choice, budget int64) *choice {
	best, most := c, math.Inf(-1)
	margin := most
	for n := range roomySteps {
		y := c.clone()
		x.swap(y, budget)
		heat := roomyHeat * math.Pow(roomyCold/roomyHeat, float64(n)/roomySteps)
		m := y.margin()
		if m < margin-heat*x.rng.ExpFloat64() {
			continue
		}
		if c, margin = y, m; m > most {
			best, most = y, m
		}
	}
	x.steps += roomySteps * int64(len(c.rows)+len(c.number))
	return best
}

// swap takes a board or two out of a choice, more where it costs too much, and
// puts in others within the budget.
func (x *toolbox) swap(c *choice, budget int64) {
	n := c.boards()
	for out := 1 + x.rng.IntN(2); n > 0 && (out > 0 || c.cost > budget); out-- {
		c.add(c.at(x.rng.IntN(n)), -1)
		n--
	}
	for range mostIn {
		k := x.rng.IntN(len(c.number))
		if c.cost+x.p.price(k) <= budget && int64(c.number[k]) < x.p.most(k, budget) {
			c.add(k, 1)
		}
	}
}

// boards returns how many boards there are.
func (c *choice) boards() int {
	var sum int
	for _, n := range c.number {
		sum += n
	}
	return sum
}

// at returns the kind of a board, counted from 0.
func (c *choice) at(i int) int {
	return slices.IndexFunc(c.number, func(n int) bool {
		i -= n
		return i < 0
	})
}
