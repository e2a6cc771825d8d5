package plan

import (
	"context"
	"math"
	"slices"
)

// haggler seeks prices that are right for what boards can be cut into, where
// the dual's are right for what its tables believe. The prices come from the
// patterns that are known, and a brancher says what a board is worth at them at
// most, or finds a pattern that is worth more than those known.
//
// Source: column generation, GG61, with the prices of the known patterns by
// subgradient steps and smoothed as in Wentges, International Transactions in
// Operational Research 4 (1997) 151-162 (from memory).
type haggler struct {
	d      *dual // of the tables
	pool   *pool
	a      *ascent
	b      *brancher
	price  []float64 // of the pool
	centre []float64 // the prices of the best bound
	height float64   // that bound
	level  int       // of haggleNodes
	pull   bool      // toward the centre
	rounds int
	done   bool
	spent  int64 // work of shortlists
	asked  []int // numbers of boards that are to be forbidden
	tries  int
	near   offer   // that came nearest to that
	excess float64 // of the worth of the boards then, as a part of the need's
}

// verdict says whether boards can deliver the need.
type verdict int

// The verdicts.
const (
	undecided verdict = iota
	cannot
	can
)

// offer is what boards of each kind are worth at most at some values.
type offer struct {
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
	rootLevels  = 2    // of haggleNodes, for prices of no numbers in particular
	mostClasses = 2500 // length times width classes, for a brancher
)

// haggleNodes is how many nodes a brancher has for a board, level by level.
var haggleNodes = []int{20, 60, 200, 1000, 5000}

// newHaggler returns a haggler that begins with the prices of a dual.
func newHaggler(d *dual, o *pool) *haggler {
	return &haggler{d: d, pool: o, a: newAscent(d.p), b: newBrancher(d.p), price: slices.Clone(d.best)}
}

// large tells whether boards have too many classes for a brancher.
func (p *problem) large() bool { return len(p.lens)*len(p.wids) > mostClasses }

// work returns the steps of work so far.
func (h *haggler) work() int64 { return h.a.b.t.arena.work + h.b.work() + h.pool.work + h.spent }

// round finds prices by the pool, and what boards are worth at them. It returns
// an offer where that may raise a bound on plans of less than a cost.
func (h *haggler) round(ctx context.Context, cost int64) (offer, bool) {
	h.rounds++
	pd := h.dual()
	for range polishSteps {
		pd.step(ctx, cost)
	}
	h.price = pd.best
	price := slices.Clone(h.price)
	if h.pull {
		for i := range price {
			price[i] += pulled * (h.centre[i] - price[i])
		}
	}
	v := h.d.p.values(price)
	worth, fresh := h.verify(ctx, v, h.floors(v, cost), nil)
	if ctx.Err() != nil {
		return offer{}, false
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
	return offer{v, worth}, better || !fresh
}

// dual returns a dual of the pool.
func (h *haggler) dual() *dual {
	return &dual{p: h.d.p, pool: h.pool, need: h.d.need, price: slices.Clone(h.price), best: slices.Clone(h.price),
		dir: make([]float64, len(h.price)), scale: h.d.scale, reach: polishReach}
}

// value returns what the need costs at least when the last board may be taken
// in part.
func (h *haggler) value(v, worth []int64, cost int64) float64 {
	var sum float64
	boards := h.boards(worth, cost)
	part, _ := parts(boards, total(v, h.d.need), h.d.p.fine)
	for k, n := range part {
		sum += n * float64(boards[k].price)
	}
	return sum
}

// boards returns boards of some worth.
func (h *haggler) boards(worth []int64, cost int64) []coverBoard {
	boards := make([]coverBoard, len(worth))
	for k, w := range worth {
		boards[k] = coverBoard{w, h.d.p.price(k), h.d.p.most(k, cost)}
	}
	return boards
}

// floors returns what a board of each kind must be worth more than to matter:
// what the pool knows, and what pays its price.
func (h *haggler) floors(v []int64, cost int64) []int64 {
	floors := h.known(v)
	_, factor := parts(h.boards(floors, cost), total(v, h.d.need), h.d.p.fine)
	for k := range floors {
		floors[k] = max(floors[k], int64(float64(h.d.p.price(k))*h.d.p.fine/factor))
	}
	return floors
}

// known returns what a board of each kind is worth by the pool.
func (h *haggler) known(v []int64) []int64 {
	worth := make([]int64, len(h.d.p.kinds))
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
func (h *haggler) verify(ctx context.Context, v, floors []int64, number []int) (worth []int64, fresh bool) {
	worth = make([]int64, len(floors))
	share := make([][]float64, len(floors))
	idle := func(k int) bool { return len(number) > 0 && number[k] == 0 }
	for k := range worth {
		rounds := climbs
		if idle(k) {
			rounds = idleClimbs
		}
		f := h.a.board(k, v, h.d.need, rounds, floors[k])
		worth[k], share[k] = min(f.bound, total(v, h.d.need)), f.share
		fresh = f.worth > above(floors[k]) && h.pool.add(f.lay) || fresh
		if ctx.Err() != nil {
			return worth, fresh
		}
	}
	if fresh {
		return worth, true
	}
	for k := range worth {
		if least := above(floors[k]); worth[k] > least && !idle(k) {
			worth[k] = min(worth[k], h.b.board(ctx, k, v, h.d.need, least, share[k], haggleNodes[h.level]))
			fresh = h.b.worth > least && h.pool.add(h.b.best) || fresh
		}
	}
	return worth, fresh
}

// ask begins with numbers of boards that are to be forbidden.
func (h *haggler) ask(number []int) {
	if !slices.Equal(h.asked, number) {
		h.asked, h.level, h.tries, h.near, h.excess = slices.Clone(number), 0, 0, offer{}, math.Inf(1)
	}
}

// forbid seeks prices at which numbers of boards are worth less than the need: one
// round at a call, and a level higher when it finds none that are better. When there
// are any, the boards cannot deliver it, and the offer says what boards are worth then.
func (h *haggler) forbid(ctx context.Context, number []int) (offer, verdict) {
	v, ok := h.dual().against(ctx, number)
	if !ok || h.level >= len(haggleNodes) || h.tries == mostTries {
		h.level++
		return offer{}, undecided
	}
	h.tries++
	worth, fresh := h.verify(ctx, v, h.known(v), number)
	if ctx.Err() != nil {
		return offer{}, undecided
	}
	want := total(v, h.d.need)
	over := total(worth, number) - want
	if over < 0 {
		return offer{v, worth}, cannot
	}
	if part := float64(over) / float64(want); part < h.excess {
		h.near, h.excess = offer{v, worth}, part
	}
	if !fresh {
		h.level++
	}
	return offer{}, undecided
}
