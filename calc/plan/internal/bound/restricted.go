package bound

import (
	"context"
	"math"
	"slices"

	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/layouts"
)

// restricted is the restricted master problem of stabilised column generation: it
// seeks prices that are right for what boards can be cut into, where the dual's are
// right for what its tables believe. The prices come from the patterns that are
// known, and a brancher says what a board is worth at them at most, or finds a
// pattern that is worth more than those known.
//
// Source: Gilmore and Gomory, Operations Research 9 (1961) 849-859, with the prices of the known patterns by
// subgradient steps and smoothed as in Wentges, International Transactions in
// Operational Research 4 (1997) 151-162 (from memory).
type restricted struct {
	d      *Dual // of the tables
	pool   *Pool
	a      *board.Ascent
	b      *layouts.Brancher
	price  []float64 // of the pool
	centre []float64 // the prices of the best bound
	height float64   // that bound
	level  int       // of boardNodes
	pull   bool      // toward the centre
	rounds int
	done   bool
	spent  int64 // work of shortlists
	asked  []int // numbers of boards that are to be forbidden
	tries  int
	near   surrogate // that came nearest to that
	excess float64   // of the worth of the boards then, as a part of the need's
}

// verdict says whether boards can deliver the need.
type verdict int

// The verdicts.
const (
	undecided verdict = iota
	cannot
	can
)

// surrogate is what boards of each kind are worth at most at some values.
type surrogate struct {
	value []int64
	worth []int64
}

// How prices are sought.
const (
	polishSteps = 300
	polishReach = 0.03
	pulled      = 0.5    // how near to the centre
	clearly     = 0.0005 // how much more a pattern must be worth
	climbs      = 6      // rounds of ascent
	idleClimbs  = 3      // of a board that is not in question
	closeEnough = 0.001  // of the patterns' bound
	mostRounds  = 12
	mostTries   = 60   // for some numbers of boards
	rootLevels  = 2    // of boardNodes, for prices of no numbers in particular
	mostClasses = 2500 // length times width classes, for a brancher
)

// boardNodes is how many nodes a brancher has for a board, level by level.
var boardNodes = []int{20, 60, 200, 1000, 5000}

// newRestricted returns a restricted master that begins with the prices of a dual.
func newRestricted(d *Dual, o *Pool) *restricted {
	return &restricted{d: d, pool: o, a: board.NewAscent(d.p), b: layouts.NewBrancher(d.p), price: slices.Clone(d.Best)}
}

// large tells whether boards have too many classes for a brancher.
func large(p *board.Problem) bool { return p.Coarse() || len(p.Lens)*len(p.Wids) > mostClasses }

// Work returns the steps of work so far.
func (h *restricted) Work() int64 { return h.a.B.T.Arena.Work + h.b.Work() + h.pool.work + h.spent }

// round finds prices by the pool, and what boards are worth at them. It returns
// a surrogate row where that may raise a bound on plans of less than a cost.
func (h *restricted) round(ctx context.Context, cost int64) (surrogate, bool) {
	h.rounds++
	pd := h.dual()
	for range polishSteps {
		pd.Step(ctx, cost)
	}
	h.price = pd.Best
	price := slices.Clone(h.price)
	if h.pull {
		for i := range price {
			price[i] += pulled * (h.centre[i] - price[i])
		}
	}
	v := h.d.p.Values(price)
	worth, fresh := h.verify(ctx, v, h.floors(v, cost), nil)
	if ctx.Err() != nil {
		return surrogate{}, false
	}
	value := h.value(v, worth, cost)
	better := value > h.height
	if better {
		h.height, h.centre = value, price
	}
	switch {
	case fresh:
		h.pull = h.centre != nil
	case h.pull:
		h.pull = false
	case h.level+1 < rootLevels && pd.value-value > closeEnough*value:
		h.level++
	default:
		h.done = true
	}
	h.done = h.done || h.rounds == mostRounds
	return surrogate{v, worth}, better || !fresh
}

// dual returns a dual of the pool.
func (h *restricted) dual() *Dual {
	return &Dual{p: h.d.p, pool: h.pool, need: h.d.need, price: slices.Clone(h.price), Best: slices.Clone(h.price),
		dir: make([]float64, len(h.price)), scale: h.d.scale, reach: polishReach, least: h.d.least, most: h.d.most}
}

