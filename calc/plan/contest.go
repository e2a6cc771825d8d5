package plan

import (
	"cmp"
	"math"
	"slices"
)

// contest is a search among numbers of boards. Boards that suffice show it only
// after thousands of small steps; so many numbers begin, each entrant with a
// plan in the making that keeps to its boards. The half that is shorter of the
// need after a lap goes on for one of twice the length.
//
// Source: successive halving: Karnin, Koren and Somekh, ICML 2013, 1238-1246
// (from memory).
type contest struct {
	*toolbox
	best      *incumbent
	rows      []row // what is known of how much boards can give
	field     []*entrant
	lap       int        // refits
	at        int        // the entrant whose lap it is
	last      []*entrant // that came far before
	work      int64
	won, lost int // better plans found in contests, and otherwise
}

// entrant is a plan in the making on numbers of boards.
type entrant struct {
	working
	cost  int64
	short float64 // by what value, at least, in the last lap
}

// The size of a contest.
const (
	entrants   = 32
	firstLap   = 50
	longestLap = 1600
	finalists  = 4

	contestHeat = 0.005 // of the least cost, by which a plan in the making may become worse
	mostOut     = 3     // boards of another plan that an entrant does without
	allOut      = 6     // one entrant in so many does without any of them
	candidates  = 5     // until one will do
	mostBare    = 2     // times the boards of the best plan, with those that give nothing yet
	worthSpread = 0.06  // of what boards are taken to be worth
	budgetReach = 0.5   // from the least cost to the bound
)

// behind tells whether it is the contest's turn: its share of so much work is
// that of the better plans which it has found.
func (c *contest) behind(work int64) bool {
	share := float64(c.won+1) / float64(c.won+c.lost+2)
	return float64(c.work) < min(0.8, max(0.2, share))*float64(work)
}

// compete has one entrant run its lap.
func (c *contest) compete() {
	if c.lap == 0 {
		c.field, c.lap, c.at = nil, firstLap, 0
	}
	if c.at == len(c.field) {
		c.field = append(c.field, c.entrant())
	}
	c.field[c.at].run(c.lap)
	if c.at++; c.at < len(c.field) || c.lap == firstLap && c.at < entrants {
		return
	}
	slices.SortStableFunc(c.field, func(x, y *entrant) int { return cmp.Compare(x.short, y.short) })
	c.field = slices.DeleteFunc(c.field[:len(c.field)/2], func(e *entrant) bool { return e.cost >= c.best.cost })
	c.lap, c.at = 2*c.lap, 0
	if n := len(c.field); n > 0 && n <= finalists {
		c.last = slices.Clone(c.field)
	}
	if len(c.field) == 0 || c.lap > longestLap {
		c.lap = 0
	}
}

// run refits the plan of an entrant for a lap, or until it delivers everything.
func (e *entrant) run(lap int) {
	e.short = math.Inf(1)
	for n := range lap {
		if e.ctx.Err() != nil || e.cost >= e.best.cost {
			break
		}
		if n%refits == 0 {
			e.learn()
		}
		e.nudge()
		e.short = min(e.short, e.worthOf(e.left))
	}
}

// newEntrant returns an entrant without boards.
func newEntrant(x *toolbox, best *incumbent) *entrant {
	e := &entrant{working: newWorking(x, best, func() float64 {
		return float64(best.cost) * contestHeat * x.rng.ExpFloat64()
	})}
	e.keeps = true
	return e
}

// entrant begins a plan on boards within a budget below the cost of the best
// plan, as far as it finds any that no row forbids.
func (c *contest) entrant() *entrant {
	e := c.candidate()
	for range candidates - 1 {
		if c.p.choose(c.rows, e.plan).margin() >= 0 {
			break
		}
		e = c.candidate()
	}
	return e
}

