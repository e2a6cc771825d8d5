package search

import (
	"cmp"
	"math"
	"slices"

	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/bound"
	"resawd/calc/plan/internal/layouts"
)

// halving is a search among numbers of boards. Whether some boards suffice shows
// only after thousands of small steps. So many candidates begin, each with boards
// of its own that it keeps to. After every round the half that comes nearer to the
// need goes on, for a round of twice the length.
//
// Source: successive halving: Karnin, Koren and Somekh, ICML 2013, 1238-1246
// (from memory).
type halving struct {
	*toolbox
	best      *Incumbent
	rows      []bound.Row // what is known of how much boards can give
	field     []*Candidate
	round     int          // refits
	at        int          // the candidate whose round it is
	last      []*Candidate // that came far before
	work      int64
	won, lost int               // better plans found in the races, and otherwise
	short     *layouts.Brancher // of lengths; nil until the first dive
	dived     int64             // work on dives
	deep      int64             // that one of them may take
}

// Candidate is a plan in the making that keeps to its boards.
type Candidate struct {
	working
	Cost  int64   // of the boards, and the least that passes cost
	short float64 // by what value, at least, in the last round
}

// The size of successive halving.
const (
	candidates   = 32
	FirstRound   = 50
	longestRound = 1600
	finalists    = 4

	roundHeat   = 0.005 // of the least cost, by which a plan in the making may become worse
	mostOut     = 3     // boards of another plan that a candidate does without
	allOut      = 6     // one candidate in this many does without any of them
	proposals   = 5     // until one will do
	mostBare    = 2     // times the boards of the best plan, with those that give nothing yet
	worthSpread = 0.06  // of what boards are taken to be worth
	budgetReach = 0.5   // from the least cost to the bound
)

// behind tells whether halving is due, after some work on plans: its share of the
// work is its share of the better plans that were found.
func (c *halving) behind(work int64) bool {
	share := float64(c.won+1) / float64(c.won+c.lost+2)
	return float64(c.work) < min(0.8, max(0.2, share))*float64(work)
}

// compete has one candidate run its round.
func (c *halving) compete() {
	if c.round == 0 {
		c.field, c.round, c.at = nil, FirstRound, 0
	}
	if c.at == len(c.field) {
		c.field = append(c.field, c.draw())
	}
	c.field[c.at].Run(c.round)
	if c.at++; c.at < len(c.field) || c.round == FirstRound && c.at < candidates {
		return
	}
	slices.SortStableFunc(c.field, func(x, y *Candidate) int { return cmp.Compare(x.short, y.short) })
	c.field = slices.DeleteFunc(c.field[:len(c.field)/2], func(e *Candidate) bool { return e.Cost >= c.best.Cost })
	c.round, c.at = 2*c.round, 0
	if n := len(c.field); n > 0 && n <= finalists {
		c.last = slices.Clone(c.field)
	}
	if len(c.field) == 0 || c.round > longestRound {
		c.round = 0
	}
}

// Run refits the plan of a candidate for a round, or until it delivers everything.
func (e *Candidate) Run(lap int) {
	e.short = math.Inf(1)
	for n := range lap {
		if e.ctx.Err() != nil || e.Cost >= e.Best.Cost {
			break
		}
		if n%refits == 0 {
			e.learn()
		}
		e.nudge()
		e.short = min(e.short, e.worthOf(e.Left)+e.missing(e.Plan))
	}
}

// NewCandidate returns a candidate without boards.
func NewCandidate(x *toolbox, best *Incumbent) *Candidate {
	e := &Candidate{working: newWorking(x, best, func() float64 {
		return float64(best.Cost) * roundHeat * x.rng.ExpFloat64()
	})}
	e.keeps = true
	e.Cost = x.passes
	return e
}

// draw begins a plan on boards within a budget below the cost of the best plan:
// on numbers that no row rules out, if it finds any.
func (c *halving) draw() *Candidate {
	e := c.propose()
	for range proposals - 1 {
		if mixOf(c.p, c.rows, e.Plan).slack(c.best.Cost-1) >= 0 {
			break
		}
		e = c.propose()
	}
	return e
}

// propose begins a plan within a budget: on boards with a large slack, or on
// those that promise most for what is missing.
func (c *halving) propose() *Candidate {
	plan, span := c.parent(), float64(c.best.Cost-c.Dual.Bound)
	reach := budgetReach
	if len(c.best.Plan) <= fewLaidOut {
		reach = 1 // some of the few numbers of boards are far cheaper than others
	}
	budget := c.best.Cost - 1 - int64(span*reach*math.Pow(c.rng.Float64(), 2))
	if c.rng.IntN(2) == 0 {
		return c.enter(plan, c.seekSlack(mixOf(c.p, c.rows, plan), budget).number)
	}
	return c.mutant(plan, budget)
}

