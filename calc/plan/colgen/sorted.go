package colgen

import "sort"

// sortedPieces lists counts above zero by item.
func sortedPieces(count map[int]int) []Piece {
	out := make([]Piece, 0, len(count))
	for i, c := range count {
		if c > 0 {
			out = append(out, Piece{i, c})
		}
	}
	sort.Slice(out, func(a, b int) bool { return out[a].Item < out[b].Item })
	return out
}
