package colgen

import (
	"context"
	"fmt"
)

// Knapsack prices patterns of one dimension: the sizes of the pieces of a
// board add up to at most its capacity. A kerf k is taken up by the sizes:
// size + k against capacity + k.
//
// Source: Gilmore and Gomory, Operations Research 9 (1961) 849-859.
type Knapsack struct {
	capacity []int64
	size     []int64
}

// NewKnapsack returns the pricer of boards of the given capacities and items
// of the given sizes, all in one unit.
//
// Source: definition.
// Valid: capacity 0 to 1<<50, size 1 to 1<<50.
func NewKnapsack(capacity, size []int64) (*Knapsack, error) {
	const most = int64(1) << 50
	for k, c := range capacity {
		if err := within("capacity", k, c, 0, most); err != nil {
			return nil, err
		}
	}
	for i, s := range size {
		if err := within("size", i, s, 1, most); err != nil {
			return nil, err
		}
	}
	return &Knapsack{append([]int64(nil), capacity...), append([]int64(nil), size...)}, nil
}

// Check implements Pricer.
func (n *Knapsack) Check(kind int, pieces []Piece) error {
	left := n.capacity[kind]
	for _, pc := range pieces {
		if int64(pc.Count) > left/n.size[pc.Item] {
			return fmt.Errorf("the pieces are longer than a board of kind %d", kind)
		}
		left -= int64(pc.Count) * n.size[pc.Item]
	}
	return nil
}

// Price implements Pricer.
func (n *Knapsack) Price(ctx context.Context, q Query) ([]Answer, int64, error) {
	answers := make([]Answer, len(n.capacity))
	var work int64
	for k := range answers {
		if q.Floor[k] == NotWanted {
			continue
		}
		worth, pieces, w := n.best(k, q)
		work += w
		answers[k].Bound = worth
		if worth > q.Floor[k] {
			answers[k].Patterns = [][]Piece{pieces}
		}
	}
	return answers, work, ctx.Err()
}

// state is a reachable pair of size and worth, and how it came about.
type state struct {
	size, worth int64
	item        int
	before      *state
}

// best solves the bounded knapsack of one kind over the undominated states.
func (n *Knapsack) best(kind int, q Query) (int64, []Piece, int64) {
	states := []*state{{}}
	var work int64
	for i, size := range n.size {
		for c := 0; c < q.Limit[i] && q.Value[i] > 0; c++ {
			if int64(c+1) > n.capacity[kind]/size {
				break
			}
			states = extend(states, i, size, q.Value[i], n.capacity[kind])
			work += int64(len(states))
		}
	}
	last := states[len(states)-1]
	return last.worth, trace(last), work
}

// extend adds one copy of an item to all states and drops those dominated: as
// large as another and worth no more. States rise in size and in worth.
func extend(states []*state, item int, size, worth, capacity int64) []*state {
	out := make([]*state, 0, 2*len(states))
	keep := func(s *state) {
		if len(out) == 0 || s.worth > out[len(out)-1].worth {
			out = append(out, s)
		}
	}
	a, b := 0, 0
	for a < len(states) || (b < len(states) && states[b].size+size <= capacity) {
		if b == len(states) || states[b].size+size > capacity ||
			a < len(states) && states[a].size <= states[b].size+size {
			keep(states[a])
			a++
			continue
		}
		keep(&state{states[b].size + size, states[b].worth + worth, item, states[b]})
		b++
	}
	return out
}

// trace lists the pieces that lead to a state.
func trace(s *state) []Piece {
	var out []Piece
	for ; s.before != nil; s = s.before {
		if last := len(out) - 1; last >= 0 && out[last].Item == s.item {
			out[last].Count++
			continue
		}
		out = append(out, Piece{s.item, 1})
	}
	for i, j := 0, len(out)-1; i < j; i, j = i+1, j-1 {
		out[i], out[j] = out[j], out[i]
	}
	return out
}
