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

// multiple returns the size of a billet whose leaves hold so many copies of a part.
func (d way) multiple(p plan.Part, copies int) nm {
	return max(grid(copies, d.part(p), d.leaf), d.billet(p))
}

// grid returns what so many copies of a size take, with a kerf between neighbours.
func grid(copies int, size, kerf nm) nm { return nm(copies)*(size+kerf) - kerf }

// class is a size of billets that is considered. Leaves have the places of the largest
// size that stands for: that is its own, but for a bound.
type class struct{ size, reach nm }

// sizes returns the sizes of billets that leaves of the parts fill, rising: with one
// copy, or with as many as there is any use for. Billets of other sizes do no better.
func (d way) sizes(o plan.Order) []nm {
	var all []nm
	for _, p := range o.Parts {
		for n := 1; n <= d.copies(o, p); n++ {
			all = append(all, d.multiple(p, n))
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// few returns some of the sizes, rising: those that hold one copy, and multiples as
// long as there are no more than so many, the smallest numbers of copies first. One is
// left out where a size that is hardly larger does as well.
func (d way) few(o plan.Order, most int) []nm {
	var all []nm
	for _, p := range o.Parts {
		all = append(all, d.multiple(p, 1))
	}
	slices.Sort(all)
	all = slices.Compact(all)
	for n, more := 2, true; more; n++ {
		more = false
		for _, p := range o.Parts {
			if n > d.copies(o, p) || len(all) >= most {
				continue
			}
			more = true
			size := d.multiple(p, n)
			at, _ := slices.BinarySearch(all, size)
			if at == len(all) || all[at] > size+size/hardly {
				all = slices.Insert(all, at, size)
			}
		}
	}
	return all
}

// hardly larger is a size by one part in this.
const hardly = 50

// exactly returns sizes as classes.
func exactly(sizes []nm) []class {
	var all []class
	for _, s := range sizes {
		all = append(all, class{s, s})
	}
	return all
}

// joined returns classes for rising sizes, no more than so many if none need be twice
// its size: sizes that are hardly larger than another are of its class.
func joined(sizes []nm, most int) []class {
	for part := nm(200); ; part -= part/8 + 1 {
		var all []class
		for _, s := range sizes {
			if n := len(all) - 1; n >= 0 && s <= all[n].size+all[n].size/max(1, part) {
				all[n].reach = s
			} else {
				all = append(all, class{s, s})
			}
		}
		if len(all) <= most || part <= 1 {
			return all
		}
	}
}

// places returns the first of the classes of billets that a part fits, and how many
// copies lie in a leaf of each class.
func (d way) places(o plan.Order, p plan.Part, classes []class) (first int, count []int) {
	count = make([]int, len(classes))
	first = len(classes)
	most := d.copies(o, p)
	for n, c := range classes {
		if c.reach < d.part(p) {
			continue
		}
		if first, count[n] = min(first, n), 1; most > 1 {
			count[n] = min(most, d.within(c.reach, d.part(p)))
		}
	}
	return first, count
}

// takes returns the least that a copy of a part takes of a board, in any grid.
func (d way) takes(o plan.Order, p plan.Part) float64 {
	least := float64(d.multiple(p, 1) + d.kerf)
	for n := 2; n <= d.copies(o, p); n++ {
		least = min(least, float64(d.multiple(p, n)+d.kerf)/float64(n))
	}
	return least
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
