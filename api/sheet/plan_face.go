package sheet

import (
	"fmt"
	"slices"
	"strings"

	"resawd/api/calculator"
	"resawd/api/rule"
	"resawd/calc/length"
	"resawd/calc/plan"
)

// The frame of a face, in the units of the drawing.
const (
	faceTop     = 12.0
	faceRight   = 584.0
	faceLow     = 72.0  // a face is drawn no lower than that,
	faceHigh    = 300.0 // and no higher,
	leafHigh    = 560.0 // but for a leaf of many rows
	leafRow     = 18.0  // the height of such a row
	billetLow   = 22.0  // what the mark of a billet needs
	underFace   = 116.0 // where the board ends in the frame of what stands under it
	positionRow = 21.0  // the height of a row of positions
	mostBillets = 300   // drawn on one face
)

// face is the face of a board with what is cut from it, to scale.
type face struct {
	Title, About string
	Areas        []area // what lies above covers what lies below
	Board        area
	Marks        []mark // their middle
	Corners      []mark // their end
	Positions    []position
	Dimensions   []dimension
	Key          []swatch
	Under, Lower float64 // how far positions are moved down, and what stands under them
	Height       float64
	unwritten    int // rips that no billet has room for
}

// area is a part of the face.
type area struct {
	Class               string // offcut, end-trim, defect, kerf, billet
	X, Y, Width, Height float64
}

// Fill is what the area is filled with.
func (a area) Fill() string { return fillOf(a.Class) }

// mark is what is written on a billet.
type mark struct {
	X, Y   float64
	Size   int // of the letters
	Weight string
	Text   string
}

// position is where a crosscut lies.
type position struct {
	X, Y float64
	Text string
}

// Top is where the line to the words ends.
func (p position) Top() float64 { return p.Y - 15 }

// faceArtist draws the face of a board.
type faceArtist struct {
	*breakdown
	canvas
}

// drawFace draws the face of a board.
func drawFace(b *breakdown, unit length.Length) face {
	narrow := b.wide
	for i := range b.Billets {
		if w := b.Billets[i].Width; w > 0 {
			narrow = min(narrow, w)
		}
	}
	m := &faceArtist{b, canvas{unit: unit}}
	m.fit(b.long, b.wide, narrow, faceHigh)
	m.f.Board = m.area("board", plan.Stretch{To: b.long}, plan.Stretch{To: b.wide})
	m.drawWood()
	m.drawCuts()
	m.drawBillets()
	m.drawPositions(m.cross)
	m.dimension("length " + fixed(b.long, unit) + ", width " + fixed(b.wide, unit) + " " + rule.UnitName(unit))
	m.drawKey(map[string]string{"billet": "billet", "kerf": m.kerfWords(), "offcut": "offcut", "end-trim": "end trim", "defect": "defect"})
	m.f.Title = "Face of " + printable(b.way())
	m.f.About = m.about()
	return m.f
}

// kerfWords is the kerf, if rips and crosscuts have the same one.
func (m *faceArtist) kerfWords() string {
	if *m.used.RipKerf == *m.used.CrosscutKerf {
		return "kerf " + fixed(*m.used.RipKerf, m.unit)
	}
	return "kerf"
}

// about says in words what the drawing shows.
func (m *faceArtist) about() string {
	text := fmt.Sprintf("The face of a board of %s by %s %s, to scale: %s in %s.", fixed(m.long, m.unit), fixed(m.wide, m.unit), rule.UnitName(m.unit),
		count(len(m.Billets), "billet"), count(len(m.lengths), "length"))
	text += " Crosscuts are measured from the left end, rips from the top edge."
	if m.times > 1 {
		text += m.timesSentence()
	}
	if len(m.Billets) > mostBillets {
		text += fmt.Sprintf(" The first %d billets are drawn.", mostBillets)
	}
	return text
}

// drawWood draws what the board is before it is cut: wood, ends and defects.
func (m *faceArtist) drawWood() {
	whole := plan.Stretch{To: m.wide}
	m.add("offcut", plan.Stretch{To: m.long}, whole)
	if trim := min(*m.used.EndTrim, m.long); trim > 0 && m.crosscut() {
		m.add("end-trim", plan.Stretch{To: trim}, whole)
		m.add("end-trim", plan.Stretch{From: m.long - trim, To: m.long}, whole)
	}
	for _, d := range m.board.Defects {
		m.add("defect", plan.Stretch{From: min(*d.From, m.long), To: min(*d.To, m.long)}, whole)
	}
}

// drawCuts draws the kerfs: crosscuts over the whole width, rips over their
// length.
func (m *faceArtist) drawCuts() {
	for _, c := range m.cross[:min(len(m.cross), mostBillets)] {
		m.add("kerf", c.Kerf, plan.Stretch{To: m.wide})
	}
	drawn := 0
	for i := range m.lengths {
		for _, r := range m.lengths[i].rips {
			if drawn++; drawn > mostBillets {
				return
			}
			m.add("kerf", m.lengths[i].Stretch, r.Kerf)
		}
	}
}

// drawBillets draws the billets and writes their marks on them.
func (m *faceArtist) drawBillets() {
	for i := range m.Billets[:min(len(m.Billets), mostBillets)] {
		bl := &m.Billets[i]
		a := m.area("billet", m.along(bl), m.across(bl))
		m.f.Areas = append(m.f.Areas, a)
		m.label(a, bl)
	}
}

// label marks a billet, with its size, its kits and the place where it is ripped off if
// these have room.
func (m *faceArtist) label(a area, bl *calculator.PlanBillet) {
	along, across := m.along(bl), m.across(bl)
	name, rip := printable(m.short(bl)), m.ripAt(bl)
	lines := []string{
		fixed(across.To-across.From, m.unit) + " x " + fixed(along.To-along.From, m.unit),
		printable(strings.Join(m.owners[keptPlace{billet: bl, stack: wholeBillet}], ", ")),
	}
	size := a.markSize(name)
	below := a.lines(size, lines)
	switch {
	case rip == "":
	case a.corner(rip, name, below):
		m.f.Corners = append(m.f.Corners, mark{X: round2(a.X + a.Width - 6), Y: round2(a.Y + a.Height - 5), Text: rip})
	default:
		below = a.lines(size, slices.Insert(lines, 1, rip))
		if !slices.Contains(below, rip) {
			m.f.unwritten++
		}
	}
	if size > 0 {
		m.write(a, size, name, below)
	}
}

// corner reports whether words have room in the lower right corner of an area, beside
// what is written around its middle.
func (a area) corner(text, name string, lines []string) bool {
	widest := wordsWidth(name, markSizes[0])
	for _, line := range lines {
		widest = max(widest, wordsWidth(line, moreSize))
	}
	return a.Height >= moreSize+4 && a.Width/2 >= widest/2+wordsWidth(text, moreSize)+14
}

// ripAt says where a billet is ripped off; it is empty if it is not.
func (m *faceArtist) ripAt(bl *calculator.PlanBillet) string {
	for i := range m.lengths {
		for _, r := range m.lengths[i].rips {
			if !r.Before && m.lengths[i].billets[r.Piece] == bl {
				return "rip " + fixed(r.At, m.unit)
			}
		}
	}
	return ""
}