// candidate begins a plan within a budget: on boards with a large margin, or on
// those that promise most for what is missing.
func (c *contest) candidate() *entrant {
	plan, span := c.parent(), float64(c.best.cost-c.dual.bound)
	budget := c.best.cost - 1 - int64(span*budgetReach*math.Pow(c.rng.Float64(), 2))
	if c.rng.IntN(2) == 0 {
		return c.enter(plan, c.roomy(c.p.choose(c.rows, plan), budget).number)
	}
	return c.mutant(plan, budget)
}

// enter begins a plan on numbers of boards: on those of another plan as they are,
// and on the others for what those leave.
func (c *contest) enter(plan []layout, number []int) *entrant {
	number = slices.Clone(number)
	e := c.keep(plan, func(_ int, lay layout) bool {
		number[lay.kind]--
		return number[lay.kind] >= 0
	})
	g := c.greed(e.plan, e.left, e.values())
	for k, n := range number {
		for ; n > 0; n-- {
			if e.add(c.p, g, k) {
				continue
			}
			if len(e.plan) >= mostBare*len(c.best.plan) {
				break
			}
			e.plan = append(e.plan, layout{kind: k}) // what it could give is not left yet
			e.cost += c.p.price(k)
		}
	}
	return e
}

// mutant takes boards out of a plan and lays out others for what is missing,
// within a budget.
func (c *contest) mutant(plan []layout, budget int64) *entrant {
	out := 1 + c.rng.IntN(mostOut)
	if c.rng.IntN(allOut) == 0 {
		out = len(plan)
	}
	order := c.rng.Perm(len(plan))
	e := c.keep(plan, func(i int, _ layout) bool { return order[i] >= out })
	c.fund(e, budget)
	return e
}

// keep returns an entrant with some boards of a plan.
func (c *contest) keep(plan []layout, stays func(i int, lay layout) bool) *entrant {
	c.spent(len(plan))
	e := newEntrant(c.toolbox, c.best)
	for i, lay := range plan {
		if stays(i, lay) {
			e.plan = append(e.plan, lay.clone())
			e.cost += c.p.price(lay.kind)
			take(e.left, lay.pieces())
		}
	}
	for i, n := range e.left {
		e.left[i] = max(0, n) // the plan may give more than is needed
	}
	return e
}

// add adds a board of a kind, and tells whether it gives anything.
func (e *entrant) add(p *problem, g *greed, k int) bool {
	c, ok := g.board(k)
	if ok {
		e.plan = append(e.plan, c.layout)
		e.cost += p.price(k)
	}
	return ok
}

// parent returns the best plan, or that of an entrant that came far.
func (c *contest) parent() []layout {
	c.last = slices.DeleteFunc(c.last, func(e *entrant) bool { return e.cost >= c.best.cost })
	if n := len(c.last); n > 0 && c.rng.IntN(2) == 0 {
		return c.last[c.rng.IntN(n)].plan
	}
	return c.best.plan
}

// fund adds boards to an entrant up to a cost: each time the dearest of those
// that are worth most together for what is left of the budget and the need.
func (c *contest) fund(e *entrant, budget int64) {
	g := c.greed(e.plan, e.left, e.values())
	luck := make([]float64, len(c.p.kinds))
	for k := range luck {
		luck[k] = math.Exp(worthSpread * c.rng.NormFloat64())
	}
	for e.cost < budget && !none(e.left) {
		g.limit = budget - e.cost
		g.promising(e.left)
		boards := make([]coverBoard, len(luck))
		for k, most := range g.most {
			boards[k] = coverBoard{int64(float64(most) * luck[k]), c.p.price(k), min(int64(g.stock[k]), c.p.most(k, c.best.cost))}
		}
		if k := c.p.dearest(richest(boards, g.limit)); k < 0 || !e.add(c.p, g, k) {
			return
		}
	}
}

// dearest returns the dearest of the kinds of which there are some numbers, or
// -1.
func (p *problem) dearest(number []int64) int {
	dearest := -1
	for k, n := range number {
		if n > 0 && (dearest < 0 || p.price(k) > p.price(dearest)) {
			dearest = k
		}
	}
	return dearest
}
