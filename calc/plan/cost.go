package plan

import "math/bits"

// Passes returns how many passes the saw makes through a billet, the truing pass
// among them.
//
// Source: definition.
func (b Billet) Passes() int {
	n := 0
	if b.Skim > 0 {
		n++
	}
	for _, l := range b.Leaves {
		n += l.Count
	}
	return n
}

// BilletCost returns what mounting a billet of a length costs, and so many passes
// through it: each by the piece and by its length, together rounded once to the
// nearest unit of Board.Price, halves up.
//
// Source: definition.
// Valid: orders without faults; lengths up to that of the longest board, up to
// 100 000 passes.
func (o Order) BilletCost(passes int, long nm) int64 {
	sum := int64(passes)*o.PassPrice + o.BilletPrice
	if o.PassLength.Price == 0 {
		return sum
	}
	per := uint64(o.PassLength.Per)
	high, low := bits.Mul64(uint64(passes)*uint64(o.PassLength.Price), uint64(long))
	byLength, rest := bits.Div64(high, low, per)
	if 2*rest >= per {
		byLength++
	}
	return sum + int64(byLength)
}
