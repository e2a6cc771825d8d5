package knapsack

import (
	"sort"

	"resawd/calc/plan/colgen"
)

// SortedPieces lists counts above zero by item.
func SortedPieces(count map[int]int) []colgen.Piece {
	out := make([]colgen.Piece, 0, len(count))
	for i, c := range count {
		if c > 0 {
			out = append(out, colgen.Piece{Item: i, Count: c})
		}
	}
	sort.Slice(out, func(a, b int) bool { return out[a].Item < out[b].Item })
	return out
}
