package exactly

import (
	"sort"

	"resawd/calc/plan/colgen"
)

// neverFits is the size of an item that stands for a kind.
const neverFits = colgen.MaxCapacity + 1

// marked is pieces with the item that stands for the kind.
func (t *tight) marked(kind int, pieces []colgen.Piece) []colgen.Piece {
	if len(t.s.Kinds) == 1 {
		return pieces
	}
	mark := len(t.s.P.Demand) + kind
	at := sort.Search(len(pieces), func(x int) bool { return pieces[x].Item > mark })
	out := append(make([]colgen.Piece, 0, len(pieces)+1), pieces[:at]...)
	return append(append(out, colgen.Piece{Item: mark, Count: 1}), pieces[at:]...)
}

// isKind reports whether an item stands for a kind.
func (t *tight) isKind(item int) bool {
	return item >= len(t.s.P.Demand) && item < t.glue.items
}

// boards is how many boards of a kind are to be cut yet, and what the item
// that stands for it is worth.
func (t *tight) boards(kind int) (n int, worth int64) {
	if len(t.s.Kinds) == 1 {
		return t.target, 0
	}
	mark := len(t.s.P.Demand) + kind
	return t.demand[mark], t.value[mark]
}
