package plan

import (
	"math"
	"slices"
)

// The search of plans runs in cycles. In each the plan at hand may become
// worse, by less and less, and each is longer than the one before.
//
// Source: simulated annealing: Kirkpatrick, Gelatt and Vecchi, Science 220
// (1983) 671-680 (from memory).
const (
	warm       = 0.004 // of the least cost, by which a plan may become worse: in the mean
	hot        = 0.012
	cold       = 0.0003
	heating    = 1.5        // of a cycle after one without gain
	firstCycle = 40_000_000 // steps of work
	cycleGrow  = 1.3
)

// The search begins with several plans, as long as they cost little work.
const (
	mostStarts = 12
	startWork  = 10_000_000
)

// starting tells whether another plan is to be begun with.
func (s *search) starting() bool {
	return s.starts == 0 || s.starts < mostStarts && s.work()-s.raised < startWork
}

// start begins with a plan of its own, and at the end with the best one.
func (s *search) start() {
	if s.starts++; s.starts%2 == 1 {
		s.anew()
	} else {
		s.within()
	}
	s.finish()
	if !s.starting() {
		s.plan, s.left = slices.Clone(s.best), make([]int, len(s.need))
		s.finish()
	}
}

// cool begins the next cycle when one is at its end, and tells whether it did.
func (s *search) cool() bool {
	work := s.work() - s.raised
	switch {
	case s.cycle == 0:
		s.cycle, s.heat, s.before = firstCycle, warm, s.least
		return false
	case work-s.began <= s.cycle:
		return false
	}
	if s.heat = min(hot, s.heat*heating); s.least < s.before {
		s.heat = warm
	}
	s.cycle, s.began, s.before = int64(float64(s.cycle)*cycleGrow), work, s.least
	return true
}

// slack returns how much worse the plan at hand may become.
func (s *search) slack() float64 {
	if s.keeps {
		return float64(s.least) * contestHeat * s.rng.ExpFloat64()
	}
	part := float64(s.work()-s.raised-s.began) / float64(s.cycle)
	return float64(s.least) * s.heat * math.Pow(cold/s.heat, min(1, part)) * s.rng.ExpFloat64()
}

// How the weights of what is not delivered rise and fall.
const (
	weightUp   = 0.05
	weightDown = 0.02
	mostWeight = 3
)

// learn makes what the plan at hand leaves weigh more, and the rest less.
//
// Source: sequential value correction, Mukhacheva and others 2000 (from memory);
// weights on what fails, common practice.
func (s *search) learn() {
	for i, n := range s.left {
		if n > 0 {
			s.weight[i] = min(mostWeight, s.weight[i]*(1+weightUp))
		} else {
			s.weight[i] += weightDown * (1 - s.weight[i])
		}
	}
	s.score = s.worthless(s.left) + s.cost(s.plan)
}
