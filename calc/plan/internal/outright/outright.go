package outright

import (
	"math"
	"slices"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
)

// exact solves a small order outright: it lists every option of every board
// and finds the cheapest way to every state of what is still wanted, with the
// fewest boards where costs are equal. It gives up, false, when the order is
// not small.
type exact struct {
	p       *board.Problem
	need    []int
	base    []int    // weight of one set of each item in the number of a state
	reached []way    // by state
	options []Option // of all boards
	moves   int      // kept
	budget  int
}

// way is what it takes to reach a state.
type way struct {
	cost   int64
	boards int
}

// never marks a state that cannot be reached.
const never = math.MaxInt64

// below tells whether a way is better than another.
func (w way) below(v way) bool { return w.cost < v.cost || w.cost == v.cost && w.boards < v.boards }

// move is how a state was reached.
type move struct {
	state  int32 // before
	option int32 // of a board, -1 for none
}

// Work and memory allowed to the exact method.
const (
	maxExactStates = 200_000
	maxExactMoves  = 2_000_000
	MaxExactSteps  = 25_000_000
	WhatIfSteps    = 3_000_000 // when solved again for an estimate
)

// SolveExact returns the cheapest cuts that leave the least unmet, by the order
// of the parts, and the sets they deliver.
func SolveExact(p *board.Problem, need []int, steps int) ([]board.Use, []int, bool) {
	x := exact{p: p, need: need, budget: steps}
	if !x.number() {
		return nil, nil, false
	}
	e := Enumerator{P: p, Need: need, Budget: steps / 10, Strips: map[[2]int64][]Option{}}
	layers := [][]move{}
	for k := range p.Kinds {
		if p.Order.Boards[k].Quantity == 0 {
			continue
		}
		opts, ok := e.Options(k)
		if !ok {
			return nil, nil, false
		}
		for i := range opts {
			opts[i].lay.Kind = k
		}
		n, ok := x.boards(k, opts)
		if !ok {
			return nil, nil, false
		}
		layers = append(layers, n...)
	}
	p.Spent += int64(steps - x.budget + steps/10 - e.Budget)
	return x.answer(layers)
}

// number gives every state of what is still wanted a number.
func (x *exact) number() bool {
	n := 1
	for _, d := range x.need {
		x.base = append(x.base, n)
		if n > maxExactStates/(d+1) {
			return false
		}
		n *= d + 1
	}
	x.reached = make([]way, n)
	for i := range x.reached {
		x.reached[i].cost = never
	}
	x.reached[n-1].cost = 0
	return true
}

// boards reaches further states with boards of a kind: any number of them in
// one layer where they are unlimited, or one more in each, while there are
// boards and it helps. It returns the moves of each layer.
func (x *exact) boards(k int, opts []Option) ([][]move, bool) {
	b, first := x.p.Order.Boards[k], len(x.options)
	x.options = append(x.options, opts...)
	var layers [][]move
	for n := 0; n != b.Quantity; n++ {
		if x.moves += len(x.reached); x.moves > maxExactMoves {
			x.p.Full = true
			return nil, false
		}
		moves, better := x.layer(k, first)
		if x.budget < 0 {
			return nil, false
		}
		if !better {
			break
		}
		layers = append(layers, moves)
		if b.Quantity == plan.Unlimited {
			break
		}
	}
	return layers, true
}

// layer adds a board of a kind to every state, or none, or any number where the
// boards are unlimited. A board leaves less to be wanted, so that in rising
// order a state is gone from before another one comes to it, and in falling
// order after.
func (x *exact) layer(k, first int) ([]move, bool) {
	moves := make([]move, len(x.reached))
	for s := range moves {
		moves[s] = move{int32(s), -1}
	}
	better := false
	for n := range x.reached {
		s := n
		if x.p.Order.Boards[k].Quantity == plan.Unlimited {
			s = len(x.reached) - 1 - n
		}
		if x.reached[s].cost == never {
			continue
		}
		x.budget -= (len(x.options) - first) * len(x.need)
		next := way{x.reached[s].cost + x.p.Price(k), x.reached[s].boards + 1}
		for i := first; i < len(x.options); i++ {
			if t := x.after(s, x.options[i].Sets); next.below(x.reached[t]) {
				x.reached[t], moves[t], better = next, move{int32(s), int32(i)}, true
			}
		}
		if x.budget < 0 {
			return nil, false
		}
	}
	x.budget -= len(moves)
	return moves, better
}

// after returns the state that is left when sets are taken from one.
func (x *exact) after(s int, sets []int) int {
	t := s
	for i, b := range x.base {
		if sets[i] > 0 {
			t -= b * min(sets[i], s/b%(x.need[i]+1))
		}
	}
	return t
}

// answer picks the state with the least unmet and walks back to it.
func (x *exact) answer(layers [][]move) ([]board.Use, []int, bool) {
	end := -1
	for s, w := range x.reached {
		if w.cost != never && (end < 0 || x.less(s, end)) {
			end = s
		}
	}
	given := make([]int, len(x.need))
	for i, b := range x.base {
		given[i] = x.need[i] - end/b%(x.need[i]+1)
	}
	var cuts []board.Use
	for _, moves := range slices.Backward(layers) {
		for m := moves[end]; m.option >= 0; m = moves[end] {
			option := x.options[m.option]
			cuts = append(cuts, board.Use{Layout: option.lay, Copies: 1})
			end = int(m.state)
			if x.p.Order.Boards[option.lay.Kind].Quantity != plan.Unlimited {
				break
			}
		}
	}
	return cuts, given, true
}

// less tells whether a state leaves less of an earlier part than another.
func (x *exact) less(s, t int) bool {
	for i, b := range x.base {
		if n, m := s/b%(x.need[i]+1), t/b%(x.need[i]+1); n != m {
			return n < m
		}
	}
	return false
}
