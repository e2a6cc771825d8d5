package board

import (
	"slices"

	"resawd/calc/plan"
)

// way is one of the two directions in which boards are cut to billets and leaves to
// copies: along the length or across the width.
type way struct {
	kerf     nm // between billets
	leaf     nm // between copies
	smallest nm // size of a billet
	saw      nm // the largest size that it takes, 0: any
	part     func(plan.Part) nm
	room     func(plan.Board) nm
}

// ways returns the two directions of an order.
func ways(o plan.Order) (long, wide way) {
	long = way{o.CrosscutKerf, o.LeafKerf, o.Smallest.Length, o.Saw.BilletLength, func(p plan.Part) nm { return p.Length }, func(b plan.Board) nm { return longest(o, b) }}
	wide = way{o.RipKerf, o.LeafKerf, o.Smallest.Width, o.Saw.CuttingHeight, func(p plan.Part) nm { return p.Width }, func(b plan.Board) nm { return b.Width }}
	return long, wide
}

// longest returns the longest billet that a board has room for.
func longest(o plan.Order, b plan.Board) nm {
	var most nm
	for _, s := range Sound(o, b) {
		most = max(most, s.To-s.From)
	}
	return most
}

// billet returns the least size of a billet for a part: that of the part, and no less
// than the smallest that is safe. It is 0 where there is no cut.
func (d way) billet(p plan.Part) nm {
	if d.part(p) == 0 {
		return 0
	}
	return max(d.part(p), d.smallest)
}

// copies returns how many copies of a part there is any use for in a leaf of the
// largest billet of an order: 1 where it is not divided.
func (d way) copies(o plan.Order, p plan.Part) int {
	size := d.part(p)
	if !p.Divide || size == 0 {
		return 1
	}
	most := 1
	for _, b := range o.Boards {
		room := d.room(b)
		if d.saw > 0 {
			room = min(room, d.saw)
		}
		if Suits(b, p) {
			most = max(most, d.within(room, size))
		}
	}
	return min(most, max(1, p.SetCount()))
}

// within returns how many copies of a size lie in a room.
func (d way) within(room, size nm) int { return int((room + d.leaf) / (size + d.leaf)) }

// sizes returns the sizes of billets that leaves of the parts fill, rising: with one
// copy, or with as many as there is any use for. Billets of other sizes do no better.
func (d way) sizes(o plan.Order) []nm {
	var all []nm
	for _, p := range o.Parts {
		all = append(all, d.billet(p))
		for n := 2; n <= d.copies(o, p); n++ {
			all = append(all, max(grid(n, d.part(p), d.leaf), d.smallest))
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// grid returns what so many copies of a size take, with a kerf between neighbours.
func grid(copies int, size, kerf nm) nm { return nm(copies)*(size+kerf) - kerf }

// places returns the first of the sizes of billets that a part fits, how many copies
// lie in a leaf of each size, and the least that a copy takes of a board.
func (d way) places(o plan.Order, p plan.Part, sizes []nm) (first int, count []int, takes float64) {
	count = make([]int, len(sizes))
	first = len(sizes)
	most := d.copies(o, p)
	for n, size := range sizes {
		if size < d.part(p) {
			continue
		}
		if count[n] = 1; most > 1 {
			count[n] = min(most, d.within(size, d.part(p)))
		}
		if part := float64(size+d.kerf) / float64(count[n]); n < first || part < takes {
			takes = part
		}
		first = min(first, n)
	}
	return first, count, takes
}

// Divisible tells whether a leaf of an order may ever be divided into copies of a part.
func Divisible(o plan.Order, p plan.Part) bool {
	long, wide := ways(o)
	return long.copies(o, p) > 1 || wide.copies(o, p) > 1
}

// Places returns how many sets of an item a matched set of leaves gives that is sawn
// from a billet of classes, of which there is any use: 0 where it does not fit.
func (p *Problem) Places(i, l, w int) int {
	it := &p.Items[i]
	return min(max(1, it.Need), it.ends[l]*it.sides[w])
}

// Divides tells whether leaves may be divided.
func (p *Problem) Divides() bool { return p.divides }

// Longer tells whether leaves of a length class have more places for an item, end to
// end, than those of the class before.
func (p *Problem) Longer(i, l int) bool { return more(p.Items[i].ends, l) }

// Wider tells whether leaves of a width class have more places for an item, side by
// side, than those of the class before.
func (p *Problem) Wider(i, w int) bool { return more(p.Items[i].sides, w) }

// more tells whether a number is more than the one before.
func more(count []int, n int) bool { return count[n] > 0 && (n == 0 || count[n] > count[n-1]) }
