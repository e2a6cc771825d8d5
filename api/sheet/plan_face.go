package sheet

import (
	"fmt"
	"strconv"

	"resawd/api/calculator"
	"resawd/calc/length"
	"resawd/calc/plan"
)

// The frame of a face, in the units of the drawing.
const (
	faceTop     = 12.0
	faceRight   = 584.0
	faceLow     = 72.0  // a face is drawn no lower than that,
	faceHigh    = 300.0 // and no higher
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
	Marks        []mark
	Positions    []position
	Dimensions   []dimension
	Key          []swatch
	Under, Lower float64 // how far positions are moved down, and what stands under them
	Height       float64
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

// position is where a crosscut lies, in one of two rows.
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
	m.fit(b.long, b.wide, narrow)
	m.f.Board = m.area("board", plan.Stretch{To: b.long}, plan.Stretch{To: b.wide})
	m.drawWood()
	m.drawCuts()
	m.drawBillets()
	m.drawPositions(m.cross)
	m.dimension("length " + fixed(b.long, unit) + ", width " + fixed(b.wide, unit))
	m.drawKey(map[string]string{"billet": "billet", "kerf": "kerf", "offcut": "offcut", "end-trim": "end trim", "defect": "defect"})
	m.f.Title = "Face of " + printable(b.way())
	m.f.About = m.about()
	return m.f
}

// about says in words what the drawing shows.
func (m *faceArtist) about() string {
	text := fmt.Sprintf("The face of a board of %s by %s %s, to scale: %s in %s.", fixed(m.long, m.unit), fixed(m.wide, m.unit), unitName(m.unit),
		count(len(m.Billets), "billet"), count(len(m.lengths), "length"))
	if m.times > 1 {
		text += " The width is drawn at " + strconv.FormatFloat(m.times, 'f', 0, 64) + " times the scale of the length."
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
		m.write(a, bl)
	}
}

// write marks a billet, with its size where that has room.
func (m *faceArtist) write(a area, bl *calculator.PlanBillet) {
	along, across := m.along(bl), m.across(bl)
	m.mark(a, printable(m.short(bl)), fixed(across.To-across.From, m.unit)+" x "+fixed(along.To-along.From, m.unit))
}
