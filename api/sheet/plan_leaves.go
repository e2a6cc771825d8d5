package sheet

import (
	"cmp"
	"fmt"

	"resawd/api/calculator"
	"resawd/calc/length"
	"resawd/calc/run"
)

// leafFigures draws the leaves of billets that are resawn alike, one figure for
// neighbours that are divided alike. Leaves that are parts as they come off are left
// out. places is how many copies may still be drawn; rest counts the figures that found
// no room.
func (b *breakdown) leafFigures(billets []*calculator.PlanBillet, places *int, unit length.Length) (list []leafFigure, rest int, err error) {
	if !b.hasFace() {
		return nil, 0, nil
	}
	bl, first := billets[0], 1
	for i := range bl.Leaves {
		l := &bl.Leaves[i]
		leaf := b.dividedLeaf(billets, i)
		from := first
		first += l.LeafCount
		switch drawn := min(leaf.places(), mostBillets); {
		case leaf.places() == 1 && l.TrimLength == 0 && l.TrimWidth == 0:
			continue
		case drawn > *places:
			rest++
			continue
		default:
			*places -= drawn
		}
		f := leafFigure{Head: printable(b.shorts(billets) + ", " + leafHead(from, l.LeafCount, leaf, unit))}
		if f.face, err = drawLeaf(leaf, unit); err != nil {
			return nil, 0, err
		}
		list = append(list, f)
	}
	return list, rest, nil
}

// dividedLeaf is the nth leaf of billets as it is divided. It says whose the copies are
// only for a single billet: of several each has its own.
func (b *breakdown) dividedLeaf(billets []*calculator.PlanBillet, n int) dividedLeaf {
	bl := billets[0]
	l, part := &bl.Leaves[n], b.parts[bl.Leaves[n].Part]
	along, across := b.along(bl), b.across(bl)
	long, wide := along.To-along.From, across.To-across.From
	leaf := dividedLeaf{
		Division: run.Division{EndToEnd: l.EndToEnd, SideBySide: l.SideBySide, Length: *cmp.Or(part.Length, &long), Width: *cmp.Or(part.Width, &wide), Kerf: *b.used.LeafKerf},
		part:     l.Part, long: long, wide: wide,
	}
	if len(billets) > 1 || len(b.kitLines) == 0 {
		return leaf
	}
	if leaf.places() == 1 {
		leaf.whose = [][]string{b.owners[keptPlace{bl, n, 0}]}
		return leaf
	}
	for place := range min(leaf.places(), mostBillets) {
		leaf.whose = append(leaf.whose, b.owners[keptPlace{bl, n, place + 1}])
	}
	return leaf
}

// leafHead says what becomes of the leaves from an ordinal on.
func leafHead(from, leaves int, l dividedLeaf, unit length.Length) string {
	into := "into " + l.copies()
	if l.places() == 1 {
		into = "trimmed to " + l.copies()
	}
	if leaves == 1 {
		return fmt.Sprintf("leaf %d%s, %s", from, l.size(unit), into)
	}
	return fmt.Sprintf("leaves %d to %d%s, each %s", from, from+leaves-1, l.size(unit), into)
}
