package plan

import "context"

// search improves a plan of three stages and its bound, in turns. A plan at hand
// goes from step to step (walk), numbers of boards compete (contest), and the
// bound is raised by prices and by numbers of boards (dual, counts).
type search struct {
	*toolbox
	best    *incumbent
	walk    *walk
	contest contest
	counts  *counts // of boards; nil until the dual has ended
	raised  int64   // work on the bound
}

// The steps of the dual, and how work is divided.
const (
	dualSteps = 240
	dualSlice = 20
	dualFirst = 60 // before the first try

	boundPart   = 3             // one part in so many is for the bound
	firstRaised = 60_000_000    // work on the bound, at the beginning
	fewBoards   = 5             // in the best plan, whose numbers are soon decided
	fewIdle     = 100_000_000   // work without gain, with so few
	idleWork    = 500_000_000   // without gain, otherwise
	staleWork   = 1_500_000_000 // without gain, at the end
)

// newSearch returns a search from a plan that delivers a need.
func newSearch(ctx context.Context, p *problem, need []int, cuts []cut) *search {
	var plan []layout
	for _, c := range cuts {
		for range c.copies {
			plan = append(plan, c.layout)
		}
	}
	cost := p.costOf(plan)
	s := &search{toolbox: newToolbox(ctx, p, need, float64(cost))}
	s.best = &incumbent{p: p, pool: newPool(p), clock: s.onPlans, plan: plan, cost: cost}
	s.walk = newWalk(s.toolbox, s.best)
	s.contest = contest{toolbox: s.toolbox, best: s.best}
	s.dual.bound = volumeBound(p, need, cost)
	return s
}

// slice works for a while and tells whether there is more to do.
func (s *search) slice() bool {
	if s.dual.steps < dualFirst || s.behind() && !s.exhausted() {
		before := s.work()
		s.raise()
		s.raised += s.work() - before
		return s.dual.bound < s.best.cost
	}
	before, least := s.work(), s.best.cost
	if !s.walk.starting() && s.contest.behind(s.onPlans()) {
		s.contest.rows = s.rows()
		s.contest.compete()
		s.contest.work += s.work() - before
		if s.best.cost < least {
			s.contest.won++
		}
	} else {
		s.walk.step()
		if s.best.cost < least {
			s.contest.lost++
		}
	}
	return s.dual.bound < s.best.cost && !s.stale()
}

// behind tells whether it is the bound's turn. It has a third of the work, half
// of it at the beginning and when the search has gained nothing for long, and
// three parts of four when numbers of few boards are decided and the search is
// idle.
func (s *search) behind() bool {
	work, tabled := s.work(), s.counts != nil && s.counts.tabled
	switch {
	case tabled && len(s.best.plan) <= fewBoards && s.idle() > fewIdle:
		return s.raised*4 < work*3
	case s.raised < firstRaised || s.idle() > idleWork:
		return s.raised*2 < work
	case tabled:
		return s.raised*4 < work
	}
	return s.raised*boundPart < work
}

// onPlans returns the work on plans.
func (s *search) onPlans() int64 { return s.work() - s.raised }

// idle returns the work on plans since the best one was found.
func (s *search) idle() int64 { return s.onPlans() - s.best.found }

// stale tells whether nothing has been gained for so long that nothing will be.
func (s *search) stale() bool {
	return s.idle() > staleWork && (s.exhausted() || s.idle() > 3*staleWork)
}

// exhausted tells whether the bound will not rise further.
func (s *search) exhausted() bool {
	return s.dual.steps >= dualSteps && s.counts != nil && s.counts.done()
}

// raise works on the bound: by steps of the dual, then by the numbers of boards
// that it takes at least.
func (s *search) raise() {
	if s.dual.steps >= dualSteps {
		if s.counts == nil {
			s.counts = newCounts(s.ctx, s.dual, s.ascent, s.best.pool, s.best.cost)
		}
		s.dual.bound = max(s.dual.bound, s.counts.work(s.ctx, s.best.cost))
		if s.counts.plan != nil {
			s.walk.take(s.counts.plan)
			s.counts.plan = nil
		}
		return
	}
	for range dualSlice {
		s.dual.step(s.ctx, s.best.cost)
	}
}

// rows returns what is known of how much boards can give.
func (s *search) rows() []row {
	switch {
	case s.counts != nil:
		return s.counts.rows
	case s.dual.row.worth != nil:
		return []row{s.dual.row}
	}
	return nil
}

// work returns the steps of work so far.
func (s *search) work() int64 {
	work := s.toolbox.work() + s.dual.t.arena.work
	if s.counts != nil {
		work += s.counts.h.work()
	}
	return work
}

// cuts returns the best plan.
func (s *search) cuts() []cut { return cutsOf(s.best.plan) }
