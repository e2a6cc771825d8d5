package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"resawd/api/calculator"
	"resawd/api/rule"
	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/run"
)

// dividedLeaf is a leaf and the copies of a part that it is divided into.
type dividedLeaf struct {
	run.Division
	part       string // what the copies are called
	long, wide length.Length
	whose      [][]string // the kits that each place goes to, if known
}

// leafFigure is the face of a divided leaf on a page or below the drawing of its run.
type leafFigure struct {
	ID, Head string
	Y        float64 // where it begins in a drawing
	face
}

// drawLeaf draws the face of a leaf, its first end on the left and its top edge at the
// top, with the cuts between its copies and the number of each place, or around the one
// copy that it is trimmed to.
func drawLeaf(l dividedLeaf, unit length.Length) (face, error) {
	along, across := l.stretches()
	m := &canvas{unit: unit}
	m.fit(l.long, l.wide, l.Width, l.high())
	wholeLong, wholeWide := plan.Stretch{To: l.long}, plan.Stretch{To: l.wide}
	m.f.Board = m.area("board", wholeLong, wholeWide)
	m.add("offcut", wholeLong, wholeWide)
	cross, err := plan.Lines(along, l.long, l.Kerf)
	if err != nil {
		return m.f, err
	}
	rips, err := plan.Lines(across, l.wide, l.Kerf)
	if err != nil {
		return m.f, err
	}
	m.drawKerfs(cross, rips, wholeLong, wholeWide)
	m.drawPlaces(l, along, across)
	m.drawPositions(cross)
	m.dimension(l.each() + fixed(l.Length, unit) + " x " + fixed(l.Width, unit) + " " + rule.UnitName(unit))
	m.drawKey(map[string]string{"billet": l.copyWord(), "kerf": "kerf " + fixed(l.Kerf, unit), "offcut": "offcut"})
	m.f.Title, m.f.About = l.title(), l.about(unit)
	if m.times > 1 {
		m.f.About += m.timesSentence()
	}
	return m.f, nil
}

// high is how high a leaf is drawn at most: higher where many rows need it for their
// numbers.
func (l dividedLeaf) high() float64 {
	return min(leafHigh, max(faceHigh, leafRow*float64(l.SideBySide)))
}

// places is how many copies a leaf gives.
func (l dividedLeaf) places() int { return l.EndToEnd * l.SideBySide }

// copyWord is what a copy is called in the key.
func (l dividedLeaf) copyWord() string {
	if l.places() == 1 {
		return "part"
	}
	return "copy"
}

// each begins the size of a copy.
func (l dividedLeaf) each() string {
	if l.places() == 1 {
		return "trim to "
	}
	return "each "
}

// title is the title of a drawing of the leaf.
func (l dividedLeaf) title() string {
	if l.places() == 1 {
		return "A leaf trimmed to " + l.copies()
	}
	return "A leaf divided into " + l.copies()
}

// about says in words what a drawing of the leaf shows.
func (l dividedLeaf) about(unit length.Length) string {
	text := fmt.Sprintf("The face of a leaf of %s by %s %s, to scale: ", fixed(l.long, unit), fixed(l.wide, unit), rule.UnitName(unit))
	if l.places() == 1 {
		return text + fmt.Sprintf("%s of %s by %s, from the top edge of its first end; the rest is trimmed off.", l.copies(), fixed(l.Length, unit), fixed(l.Width, unit))
	}
	return text + fmt.Sprintf("%s, %d end to end and %d side by side, numbered along the length from the top edge of its first end.", l.copies(), l.EndToEnd, l.SideBySide)
}

// copies says how many copies a leaf gives.
func (l dividedLeaf) copies() string {
	return strconv.Itoa(l.places()) + " x " + printable(l.part)
}

// size is the size of the leaf, after a comma.
func (l dividedLeaf) size(unit length.Length) string {
	return ", " + fixed(l.long, unit) + " x " + fixed(l.wide, unit)
}

// stretches are where the copies lie, as many as are drawn.
func (l dividedLeaf) stretches() (along, across []plan.Stretch) {
	for i := range min(l.EndToEnd, mostBillets) {
		from, _ := l.Corner(i, 0)
		along = append(along, plan.Stretch{From: from, To: from + l.Length})
	}
	for i := range min(l.SideBySide, mostBillets) {
		_, from := l.Corner(0, i)
		across = append(across, plan.Stretch{From: from, To: from + l.Width})
	}
	return along, across
}

// drawKerfs draws the cuts through a whole leaf.
func (m *canvas) drawKerfs(cross, rips []plan.Line, long, wide plan.Stretch) {
	for _, c := range cross {
		m.add("kerf", c.Kerf, wide)
	}
	for _, r := range rips {
		m.add("kerf", long, r.Kerf)
	}
}

// drawPlaces draws the copies, and numbers them along the length, one row after the
// other. A single copy has its name in place of a number.
func (m *canvas) drawPlaces(l dividedLeaf, along, across []plan.Stretch) {
	number := 0
	for _, y := range across {
		for _, x := range along {
			if number++; number > mostBillets {
				return
			}
			a := m.area("billet", x, y)
			m.f.Areas = append(m.f.Areas, a)
			m.mark(a, l.placeName(number), l.placeKits(number))
		}
	}
}

// placeName is what is written on a place of the leaf.
func (l dividedLeaf) placeName(number int) string {
	if l.places() == 1 {
		return printable(l.part)
	}
	return strconv.Itoa(number)
}

// placeKits names the kits of a place.
func (l dividedLeaf) placeKits(number int) string {
	if number > len(l.whose) {
		return ""
	}
	return printable(strings.Join(l.whose[number-1], ", "))
}

// leafFigures draws the divided leaves of a run, one figure for those that are alike.
func leafFigures(a *calculator.RunAnswer, unit length.Length, prefix string) (list []leafFigure, err error) {
	q := a.Used
	for i := range q.Leaves {
		l := &q.Leaves[i]
		first, last := a.LeavesOf(i)
		if l.Places() == 1 || first == 0 {
			continue
		}
		what := "copies"
		if l.Name != nil {
			what = *l.Name
		}
		leaf := dividedLeaf{l.Division(), what, *q.Board.Length, *q.Board.Width, nil}
		f, err := drawLeaf(leaf, unit)
		if err != nil {
			return nil, err
		}
		head := "Leaf " + strconv.Itoa(first) + leaf.size(unit) + ","
		if last > first {
			head = fmt.Sprintf("Leaves %d to %d%s, each", first, last, leaf.size(unit))
		}
		list = append(list, leafFigure{prefix + "leaf-" + strconv.Itoa(len(list)+1), printable(head + " into " + leaf.copies()), 0, f})
	}
	return list, nil
}
