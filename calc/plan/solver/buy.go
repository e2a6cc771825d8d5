package solver

import (
	"slices"

	"resawd/calc/length"
	"resawd/calc/plan"
)

// coarse is into how many steps the longest board for a kit is divided to choose among
// sections.
const coarse = 500

// mostSections is how many sections of boards are tried for the least one.
const mostSections = 6

// toBuy returns the least board that gives a matched set of a part, or the parts of a
// kit, and none where the saw does not take their billets. Nothing less in any one
// direction does. For a kit it is the least by volume of those that begin as thick and
// wide as a board on the rack, as the parts ask at least, or as thick as all of them.
func (a *asker) toBuy(parts []plan.Part) []plan.Cure {
	least := a.slimmest(parts)
	if slices.ContainsFunc(parts, func(p plan.Part) bool { return !sawTakes(a.o, least, p) }) {
		return nil
	}
	best := least
	if len(parts) > 1 || parts[0].SetCount() > 1 {
		best = a.smallest(parts)
	}
	if best.Thickness == 0 || max(best.Thickness, best.Width, best.Length) > plan.MaxSize {
		return nil
	}
	return []plan.Cure{{Board: -1, Quantity: 1, Thickness: best.Thickness, Width: best.Width, Length: best.Length}}
}

// slimmest returns the board that gives any one of some parts and no smaller one does.
func (a *asker) slimmest(parts []plan.Part) plan.Board {
	var b plan.Board
	for _, p := range parts {
		b.Thickness = max(b.Thickness, leastThickness(a.o, plan.Board{}, p))
		if p.Width > 0 {
			b.Width = max(b.Width, leastWidth(a.o, p))
		}
		if p.Length > 0 {
			b.Length = max(b.Length, leastLength(a.o, p)+2*a.o.EndTrim)
		}
	}
	return b
}

// smallest returns the least board for several parts or sets, of no thickness when none
// was found.
func (a *asker) smallest(parts []plan.Part) plan.Board {
	var best plan.Board
	for _, b := range a.sections(parts) {
		along := direction(&b)
		*along = a.endToEnd(parts)
		if a.measure(&b, along, 1+*along/coarse, parts) && (best.Thickness == 0 || size(b) < size(best)) {
			best = b
		}
	}
	if best.Thickness > 0 {
		a.measure(&best, direction(&best), 1, parts)
		a.measure(&best, &best.Thickness, 1, parts)
		a.measure(&best, &best.Width, 1, parts)
	}
	return best
}

// thickestSold is the thickness of 16/4, the thickest that is sold as a matter of course:
// common practice.
const thickestSold = 4 * length.Inch

// sections returns the least board for any one of some parts, that as thick as all of
// them, as far as boards are so thick, and those of the sections on the rack.
func (a *asker) sections(parts []plan.Part) []plan.Board {
	least := a.slimmest(parts)
	stack, most := least, thickestSold
	for _, p := range parts {
		stack.Thickness += nm(p.SetCount()*p.SetSize()) * (p.Thickness + a.o.Kerf)
	}
	for _, b := range a.o.Boards {
		most = max(most, b.Thickness)
	}
	stack.Thickness = max(least.Thickness, min(stack.Thickness, most))
	out := []plan.Board{least, stack}
	for _, b := range a.o.Boards {
		x := plan.Board{Thickness: b.Thickness, Width: b.Width, Length: least.Length}
		if least.Width == 0 {
			x.Width = 0
		}
		if x.Thickness >= least.Thickness && x.Width >= least.Width && len(out) < mostSections &&
			!slices.ContainsFunc(out, func(y plan.Board) bool { return x.Thickness == y.Thickness && x.Width == y.Width }) {
			out = append(out, x)
		}
	}
	return out
}

// size returns the volume of a board.
func size(b plan.Board) float64 { return wood(b.Thickness, b.Width, b.Length) }

// direction returns the size in which billets can be set end to end: the first that
// boards are cut in.
func direction(b *plan.Board) *nm {
	switch {
	case b.Length > 0:
		return &b.Length
	case b.Width > 0:
		return &b.Width
	}
	return &b.Thickness
}

// endToEnd returns a size that holds a billet for every set of the parts, one behind
// another.
func (a *asker) endToEnd(parts []plan.Part) nm {
	sum := a.slimmest(parts)
	most := *direction(&sum)
	var all nm
	for _, p := range parts {
		all += nm(p.SetCount()) * (most + max(a.o.CrosscutKerf, a.o.RipKerf))
	}
	return all
}

// measure makes a size of a board as small as it can be to within a step, and tells
// whether the board gives the parts as it is.
func (a *asker) measure(b *plan.Board, size *nm, step nm, parts []plan.Part) bool {
	if !a.gives(*b, parts) {
		return false
	}
	low := nm(0) // does not
	for *size-low > step && a.left > 0 {
		high := *size
		if *size = low + (high-low)/2; !a.gives(*b, parts) {
			low, *size = *size, high
		}
	}
	return true
}
