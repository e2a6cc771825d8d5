package outright

import (
	"context"
	"math"
	"slices"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
)

// exact solves a small order outright: it lists every option of every board
// and finds the cheapest way to every state of what is given, with the fewest
// boards where costs are equal. It gives up, false, when the order is not small.
type exact struct {
	p       *board.Problem
	kits    []int // wanted
	need    []int // sets wanted of each item, those in kits among them
	f       *fields
	reached []way // by number of a state
	moves   []move
	kept    int
	budget  int
	quick   int // budget at which it begins to take long
	done    <-chan struct{}
	passes  passes // counted after cost and boards, or not
	most    int64  // that a way may cost
}

// way is what it takes to reach a state.
type way struct {
	cost   int64
	boards int
	give   vector
}

// never marks a state that cannot be reached.
const never = math.MaxInt64

// below tells whether a way is better than another.
func (w way) below(v way) bool { return w.cost < v.cost || w.cost == v.cost && w.boards < v.boards }

// move is a board that is cut: what it gives to kits and beside them, and its cost.
type move struct {
	give   vector
	cost   int64
	kind   int
	option entry
}

// from is how a state was reached.
type from struct {
	state int32 // before
	move  int32 // -1 for none
}

// Work and memory allowed to the exact method.
const (
	maxExactStates = 200_000
	maxExactMoves  = 2_000_000
	MaxExactSteps  = 25_000_000
	MoreExactSteps = 250_000_000 // where nothing else proves much
	quickSteps     = 10_000_000  // that no context ends
	WhatIfSteps    = 3_000_000   // when solved again for an estimate or a cure
	PassSteps      = 5_000_000   // when solved again for the fewest passes
)

// Answer is the cheapest cuts that leave the least unmet: kits in their order, then
// items in theirs.
type Answer struct {
	Cuts  []board.Use
	Kits  []int // given of each kind
	Given []int // sets of each item, those in kits among them
}

// SolveExact returns the best answer to what is wanted of kits and of sets, those in
// kits among them, false when it takes more than so many steps. A context that ends
// ends what takes long.
func SolveExact(ctx context.Context, p *board.Problem, kits, need []int, steps int) (Answer, bool) {
	x := exact{p: p, kits: kits, need: need, budget: steps, quick: steps - quickSteps, done: ctx.Done(), most: never}
	return x.solve()
}

// solve returns the best answer.
func (x *exact) solve() (Answer, bool) {
	p, need, steps := x.p, x.need, x.budget
	sets, ok := newFields(need, maxExactStates)
	if p.Thinned() || !ok || !x.number() { // thinned: not all sizes of billets are considered
		return Answer{}, false
	}
	e := newEnumerator(p, sets, steps/10)
	e.passes, e.most = x.passes, x.most
	layers := [][]from{}
	for k := range p.Kinds {
		if p.Order.Boards[k].Quantity == 0 {
			continue
		}
		first := len(x.moves)
		x.choose(e, k)
		if e.budget < 0 {
			return Answer{}, false
		}
		n, ok := x.boards(k, x.moves[first:], first)
		if !ok {
			return Answer{}, false
		}
		layers = append(layers, n...)
	}
	p.Spent += int64(steps - x.budget + steps/10 - e.budget)
	return x.answer(e, layers), true
}

// number gives every state of what is given a number: kits, and of each item what is
// given beside them.
func (x *exact) number() bool {
	limit := slices.Clone(x.kits)
	for i, n := range x.need {
		limit = append(limit, n-x.p.InKits(x.kits, i))
	}
	f, ok := newFields(limit, maxExactStates)
	if !ok {
		return false
	}
	x.f, x.reached = f, make([]way, f.size)
	for i := range x.reached {
		x.reached[i].cost = never
	}
	x.reached[0].cost = 0
	return true
}

// choose adds the moves of a kind of board: its options with every choice of kits.
func (x *exact) choose(e *enumerator, k int) {
	var all []entry
	options := e.board(k)
	for n, o := range options {
		x.choices(e.f.counts(o.give), nil, func(counts []int) {
			e.budget--
			if give := x.f.of(counts); give != 0 {
				all = append(all, entry{give: give, work: o.work, last: piece{-1, int32(n)}})
			}
		})
		if e.budget < 0 {
			return
		}
	}
	if len(x.kits) > 0 {
		lean := enumerator{f: x.f, budget: e.budget}
		all = lean.undominated(all)
		e.budget = lean.budget
	}
	for _, o := range all {
		x.moves = append(x.moves, move{o.give, x.passes.price(x.p.Price(k)) + o.work, k, options[o.last.way]})
	}
}

