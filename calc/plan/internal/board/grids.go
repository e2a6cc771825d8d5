package board

import (
	"cmp"
	"slices"

	"resawd/calc/plan"
)

// way is one of the two directions in which boards are cut to billets and leaves to
// copies: along the length or across the width.
type way struct {
	kerf     nm // between billets
	leaf     nm // between copies
	smallest nm // size of a billet
	parts    []nm
	copies   []int // of each part that there is any use for in a leaf of the largest billet: 1 where it is not divided
}

// ways returns the two directions of an order.
func ways(o plan.Order) (long, wide way) {
	long = way{kerf: o.CrosscutKerf, leaf: o.LeafKerf, smallest: o.Smallest.Length}
	wide = way{kerf: o.RipKerf, leaf: o.LeafKerf, smallest: o.Smallest.Width}
	for _, p := range o.Parts {
		long.parts, wide.parts = append(long.parts, p.Length), append(wide.parts, p.Width)
	}
	var lens, wids []nm
	for _, b := range o.Boards {
		lens, wids = append(lens, within(longest(o, b), o.Saw.BilletLength)), append(wids, within(b.Width, o.Saw.CuttingHeight))
	}
	long.count(o, lens)
	wide.count(o, wids)
	return long, wide
}

// within returns a size, or a limit that is below it; 0 stands for none.
func within(size, limit nm) nm {
	if limit > 0 {
		return min(size, limit)
	}
	return size
}

// longest returns the longest billet that a board has room for.
func longest(o plan.Order, b plan.Board) nm {
	var most nm
	for _, s := range Sound(o, b) {
		most = max(most, s.To-s.From)
	}
	return most
}

// count says how many copies of each part there is any use for, in boards of some rooms.
func (d *way) count(o plan.Order, rooms []nm) {
	boards := make([]int, len(rooms)) // the largest room first
	for k := range boards {
		boards[k] = k
	}
	slices.SortStableFunc(boards, func(x, y int) int { return cmp.Compare(rooms[y], rooms[x]) })
	for i, p := range o.Parts {
		most := 1
		if p.Divide && d.parts[i] > 0 {
			if n := slices.IndexFunc(boards, func(k int) bool { return Suits(o.Boards[k], p) }); n >= 0 {
				most = max(1, min(d.row(i, rooms[boards[n]]), p.SetCount()))
			}
		}
		d.copies = append(d.copies, most)
	}
}

// row returns how many copies of a part lie in a room.
func (d way) row(i int, room nm) int { return int((room + d.leaf) / (d.parts[i] + d.leaf)) }

// size returns the size of a billet whose leaves hold so many copies of a part, no less
// than the smallest that is safe. It is 0 where there is no cut.
func (d way) size(i, copies int) nm {
	if d.parts[i] == 0 {
		return 0
	}
	return max(grid(copies, d.parts[i], d.leaf), d.smallest)
}

// grid returns what so many copies of a size take, with a kerf between neighbours.
func grid(copies int, size, kerf nm) nm { return nm(copies)*(size+kerf) - kerf }

// class is a size of billets that is considered. Leaves have the places of the largest
// size that stands for: that is its own, but for a bound.
type class struct{ size, reach nm }

// sizes returns the sizes of billets that leaves of the parts fill, rising: with one
// copy, or with as many as there is any use for. Billets of other sizes do no better.
func (d way) sizes() []nm {
	var all []nm
	for i, most := range d.copies {
		for n := 1; n <= most; n++ {
			all = append(all, d.size(i, n))
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// few returns some of the sizes, rising: those that hold one copy, and multiples as
// long as there are no more than so many, the smallest numbers of copies first. One is
// left out where a size that is hardly larger does as well.
func (d way) few(most int) []nm {
	var all []nm
	for i := range d.parts {
		all = append(all, d.size(i, 1))
	}
	slices.Sort(all)
	all = slices.Compact(all)
	for n, more := 2, true; more; n++ {
		more = false
		for i, copies := range d.copies {
			if n > copies || len(all) >= most {
				continue
			}
			more = true
			size := d.size(i, n)
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
	if len(sizes) <= most {
		return exactly(sizes)
	}
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
func (d way) places(i int, classes []class) (first int, count []int) {
	count = make([]int, len(classes))
	first = len(classes)
	for n, c := range classes {
		if c.reach < d.parts[i] {
			continue
		}
		if first, count[n] = min(first, n), 1; d.copies[i] > 1 {
			count[n] = min(d.copies[i], d.row(i, c.reach))
		}
	}
	return first, count
}

// takes returns the least that a copy of a part takes of a board, in any grid.
func (d way) takes(i int) float64 {
	least := float64(d.size(i, 1) + d.kerf)
	for n := 2; n <= d.copies[i]; n++ {
		least = min(least, float64(d.size(i, n)+d.kerf)/float64(n))
	}
	return least
}

// Divisible returns which parts of an order a leaf may ever be divided into copies of.
func Divisible(o plan.Order) []bool {
	long, wide := ways(o)
	return divisible(long, wide)
}

// divisible is Divisible for both directions.
func divisible(long, wide way) []bool {
	some := make([]bool, len(long.copies))
	for i := range some {
		some[i] = long.copies[i] > 1 || wide.copies[i] > 1
	}
	return some
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