// value returns what the need costs at least when the last board may be taken
// in part.
func (h *restricted) value(v, worth []int64, cost int64) float64 {
	boards, want := h.boards(worth, cost), board.Total(v, h.d.need)
	if h.d.p.Priced() {
		return relaxed(boards, want, h.d.p.WorkGrain())
	}
	var sum float64
	part, _ := parts(boards, want)
	for k, n := range part {
		sum += n * float64(boards[k].Price)
	}
	return sum
}

// boards returns boards of some worth.
func (h *restricted) boards(worth []int64, cost int64) []CoverBoard {
	boards := make([]CoverBoard, len(worth))
	for k, w := range worth {
		boards[k] = CoverBoard{w, h.d.p.Price(k), h.d.p.Most(k, cost)}
	}
	return boards
}

// floors returns what a board of each kind must be worth more than to matter:
// what the pool knows, and what pays its price.
func (h *restricted) floors(v []int64, cost int64) []int64 {
	floors, scale := h.known(v), 1.0
	if !h.d.p.Priced() { // prices are right as they are, and not but for a factor
		boards := h.boards(floors, cost)
		_, last := parts(boards, board.Total(v, h.d.need))
		scale = factor(boards, last, h.d.p.Grain)
	}
	for k := range floors {
		floors[k] = max(floors[k], int64(float64(h.d.p.Price(k))*h.d.p.Grain/scale))
	}
	return floors
}

// known returns what a board of each kind is worth by the pool.
func (h *restricted) known(v []int64) []int64 {
	worth := make([]int64, len(h.d.p.Kinds))
	for k := range worth {
		worth[k], _ = h.pool.best(k, v, h.d.need)
	}
	return worth
}

// above returns what is clearly more than a floor.
func above(floor int64) int64 { return floor + int64(clearly*float64(floor)) }

// verify returns what a board of each kind is worth at most, as sharply as it
// can for those of which there are some numbers, and tells whether it met a
// pattern that is worth clearly more than a floor.
func (h *restricted) verify(ctx context.Context, v, floors []int64, number []int) (worth []int64, fresh bool) {
	worth = make([]int64, len(floors))
	share := make([][]float64, len(floors))
	idle := func(k int) bool { return len(number) > 0 && number[k] == 0 }
	for k := range worth {
		rounds := climbs
		if idle(k) {
			rounds = idleClimbs
		}
		f := h.a.Board(k, v, h.d.need, rounds, floors[k])
		worth[k], share[k] = min(f.Bound, board.Total(v, h.d.need)), f.Share
		fresh = f.Worth > above(floors[k]) && h.pool.Add(f.Lay) || fresh
		if ctx.Err() != nil {
			return worth, fresh
		}
	}
	if fresh {
		return worth, true
	}
	for k := range worth {
		if least := above(floors[k]); worth[k] > least && !idle(k) {
			worth[k] = min(worth[k], h.b.Board(ctx, k, v, h.d.need, least, share[k], boardNodes[h.level]))
			fresh = h.b.Worth > least && h.pool.Add(h.b.Best) || fresh
		}
	}
	return worth, fresh
}

// ask begins with numbers of boards that are to be forbidden.
func (h *restricted) ask(number []int) {
	if !slices.Equal(h.asked, number) {
		h.asked, h.level, h.tries, h.near, h.excess = slices.Clone(number), 0, 0, surrogate{}, math.Inf(1)
	}
}

// forbid seeks prices at which numbers of boards, and so much work, are worth less than
// the need: one round at a call, and a level higher when it finds none that are better.
// When there are any, the boards cannot deliver it, and the surrogate row says what
// boards are worth then.
func (h *restricted) forbid(ctx context.Context, number []int, work int64) (surrogate, verdict) {
	v, ok := h.dual().against(ctx, number, work)
	if !ok || h.level >= len(boardNodes) || h.tries == mostTries {
		h.level++
		return surrogate{}, undecided
	}
	h.tries++
	worth, fresh := h.verify(ctx, v, h.known(v), number)
	if ctx.Err() != nil {
		return surrogate{}, undecided
	}
	want := board.Total(v, h.d.need)
	over := board.Total(worth, number) + h.d.p.WorkSteps(work) - want
	if over < 0 {
		return surrogate{v, worth}, cannot
	}
	if part := float64(over) / float64(want); part < h.excess {
		h.near, h.excess = surrogate{v, worth}, part
	}
	if !fresh {
		h.level++
	}
	return surrogate{}, undecided
}
