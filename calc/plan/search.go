package plan

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// search improves a plan of three stages. It takes some boards out of the plan
// at hand, lays them or other boards out anew and keeps the result when it is
// better, or not much worse (anneal.go), with smaller steps in between (refit.go).
// In turns with that, numbers of boards compete (contest.go).
// The plan at hand may leave sets undelivered, at a penalty that rises while it
// does and falls while it does not.
//
// Source: ruin and recreate: Schrimpf et al., J. Computational Physics 159
// (2000) 139-171 (from memory), with boards laid out by ascent.
type search struct {
	ctx     context.Context
	p       *problem
	need    []int
	dual    *dual
	counts  *counts // of boards; nil until the dual has ended
	pool    *pool
	good    int // plans at hand that delivered everything
	ascent  *ascent
	t       *tables
	rng     *rand.Rand
	hand    // what is worked on
	contest contest
	best    []layout // delivers everything
	least   int64    // cost of best
	gained  int64    // work on plans when best was found
	raised  int64    // work on the bound
	began   int64    // work on plans when the cycle began
	cycle   int64    // work in the cycle
	heat    float64  // at its beginning
	before  int64    // least then
	starts  int      // made
	steps   int64    // of work outside of knapsacks
}

// hand is a plan at hand, and how it is judged.
type hand struct {
	plan    []layout  // a board each
	left    []int     // sets it does not deliver
	score   float64   // cost and penalty
	weight  []float64 // of what is not delivered, the more the longer it is not
	penalty float64   // for what is not delivered, as a multiple of its dual prices
	keeps   bool      // to its boards
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
	stepWork    = 150           // of a step of the search, for each item and board

	refits    = 20 // for a try
	restacks  = 3  // for a refit
	meetEvery = 20 // plans, for one that goes into the pool

	mostSpread = 0.1 // of the values of items
)

// newSearch returns a search from a plan that delivers a need.
func newSearch(ctx context.Context, p *problem, need []int, cuts []cut) *search {
	s := &search{ctx: ctx, p: p, need: need, ascent: newAscent(p), t: newTables(p), rng: rand.New(rand.NewPCG(1, 2))}
	s.hand = s.newHand()
	for _, c := range cuts {
		for range c.copies {
			s.plan = append(s.plan, c.layout)
		}
	}
	s.best, s.least = slices.Clone(s.plan), p.cost(cuts)
	s.pool = newPool(p)
	s.left = make([]int, len(need))
	s.score = float64(s.least)
	s.dual = newDual(p, need, float64(s.least))
	s.dual.bound = volumeBound(p, need, s.least)
	return s
}

// newHand returns a plan at hand without boards.
func (s *search) newHand() hand {
	return hand{left: slices.Clone(s.need), weight: slices.Repeat([]float64{1}, len(s.need)), penalty: 1.2}
}

// slice works for a while and tells whether there is more to do.
func (s *search) slice() bool {
	if s.dual.steps < dualFirst || s.behind() && !s.exhausted() {
		before := s.work()
		s.raise()
		s.raised += s.work() - before
		return s.dual.bound < s.least
	}
	before, least := s.work(), s.least
	if !s.starting() && s.contest.behind(before-s.raised) {
		s.compete()
		s.contest.work += s.work() - before
		if s.least < least {
			s.contest.won++
		}
	} else {
		s.walk()
		if s.least < least {
			s.contest.lost++
		}
	}
	return s.dual.bound < s.least && !s.stale()
}

// walk goes on with the plan at hand, by a step and some smaller ones.
func (s *search) walk() {
	if s.starting() {
		s.start()
	} else if s.cool() {
		s.restart()
	}
	s.try()
	s.learn()
	for range refits {
		s.nudge()
	}
}

// nudge makes a few small steps.
func (s *search) nudge() {
	s.refit()
	for range restacks {
		s.restack()
	}
}

// behind tells whether it is the bound's turn. It has a third of the work, half
// of it at the beginning and when the search has gained nothing for long, and
// three parts of four when numbers of few boards are decided and the search is
// idle.
func (s *search) behind() bool {
	work, tabled := s.work(), s.counts != nil && s.counts.tabled
	switch {
	case tabled && len(s.best) <= fewBoards && s.idle() > fewIdle:
		return s.raised*4 < work*3
	case s.raised < firstRaised || s.idle() > idleWork:
		return s.raised*2 < work
	case tabled:
		return s.raised*4 < work
	}
	return s.raised*boundPart < work
}