// choices calls do for every number of further kits that are made of the sets of one
// board, with the sets beside them.
func (x *exact) choices(sets, kits []int, do func(counts []int)) {
	k := len(kits)
	if k == len(x.kits) {
		do(slices.Concat(kits, sets))
		return
	}
	left := slices.Clone(sets)
	for n := 0; n <= x.kits[k]; n++ {
		x.choices(left, append(kits, n), do)
		for i := range left {
			if left[i] -= x.p.InKit(k, i); left[i] < 0 {
				return
			}
		}
	}
}

// boards reaches further states with boards of a kind: any number of them in
// one layer where they are unlimited, or one more in each, while there are
// boards and it helps. It returns the moves of each layer.
func (x *exact) boards(k int, moves []move, first int) ([][]from, bool) {
	b := x.p.Order.Boards[k]
	var layers [][]from
	for n := 0; n != b.Quantity; n++ {
		if x.kept += len(x.reached); x.kept > maxExactMoves {
			x.p.Full = true
			return nil, false
		}
		layer, better := x.layer(b.Quantity == plan.Unlimited, moves, first)
		if x.budget < 0 {
			return nil, false
		}
		if !better {
			break
		}
		layers = append(layers, layer)
		if b.Quantity == plan.Unlimited {
			break
		}
	}
	return layers, true
}

// layer adds a board to every state, or none, or any number where the boards are
// unlimited. A board gives something more, so that in rising order a state is reached
// before it is gone on from, and in falling order after.
func (x *exact) layer(unlimited bool, moves []move, first int) ([]from, bool) {
	layer := make([]from, len(x.reached))
	for s := range layer {
		layer[s] = from{int32(s), -1}
	}
	better := false
	for n := range x.reached {
		s := n
		if !unlimited {
			s = len(x.reached) - 1 - n
		}
		if x.reached[s].cost == never {
			continue
		}
		if x.budget -= len(moves); x.budget < x.quick && x.ended() {
			x.budget = -1
		}
		if x.budget < 0 {
			return nil, false
		}
		now := x.reached[s]
		for i, m := range moves {
			next := way{now.cost + m.cost, now.boards + 1, x.f.plus(now.give, m.give)}
			if next.give == now.give || next.cost > x.most {
				continue
			}
			if t := x.f.number(next.give); next.below(x.reached[t]) {
				x.reached[t], layer[t], better = next, from{int32(s), int32(first + i)}, true
			}
		}
	}
	x.budget -= len(layer)
	return layer, better
}

// ended tells whether there is no time left.
func (x *exact) ended() bool {
	select {
	case <-x.done:
		return true
	default:
		return false
	}
}

// answer picks the state with the least unmet and walks back to it.
func (x *exact) answer(e *enumerator, layers [][]from) Answer {
	end := -1
	for s, w := range x.reached {
		if w.cost != never && (end < 0 || slices.Compare(x.f.counts(w.give), x.f.counts(x.reached[end].give)) > 0) {
			end = s
		}
	}
	given := x.f.counts(x.reached[end].give)
	a := Answer{Kits: given[:len(x.kits)], Given: given[len(x.kits):]}
	for i := range a.Given {
		a.Given[i] += x.p.InKits(a.Kits, i)
	}
	for _, layer := range slices.Backward(layers) {
		for f := layer[end]; f.move >= 0; f = layer[end] {
			m := x.moves[f.move]
			lay := e.layout(m.kind, m.option)
			lay.Kits = x.f.counts(m.give)[:len(x.kits)]
			a.Cuts = append(a.Cuts, board.Use{Layout: lay, Copies: 1})
			end = int(f.state)
			if x.p.Order.Boards[m.kind].Quantity != plan.Unlimited {
				break
			}
		}
	}
	x.fewKits(a)
	return a
}

// fewKits takes back kits that boards give beyond those wanted.
func (x *exact) fewKits(a Answer) {
	for k, n := range a.Kits {
		for c := range a.Cuts {
			kits := a.Cuts[c].Kits
			kits[k] = min(kits[k], n)
			n -= kits[k]
		}
	}
}
