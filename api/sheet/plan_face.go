package sheet

import (
	"fmt"
	"math"
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

// faceArtist draws one face.
type faceArtist struct {
	*breakdown
	unit  length.Length
	scale float64 // along the length
	times float64 // how many times that scale the width is drawn
	rows  int     // of positions
	f     face
}

// drawFace draws the face of a board.
func drawFace(b *breakdown, unit length.Length) face {
	m := &faceArtist{breakdown: b, unit: unit}
	m.fit()
	m.f.Board = m.area("board", plan.Stretch{To: b.long}, plan.Stretch{To: b.wide})
	m.drawWood()
	m.drawCuts()
	m.drawBillets()
	m.drawPositions()
	m.f.Under = round2(faceTop + m.f.Board.Height - underFace)
	m.f.Lower = m.f.Under - positionRow*float64(2-m.rows)
	size := fixed(b.long, unit)
	m.f.Dimensions = []dimension{{From: drawnLeft, To: m.f.Board.X + m.f.Board.Width, Row: 3, Anchor: "start", Text: "length " + size + ", width " + fixed(b.wide, unit) + m.timesWords()}}
	m.drawKey()
	m.f.Height = m.f.Lower + float64(m.f.Key[len(m.f.Key)-1].Y()+32)
	m.f.Title = "Face of " + printable(b.way())
	m.f.About = m.about()
	return m.f
}

// fit chooses the scales: the length fills the frame, and where a billet would
// be too low for its mark the width is drawn a whole number of times larger.
func (m *faceArtist) fit() {
	long, wide := float64(m.long), float64(m.wide)
	m.scale = min((faceRight-drawnLeft)/long, faceHigh/wide)
	narrow := wide
	for i := range m.Billets {
		if w := float64(m.Billets[i].Width); w > 0 {
			narrow = min(narrow, w)
		}
	}
	wanted := max(faceLow/(wide*m.scale), billetLow/(narrow*m.scale))
	m.times = max(1, min(math.Ceil(wanted), math.Floor(faceHigh/(wide*m.scale))))
}

func (m *faceArtist) timesWords() string {
	if m.times == 1 {
		return ""
	}
	return " (width drawn x " + strconv.FormatFloat(m.times, 'f', 0, 64) + ")"
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

func (m *faceArtist) x(at length.Length) float64 { return round2(drawnLeft + float64(at)*m.scale) }

func (m *faceArtist) y(at length.Length) float64 {
	return round2(faceTop + float64(at)*m.scale*m.times)
}

// area is where a part of the face lies in the drawing.
func (m *faceArtist) area(class string, along, across plan.Stretch) area {
	x, y := m.x(along.From), m.y(across.From)
	return area{class, x, y, round2(m.x(along.To) - x), round2(m.y(across.To) - y)}
}

func (m *faceArtist) add(class string, along, across plan.Stretch) {
	if a := m.area(class, along, across); a.Width > 0 && a.Height > 0 {
		m.f.Areas = append(m.f.Areas, a)
	}
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

// write marks a billet as large as there is room, with its size where that has
// room too.
func (m *faceArtist) write(a area, bl *calculator.PlanBillet) {
	text := printable(m.short(bl))
	size := 19
	if !a.holds(text, size) {
		size = 12
	}
	if !a.holds(text, size) {
		return
	}
	middle := mark{X: round2(a.X + a.Width/2), Y: round2(a.Y + a.Height/2 + 0.35*float64(size)), Size: size, Weight: "bold", Text: text}
	along, across := m.along(bl), m.across(bl)
	below := mark{X: middle.X, Y: round2(middle.Y + 15), Size: 15, Weight: "normal", Text: fixed(across.To-across.From, m.unit) + " x " + fixed(along.To-along.From, m.unit)}
	if a.Height >= 44 && a.holds(below.Text, below.Size) {
		middle.Y, below.Y = round2(middle.Y-8), round2(below.Y-6)
		m.f.Marks = append(m.f.Marks, below)
	}
	m.f.Marks = append(m.f.Marks, middle)
}

// holds tells whether letters of a size fit into an area.
func (a area) holds(text string, size int) bool {
	return a.Height >= float64(size)+2 && a.Width >= wordsWidth(text, size)+4
}

// wordsWidth is about how wide letters of a size are.
func wordsWidth(text string, size int) float64 {
	return letterWidth * float64(len([]rune(text))*size) / 19
}

// drawPositions tells where the crosscuts lie, from the end on the left, in the
// first of two rows that has room.
func (m *faceArtist) drawPositions() {
	ends := [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, c := range m.cross[:min(len(m.cross), mostBillets)] {
		text := fixed(c.At, m.unit)
		half := wordsWidth(text, 17) / 2
		for row, end := range ends {
			if x := m.x(c.At); x-half >= end+8 {
				ends[row] = x + half
				m.f.Positions = append(m.f.Positions, position{x, 136 + positionRow*float64(row), text})
				m.rows = max(m.rows, row+1)
				break
			}
		}
	}
}

// drawKey explains the fillings.
func (m *faceArtist) drawKey() {
	words := map[string]string{"billet": "billet", "kerf": "kerf", "offcut": "offcut", "end-trim": "end trim", "defect": "defect"}
	m.f.Key = keyOf([]string{"billet", "kerf", "offcut", "end-trim", "defect"}, words, func(class string) bool {
		for _, a := range m.f.Areas {
			if a.Class == class {
				return true
			}
		}
		return false
	})
}