// idle returns the work on plans since the best one was found.
func (s *search) idle() int64 { return s.work() - s.raised - s.gained }

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
			s.counts = newCounts(s.ctx, s.dual, s.ascent, s.pool, s.least)
		}
		s.dual.bound = max(s.dual.bound, s.counts.work(s.ctx, s.least))
		if s.counts.plan != nil {
			s.take(s.counts.plan)
			s.counts.plan = nil
		}
		return
	}
	for range dualSlice {
		s.dual.step(s.ctx, s.least)
	}
}

// work returns the steps of work so far.
func (s *search) work() int64 {
	work := s.dual.t.arena.work + s.t.arena.work + s.ascent.b.t.arena.work + s.ascent.b.spare.work + s.steps
	if s.counts != nil {
		work += s.counts.h.work()
	}
	return work
}

// spent counts a step on a plan of so many boards, beyond its knapsacks.
func (s *search) spent(boards int) { s.steps += stepWork * int64(len(s.need)+boards) }

// cuts returns the best plan.
func (s *search) cuts() []cut {
	var cuts []cut
	for _, lay := range s.best {
		cuts = append(cuts, cut{lay, 1})
	}
	return cuts
}

// try makes one attempt at a better plan.
func (s *search) try() {
	s.spent(len(s.plan))
	kept, left, gone := s.ruin()
	value := s.values()
	for i := range kept {
		kept[i] = s.ascent.b.top(kept[i], value, left)
	}
	plan := s.recreate(kept, left, value, gone)
	if s.ctx.Err() != nil {
		return // left half done
	}
	if s.accept(plan, left) {
		s.finish()
	}
}

// accept goes on from a plan that is not much worse than the one at hand, and
// tells whether it did.
func (s *search) accept(plan []layout, left []int) bool {
	score := s.worthless(left) + s.cost(plan)
	if score > s.score+s.slack() {
		return false
	}
	s.plan, s.left, s.score = plan, left, score
	return true
}

// restart goes back to the best plan, or begins anew, and goes on from there.
func (s *search) restart() {
	switch s.rng.IntN(8) {
	default:
		s.plan, s.left = slices.Clone(s.best), make([]int, len(s.need))
	case 0:
		s.anew()
	case 1, 2, 3:
		s.within()
	}
	s.finish()
}

// anew begins with no board.
func (s *search) anew() {
	s.left = slices.Clone(s.need)
	s.plan = s.recreate(nil, s.left, s.values(), nil)
}

// within lays out, within a budget below the cost of the best plan, the boards
// that promise to give most.
func (s *search) within() {
	v := s.p.values(s.dual.best)
	boards := make([]coverBoard, len(s.p.kinds))
	for k := range boards {
		w := float64(s.ascent.board(k, v, s.need, 3, 0).worth) * math.Exp(0.1*s.rng.NormFloat64())
		boards[k] = coverBoard{int64(w), s.p.price(k), s.p.most(k, s.least)}
	}
	span := float64(s.least - s.dual.bound)
	budget := s.least - 1 - int64(span*0.7*math.Pow(s.rng.Float64(), 2))
	s.plan, s.left = nil, slices.Clone(s.need)
	value := s.values()
	g := s.greed(nil, s.left, value)
	for k, n := range richest(boards, budget) {
		for range n {
			if c, ok := g.board(k); ok {
				s.plan = append(s.plan, c.layout)
			}
		}
	}
}

// finish keeps the plan at hand if it is the best one, and moves the penalty.
func (s *search) finish() {
	if !none(s.left) {
		s.penalty = min(3, s.penalty*1.01)
		s.complete()
	} else {
		s.penalty = max(1, s.penalty*0.98)
		if s.good++; s.good%meetEvery == 0 {
			s.meet(s.plan)
		}
		s.offer(s.plan)
	}
	s.score = s.worthless(s.left) + s.cost(s.plan)
}

// offer keeps a plan that delivers everything if it is the cheapest.
func (s *search) offer(plan []layout) {
	plan = slices.DeleteFunc(slices.Clone(plan), func(lay layout) bool { return len(lay.strips) == 0 })
	var cost int64
	for _, lay := range plan {
		cost += s.p.price(lay.kind)
	}
	if cost < s.least || cost == s.least && len(plan) < len(s.best) {
		s.best, s.least = plan, cost
		s.gained = s.work() - s.raised
		s.meet(plan)
	}
}

