package search

import (
	"math"
	"slices"

	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/bound"
)

// mix is numbers of boards, and what they give by some rows.
type mix struct {
	p      *board.Problem
	rows   []bound.Row
	number []int
	cost   int64
	sum    []float64 // of what they are worth, by row
}

// mixOf returns the mix of the boards of a plan.
func mixOf(p *board.Problem, rows []bound.Row, plan []board.Layout) *mix {
	c := &mix{p: p, rows: rows, number: make([]int, len(p.Kinds)), sum: make([]float64, len(rows))}
	for _, lay := range plan {
		c.add(lay.Kind, 1)
	}
	return c
}

// clone returns a copy.
func (c *mix) clone() *mix {
	return &mix{c.p, c.rows, slices.Clone(c.number), c.cost, slices.Clone(c.sum)}
}

// add adds some boards of a kind, or takes them away.
func (c *mix) add(k, n int) {
	c.number[k] += n
	c.cost += int64(n) * c.p.Price(k)
	for r := range c.rows {
		c.sum[r] += float64(n) * float64(c.rows[r].Worth[k])
	}
}

// slack returns by what part the boards, and the work that is left of a budget, give
// more than every row wants: the more, the likelier it is that they deliver the need.
func (c *mix) slack(budget int64) float64 {
	least, work := math.Inf(1), float64(max(0, budget-c.cost))
	for r, sum := range c.sum {
		sum += work * c.rows[r].Work
		least = min(least, sum/float64(max(1, c.rows[r].Want)))
	}
	return least - 1
}

// How numbers of boards are sought.
const (
	slackSteps = 2000
	slackHeat  = 0.02 // of the slack
	slackCold  = 0.001
	mostIn     = 4 // boards that a step puts in
)

// seekSlack seeks, from a mix of boards, one with a large slack within a budget.
//
// Source: simulated annealing, as in anneal.
func (x *toolbox) seekSlack(c *mix, budget int64) *mix {
	best, most := c, math.Inf(-1)
	margin := most
	for n := range slackSteps {
		y := c.clone()
		x.swap(y, budget)
		heat := slackHeat * math.Pow(slackCold/slackHeat, float64(n)/slackSteps)
		m := y.slack(budget)
		if m < margin-heat*x.rng.ExpFloat64() {
			continue
		}
		if c, margin = y, m; m > most {
			best, most = y, m
		}
	}
	x.steps += slackSteps * int64(len(c.rows)+len(c.number))
	return best
}

// swap takes a board or two out of a mix, more where it costs too much, and
// puts in others within the budget.
func (x *toolbox) swap(c *mix, budget int64) {
	n := c.boards()
	for out := 1 + x.rng.IntN(2); n > 0 && (out > 0 || c.cost > budget); out-- {
		c.add(c.at(x.rng.IntN(n)), -1)
		n--
	}
	for range mostIn {
		k := x.rng.IntN(len(c.number))
		if c.cost+x.p.Price(k) <= budget && int64(c.number[k]) < x.p.Most(k, budget) {
			c.add(k, 1)
		}
	}
}

// boards returns how many boards there are.
func (c *mix) boards() int {
	var sum int
	for _, n := range c.number {
		sum += n
	}
	return sum
}

// at returns the kind of a board, counted from 0.
func (c *mix) at(i int) int {
	return slices.IndexFunc(c.number, func(n int) bool {
		i -= n
		return i < 0
	})
}