// enter begins a plan on numbers of boards: on those of another plan as they are,
// and on the others for what those leave.
//
// A few boards are begun several times, with other values of the items and in another
// order, as the small steps that follow do not lead far from where they begin.
func (c *halving) enter(plan []board.Layout, number []int) *Candidate {
	boards := 0
	for _, n := range number {
		boards += n
	}
	e := c.layOut(plan, number, mostSpread)
	for n := 0; boards <= fewLaidOut && n < layOuts && !board.None(e.Left) && c.ctx.Err() == nil; n++ {
		if f := c.layOut(nil, number, layOutSpread); f.worthOf(f.Left) < e.worthOf(e.Left) {
			e = f
		}
	}
	if boards <= fewLaidOut && c.p.Crosscuts() && !board.None(e.Left) {
		if f := c.diveIn(number); f != nil && f.worthOf(f.Left) < e.worthOf(e.Left) {
			e = f
		}
	}
	return e
}

// How a few boards are begun.
const (
	fewLaidOut   = 6
	layOuts      = 10
	layOutSpread = 0.5
)

// layOut lays boards out once: those of another plan as they are, and the others for
// what those leave, at values that are disturbed.
func (c *halving) layOut(plan []board.Layout, number []int, spread float64) *Candidate {
	number = slices.Clone(number)
	e := c.keep(plan, func(_ int, lay board.Layout) bool {
		number[lay.Kind]--
		return number[lay.Kind] >= 0
	})
	g := c.Greed(e.Plan, e.Left, e.disturbed(spread))
	kinds := make([]int, len(number))
	for k := range kinds {
		kinds[k] = k
	}
	if spread > mostSpread {
		c.rng.Shuffle(len(kinds), func(i, j int) { kinds[i], kinds[j] = kinds[j], kinds[i] })
	}
	for _, k := range kinds {
		for n := number[k]; n > 0; n-- {
			if e.add(c.p, g, k) {
				continue
			}
			if len(e.Plan) >= mostBare*len(c.best.Plan) {
				break
			}
			e.Plan = append(e.Plan, board.Layout{Kind: k}) // what it could give is not left yet
			e.Cost += c.p.Price(k)
		}
	}
	return e
}

// mutant takes boards out of a plan and lays out others for what is missing,
// within a budget.
func (c *halving) mutant(plan []board.Layout, budget int64) *Candidate {
	out := 1 + c.rng.IntN(mostOut)
	if c.rng.IntN(allOut) == 0 {
		out = len(plan)
	}
	order := c.rng.Perm(len(plan))
	e := c.keep(plan, func(i int, _ board.Layout) bool { return order[i] >= out })
	c.fund(e, budget)
	return e
}

// keep returns a candidate with some boards of a plan.
func (c *halving) keep(plan []board.Layout, stays func(i int, lay board.Layout) bool) *Candidate {
	c.spent(len(plan))
	e := NewCandidate(c.toolbox, c.best)
	for i, lay := range plan {
		if stays(i, lay) {
			e.Plan = append(e.Plan, lay.Clone())
			e.Cost += c.p.Price(lay.Kind)
			board.Take(e.Left, lay.Pieces())
		}
	}
	return e
}

// add adds a board of a kind, and tells whether it gives anything.
func (e *Candidate) add(p *board.Problem, g *greed, k int) bool {
	c, ok := g.Board(k)
	if ok {
		e.Plan = append(e.Plan, c.Layout)
		e.Cost += p.Price(k)
	}
	return ok
}

// parent returns the best plan, or that of a candidate that came far.
func (c *halving) parent() []board.Layout {
	c.last = slices.DeleteFunc(c.last, func(e *Candidate) bool { return e.Cost >= c.best.Cost })
	if n := len(c.last); n > 0 && c.rng.IntN(2) == 0 {
		return c.last[c.rng.IntN(n)].Plan
	}
	return c.best.Plan
}

// fund adds boards to a candidate up to a cost: each time the dearest of those
// that are worth most together for what is left of the budget and the need.
func (c *halving) fund(e *Candidate, budget int64) {
	g := c.Greed(e.Plan, e.Left, e.values())
	luck := make([]float64, len(c.p.Kinds))
	for k := range luck {
		luck[k] = math.Exp(worthSpread * c.rng.NormFloat64())
	}
	for e.Cost < budget && !board.None(e.Left) {
		g.limit = budget - e.Cost
		g.promising(e.Left)
		boards := make([]bound.CoverBoard, len(luck))
		for k, most := range g.most {
			boards[k] = bound.CoverBoard{Worth: int64(float64(most) * luck[k]), Price: c.p.Price(k), Most: min(int64(g.stock[k]), c.p.Most(k, c.best.Cost))}
		}
		if k := dearest(c.p, bound.Richest(boards, g.limit)); k < 0 || !e.add(c.p, g, k) {
			return
		}
	}
}

// dearest returns the dearest of the kinds of which there are some numbers, or
// -1.
func dearest(p *board.Problem, number []int64) int {
	dearest := -1
	for k, n := range number {
		if n > 0 && (dearest < 0 || p.Price(k) > p.Price(dearest)) {
			dearest = k
		}
	}
	return dearest
}