// meet puts the boards of a plan into the pool.
func (s *search) meet(plan []layout) {
	for _, lay := range plan {
		s.pool.add(lay)
	}
}

// complete delivers what the plan at hand leaves from further boards, and
// offers the plan that comes of it.
func (s *search) complete() {
	limit := s.least
	for _, lay := range s.plan {
		limit -= s.p.price(lay.kind)
	}
	left := slices.Clone(s.left)
	g := s.greed(s.plan, left, s.values())
	plan := slices.Clone(s.plan)
	for limit > 0 && !none(left) && s.ctx.Err() == nil {
		g.limit = limit
		c, ok := g.next()
		if !ok {
			return
		}
		plan = append(plan, c.layout)
		limit -= s.p.price(c.kind)
	}
	if none(left) {
		s.offer(plan)
	}
}

// take goes on from a plan.
func (s *search) take(plan []layout) {
	s.plan, s.left = plan, slices.Clone(s.need)
	for _, lay := range plan {
		take(s.left, lay.pieces())
	}
	for i, n := range s.left {
		s.left[i] = max(0, n)
	}
	s.finish()
}

// cost returns what the boards of a plan cost.
func (s *search) cost(plan []layout) float64 {
	var sum float64
	for _, lay := range plan {
		sum += float64(s.p.price(lay.kind))
	}
	return sum
}

// worthless returns the penalty for what is left.
func (s *search) worthless(left []int) float64 {
	var sum float64
	for i, n := range left {
		sum += float64(n) * s.dual.best[i] * s.weight[i]
	}
	return sum * s.penalty
}

// ruin takes one to four boards out of the plan at hand. It returns the
// others, what is missing without them, and the kinds of the boards.
func (s *search) ruin() (kept []layout, left, gone []int) {
	out := s.lossy(s.plan, min(len(s.plan), 1+s.rng.IntN(4)))
	left = slices.Clone(s.left)
	for i, lay := range s.plan {
		if !slices.Contains(out, i) {
			kept = append(kept, lay)
			continue
		}
		gone = append(gone, lay.kind)
		for _, pc := range lay.pieces() {
			left[pc.Item] += pc.Count
		}
	}
	return kept, left, gone
}

// values returns what a set of each item is worth in this attempt: the best
// prices of the dual, weighed and disturbed.
func (s *search) values() []int64 {
	v, spread := s.p.values(s.dual.best), mostSpread*s.rng.Float64()
	for i, x := range v {
		v[i] = 1 + int64(float64(x)*s.weight[i]*math.Exp(spread*s.rng.NormFloat64()))
	}
	return v
}

// greed returns a greedy method that adds to boards what is left.
func (s *search) greed(boards []layout, left []int, value []int64) *greed {
	stock := s.p.stock()
	for _, lay := range boards {
		stock[lay.kind]--
	}
	return &greed{ctx: s.ctx, p: s.p, t: s.t, a: s.ascent, value: value, left: left, stock: stock, price: s.p.price,
		rounds: 3, limit: math.MaxInt64, single: true}
}

// recreate lays boards out for what is left, as long as it is worth their
// price: boards of the kinds that are gone, or of any.
func (s *search) recreate(plan []layout, left []int, value []int64, gone []int) []layout {
	g := s.greed(plan, left, value)
	if s.rng.IntN(4) > 0 {
		s.rng.Shuffle(len(gone), func(i, j int) { gone[i], gone[j] = gone[j], gone[i] })
		for _, k := range gone {
			if c, ok := g.board(k); ok {
				plan = append(plan, c.layout)
			}
		}
	}
	for !none(left) && s.ctx.Err() == nil {
		before := s.worthless(left)
		at := slices.Clone(left)
		c, ok := g.next()
		if !ok || before-s.worthless(left) <= float64(s.p.price(c.kind)) {
			copy(left, at)
			break
		}
		plan = append(plan, c.layout)
	}
	return plan
}

// stock returns how many boards of each kind there are.
func (p *problem) stock() []int {
	stock := make([]int, len(p.kinds))
	for k, b := range p.order.Boards {
		if stock[k] = b.Quantity; b.Quantity == Unlimited {
			stock[k] = math.MaxInt32
		}
	}
	return stock
}
