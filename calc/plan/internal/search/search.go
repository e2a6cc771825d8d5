package search

import (
	"context"

	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/bound"
)

// Search improves a plan of three stages and its bound, in turns. A plan is changed
// step by step (walk), numbers of boards compete (halving), and the
// bound is raised by prices and by numbers of boards (package bound).
type Search struct {
	*toolbox
	Best    *Incumbent
	walk    *walk
	columns *columns // nil where there are few boards
	halving halving
	benders *bound.Benders // of boards; nil until the dual has ended
	apart   *board.Ascent  // of its boards, where they are not those of plans
	raised  int64          // work on the bound
	Patient bool           // goes on when nothing has been gained for long
}

// The steps of the dual, and how work is divided.
const (
	dualSteps  = 240
	dualSlice  = 20
	dualFirst  = 60 // before the first try
	dualRefine = 30 // in classes of sizes, before there are more of them

	boundPart   = 3             // the share of the bound is one part in this
	firstRaised = 60_000_000    // work on the bound, at the beginning
	fewBoards   = 5             // in the best plan, whose numbers are soon decided
	fewIdle     = 100_000_000   // work without gain, with so few
	idleWork    = 500_000_000   // without gain, otherwise
	staleWork   = 1_500_000_000 // without gain, at the end
)

// NewSearch returns a search from a plan that delivers a need, and kits.
func NewSearch(ctx context.Context, p *board.Problem, need []int, cuts []board.Use) *Search {
	plan := board.Each(cuts)
	cost := p.CostOf(plan)
	s := &Search{toolbox: NewToolbox(ctx, p, need, p.KitsOf(cuts), float64(cost))}
	s.Best = &Incumbent{P: p, Need: need, Kits: s.kits, Pool: bound.NewPool(p), Clock: s.onPlans, Plan: plan, Cost: cost}
	s.walk = newWalk(s.toolbox, s.Best)
	s.halving = halving{toolbox: s.toolbox, best: s.Best}
	s.columns = newColumns(s.toolbox, s.Best)
	s.Dual.Bound = bound.VolumeBound(p.Bounds(), need, cost)
	return s
}

// Slice works for a while and tells whether there is more to do.
func (s *Search) Slice() bool {
	if s.columns.due(s.onPlans()) {
		s.columns.step()
		return s.Dual.Bound < s.Best.Cost
	}
	if s.Dual.Steps < dualFirst || s.behind() && !s.exhausted() {
		before := s.Work()
		s.raise()
		s.raised += s.Work() - before
		return s.Dual.Bound < s.Best.Cost
	}
	before, least := s.Work(), s.Best.Cost
	if !s.walk.starting() && s.halving.behind(s.onPlans()) {
		s.halving.rows = s.rows()
		s.halving.compete()
		s.halving.work += s.Work() - before
		if s.Best.Cost < least {
			s.halving.won++
		}
	} else {
		s.walk.step()
		if s.Best.Cost < least {
			s.halving.lost++
		}
	}
	return s.Dual.Bound < s.Best.Cost && (s.Patient || !s.stale())
}

// behind tells whether it is the bound's turn. It has a third of the work, half
// of it at the beginning and when the search has gained nothing for long, and
// three parts of four when numbers of few boards are decided and the search is
// idle.
func (s *Search) behind() bool {
	work, tabled := s.Work(), s.benders != nil && s.benders.Tabled
	switch {
	case tabled && len(s.Best.Plan) <= fewBoards && s.Idle() > fewIdle:
		return s.raised*4 < work*3
	case s.raised < firstRaised || s.Idle() > idleWork:
		return s.raised*2 < work
	case tabled:
		return s.raised*4 < work
	}
	return s.raised*boundPart < work
}

// onPlans returns the work on plans.
func (s *Search) onPlans() int64 { return s.Work() - s.raised }

// Idle returns the work on plans since the best one was found.
func (s *Search) Idle() int64 { return s.onPlans() - s.Best.found }

// stale tells whether nothing has been gained for so long that nothing will be.
func (s *Search) stale() bool {
	return s.Idle() > staleWork && (s.exhausted() || s.Idle() > 3*staleWork)
}

// exhausted tells whether the bound will not rise further.
func (s *Search) exhausted() bool {
	return s.Dual.Steps >= dualSteps && s.benders != nil && s.benders.Done()
}

// raise works on the bound: by steps of the dual, then by the numbers of boards
// that it takes at least.
func (s *Search) raise() {
	if s.Dual.Steps >= dualSteps {
		if s.benders == nil {
			s.benders = s.master()
		}
		s.Dual.Bound = max(s.Dual.Bound, s.benders.Raise(s.ctx, s.Best.Cost))
		if s.benders.Plan != nil && !s.p.Thinned() {
			s.walk.take(s.benders.Plan)
			s.benders.Plan = nil
		}
		return
	}
	for range dualSlice {
		s.Dual.Step(s.ctx, s.Best.Cost)
		if s.Dual.Steps%dualRefine == 0 && s.ctx.Err() == nil {
			s.Dual.Refine()
		}
	}
}

// master returns the master problem of the bound. Where plans make do with fewer sizes
// of billets than the bound, they share no layouts.
func (s *Search) master() *bound.Benders {
	if !s.p.Thinned() {
		return bound.NewBenders(s.ctx, s.Dual, s.ascent, s.Best.Pool, s.Best.Cost)
	}
	p := s.Dual.Problem()
	s.apart = board.NewAscent(p)
	return bound.NewBenders(s.ctx, s.Dual, s.apart, bound.NewPool(p), s.Best.Cost)
}

// rows returns what is known of how much boards can give.
func (s *Search) rows() []bound.Row {
	switch {
	case s.benders != nil:
		return s.benders.Rows
	case s.Dual.Row.Worth != nil:
		return []bound.Row{s.Dual.Row}
	}
	return nil
}

// Bytes returns the memory that the knapsacks of a search hold between its turns.
func (s *Search) Bytes() int {
	sum := 0
	for _, a := range s.arenas() {
		sum += a.Bytes()
	}
	return sum
}

// Free gives that memory back.
func (s *Search) Free() {
	for _, a := range s.arenas() {
		a.Free()
	}
}

// arenas returns the arenas that hold lists of knapsacks.
func (s *Search) arenas() []*board.Arena {
	all := append(s.ascent.Arenas(), &s.t.Arena, &s.Dual.T.Arena)
	if s.benders != nil {
		all = append(all, s.benders.Arenas()...)
	}
	if s.apart != nil {
		all = append(all, s.apart.Arenas()...)
	}
	return all
}

// Work returns the steps of work so far.
func (s *Search) Work() int64 {
	work := s.toolbox.Work() + s.Dual.T.Arena.Work
	if s.benders != nil {
		work += s.benders.Spent()
	}
	if s.apart != nil {
		work += s.apart.B.T.Arena.Work + s.apart.B.Spare.Work
	}
	return work
}

// Cuts returns the best plan.
func (s *Search) Cuts() []board.Use { return board.UsesOf(s.Best.Plan) }
