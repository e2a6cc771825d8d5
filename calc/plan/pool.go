package plan

import "encoding/binary"

// pool holds what boards of each kind can be cut into, as far as the search
// has met it. At any prices a board is worth at least what the pool knows.
type pool struct {
	known    map[string]bool
	patterns [][]pattern // by kind
	work     int64
}

// pattern is a layout and the sets that it gives.
type pattern struct {
	lay  layout
	sets []Sets
}

// How many patterns of a kind are kept, and of all kinds.
const (
	mostKnown = 600
	mostInAll = 10_000
)

// newPool returns an empty pool.
func newPool(p *problem) *pool {
	return &pool{known: map[string]bool{}, patterns: make([][]pattern, len(p.kinds))}
}

// add adds a layout, and tells whether it is new.
func (o *pool) add(lay layout) bool {
	sets := lay.pieces()
	at := key(lay.kind, sets)
	if o.known[at] || len(sets) == 0 || len(o.patterns[lay.kind]) >= mostKnown || len(o.known) >= mostInAll {
		return false
	}
	o.known[at] = true
	o.patterns[lay.kind] = append(o.patterns[lay.kind], pattern{lay, sets})
	return true
}

// best returns what a board of a kind is worth most at some values, no more
// than a limit of any item counted, and that pattern.
func (o *pool) best(k int, value []int64, limit []int) (int64, pattern) {
	var most int64
	var best pattern
	for _, x := range o.patterns[k] {
		var w int64
		for _, pc := range x.sets {
			w += int64(min(pc.Count, limit[pc.Item])) * value[pc.Item]
		}
		if w > most {
			most, best = w, x
		}
	}
	o.work += 4 * int64(len(o.patterns[k]))
	return most, best
}

// key names a pattern.
func key(k int, sets []Sets) string {
	b := binary.AppendVarint(nil, int64(k))
	for _, s := range sets {
		b = binary.AppendVarint(binary.AppendVarint(b, int64(s.Item)), int64(s.Count))
	}
	return string(b)
}
