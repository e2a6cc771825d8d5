package bound

import (
	"encoding/binary"

	"resawd/calc/plan/internal/board"
)

// Pool holds what boards of each kind can be cut into, as far as the search
// has met it. At any prices a board is worth at least what the pool knows.
type Pool struct {
	known    map[string]bool
	Patterns [][]pattern // by kind
	work     int64
}

// pattern is a layout and the sets that it gives.
type pattern struct {
	Lay  board.Layout
	Sets []board.Sets
}

// How many patterns of a kind are kept, and of all kinds.
const (
	mostKnown = 600
	mostInAll = 10_000
)

// NewPool returns an empty pool.
func NewPool(p *board.Problem) *Pool {
	return &Pool{known: map[string]bool{}, Patterns: make([][]pattern, len(p.Kinds))}
}

// Add adds a layout, and tells whether it is new.
func (o *Pool) Add(lay board.Layout) bool {
	sets := lay.Pieces()
	at := key(lay.Kind, sets)
	if o.known[at] || len(sets) == 0 || len(o.Patterns[lay.Kind]) >= mostKnown || len(o.known) >= mostInAll {
		return false
	}
	o.known[at] = true
	o.Patterns[lay.Kind] = append(o.Patterns[lay.Kind], pattern{lay, sets})
	return true
}

// best returns what a board of a kind is worth most at some values, no more
// than a limit of any item counted, and that pattern.
func (o *Pool) best(k int, value []int64, limit []int) (int64, pattern) {
	var most int64
	var best pattern
	for _, x := range o.Patterns[k] {
		var w int64
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
