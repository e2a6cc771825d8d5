package plan

import "slices"

// givenPart is the part of their price that given boards are charged: enough
// to leave out those that are not needed.
const givenPart = 0.02

// charge returns what the search counts for one more board of a kind of which
// so many are in the plan: hardly anything for the boards that are given.
func (s *search) charge(k, used int) float64 {
	price := float64(s.p.price(k))
	if len(s.given) > 0 && used < s.given[k] {
		return price * givenPart
	}
	return price
}

// charges returns what the search counts for the boards of a plan.
func (s *search) charges(plan []layout) float64 {
	used, sum := make([]int, len(s.p.kinds)), 0.0
	for _, lay := range plan {
		sum += s.charge(lay.kind, used[lay.kind])
		used[lay.kind]++
	}
	return sum
}

// give begins anew with numbers of boards that no prices forbid, as if they
// were paid for: what they cannot deliver is sought from as little more as
// there can be. It tells whether there are such numbers.
func (s *search) give() bool {
	if s.counts == nil || s.counts.aim == nil {
		return false
	}
	number := s.counts.aim
	if full := s.counts.full(s.least); len(full) > 0 && s.rng.IntN(2) == 0 {
		number = full[s.rng.IntN(len(full))]
	}
	s.given = slices.Clone(number)
	s.left = slices.Clone(s.need)
	s.plan = s.recreate(nil, s.left, s.values(), nil)
	return true
}

// full returns numbers of boards below a price that no row forbids.
func (c *counts) full(limit int64) [][]int {
	var full [][]int
	for _, x := range c.open.list {
		if x.low < limit && x.rows == len(c.rows) && x.low == c.price(x) {
			full = append(full, x.number)
		}
	}
	return full
}
