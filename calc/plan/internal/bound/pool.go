package bound

import (
	"encoding/binary"

	"resawd/calc/plan/internal/board"
)

// Pool holds what boards of each kind can be cut into, as far as the search
// has met it. At any prices a board is worth at least what the pool knows.
type Pool struct {
	p        *board.Problem
	known    map[string]int // index of a pattern of its kind
	Patterns [][]pattern    // by kind
	work     int64
}

// pattern is a layout, the sets that it gives, and what the work on it is in steps of value.
type pattern struct {
	Lay  board.Layout
	Sets []board.Sets
	work int64
}

// How many patterns of a kind are kept, and of all kinds.
const (
	mostKnown = 600
	mostInAll = 10_000
)

// NewPool returns an empty pool.
func NewPool(p *board.Problem) *Pool {
	return &Pool{p: p, known: map[string]int{}, Patterns: make([][]pattern, len(p.Kinds))}
}

// Add adds a layout, and tells whether it is new, or takes less work than one that
// gives the same.
func (o *Pool) Add(lay board.Layout) bool {
	x := pattern{lay, lay.Pieces(), o.p.Steps(o.p.Work(lay))}
	at, all := key(lay.Kind, x.Sets), o.Patterns[lay.Kind]
	if n, ok := o.known[at]; ok {
		if less := x.work < all[n].work; !less {
			return false
		}
		all[n] = x
		return true
	}
	if len(x.Sets) == 0 || len(all) >= mostKnown || len(o.known) >= mostInAll {
		return false
	}
	o.known[at] = len(all)
	o.Patterns[lay.Kind] = append(all, x)
	return true
}

// best returns what a board of a kind is worth most at some values, no more
// than a limit of any item counted, and that pattern.
func (o *Pool) best(k int, value []int64, limit []int) (int64, pattern) {
	var most int64
	var best pattern
	for _, x := range o.Patterns[k] {
		w := -x.work
		for _, pc := range x.Sets {
			w += int64(min(pc.Count, limit[pc.Item])) * value[pc.Item]
		}
		if w > most {
			most, best = w, x
		}
	}
	o.work += 4 * int64(len(o.Patterns[k]))
	return most, best
}

// key names a pattern.
func key(k int, sets []board.Sets) string {
	b := binary.AppendVarint(nil, int64(k))
	for _, s := range sets {
		b = binary.AppendVarint(binary.AppendVarint(b, int64(s.Item)), int64(s.Count))
	}
	return string(b)
}
