package plan

import "math"

// exact solves a small order outright: it lists every option of every board
// and finds the cheapest way to every state of what is still wanted. It gives
// up, false, when the order is not small.
type exact struct {
	p      *problem
	need   []int
	base   []int   // weight of one set of each item in the number of a state
	cost   []int64 // of reaching a state: prices times scale, and a unit for each board
	scale  int64
	budget int
}

// move is how a state was reached.
type move struct {
	state  int // before; -1 at the start
	option *option
}

// never marks a state that cannot be reached.
const never = math.MaxInt64

// Work allowed to the exact method.
const (
	maxExactStates = 200_000
	maxExactSteps  = 25_000_000
	whatIfSteps    = 3_000_000 // when solved anew for an estimate
)

// solveExact returns the cheapest cuts that leave the least unmet, by the order
// of the parts, and the sets they deliver.
func solveExact(p *problem, need []int, steps int) ([]cut, []int, bool) {
	x := exact{p: p, need: need, budget: steps, scale: maxExactStates}
	for k := range p.kinds {
		if p.price(k) > 1<<25 { // scaled, a sum of prices might not fit
			x.scale = 1
		}
	}
	if !x.number() {
		return nil, nil, false
	}
	e := enumerator{p: p, need: need, budget: steps / 10, strips: map[[2]int64][]option{}}
	layers := [][]move{}
	for k := range p.kinds {
		if p.order.Boards[k].Quantity == 0 {
			continue
		}
		opts, ok := e.options(k)
		if !ok {
			return nil, nil, false
		}
		for i := range opts {
			opts[i].lay.kind = k
		}
		n, ok := x.boards(k, opts)
		if !ok {
			return nil, nil, false
		}
		layers = append(layers, n...)
	}
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
	x.cost = make([]int64, n)
	for i := range x.cost {
		x.cost[i] = never
	}
	x.cost[n-1] = 0
	return true
}

// boards reaches further states with boards of a kind: one more board a layer,
// while there are boards and it helps. It returns the moves of each layer.
func (x *exact) boards(k int, opts []option) ([][]move, bool) {
	b := x.p.order.Boards[k]
	var layers [][]move
	reached := x.cost
	for n := 0; n != b.Quantity; n++ {
		next, moves, better := x.layer(reached, x.price(b), opts)
		if x.budget < 0 {
			return nil, false
		}
		if !better {
			break
		}
		layers = append(layers, moves)
		reached = next
	}
	x.cost = reached
	return layers, true
}

// price returns a price in which boards count where costs are equal.
func (x *exact) price(b Board) int64 {
	if x.scale == 1 {
		return b.Price
	}
	return b.Price*x.scale + 1
}

// layer adds at most one board of a kind to every state.
func (x *exact) layer(reached []int64, price int64, opts []option) ([]int64, []move, bool) {
	next := append([]int64(nil), reached...)
	moves := make([]move, len(next))
	for s := range moves {
		moves[s].state = s
	}
	better := false
	for s, c := range reached {
		if c == never {
			continue
		}
		x.budget -= len(opts) * len(x.need)
		for i := range opts {
			if t := x.after(s, opts[i].sets); c+price < next[t] {
				next[t], moves[t], better = c+price, move{s, &opts[i]}, true
			}
		}
		if x.budget < 0 {
			return nil, nil, false
		}
	}
	x.budget -= len(next)
	return next, moves, better
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
func (x *exact) answer(layers [][]move) ([]cut, []int, bool) {
	end := -1
	for s, c := range x.cost {
		if c != never && (end < 0 || x.less(s, end)) {
			end = s
		}
	}
	given := make([]int, len(x.need))
	for i, b := range x.base {
		given[i] = x.need[i] - end/b%(x.need[i]+1)
	}
	var cuts []cut
	for n := len(layers) - 1; n >= 0; n-- {
		m := layers[n][end]
		if m.option != nil {
			cuts = append(cuts, cut{m.option.lay, 1})
		}
		end = m.state
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
