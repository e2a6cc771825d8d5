package sheet

import (
	"math"
	"strconv"

	"resawd/calc/length"
	"resawd/calc/plan"
)

// canvas is where the face of a board or a leaf is drawn to scale.
type canvas struct {
	unit  length.Length
	scale float64 // along the length
	times float64 // how many times that scale the width is drawn
	rows  int     // of positions
	f     face
}

// fit chooses the scales: the length fills the frame, and where the narrowest piece
// would be too low for its mark the width is drawn a whole number of times larger.
func (m *canvas) fit(long, wide, narrow length.Length) {
	m.scale = min((faceRight-drawnLeft)/float64(long), faceHigh/float64(wide))
	wanted := max(faceLow/(float64(wide)*m.scale), billetLow/(float64(narrow)*m.scale))
	m.times = max(1, min(math.Ceil(wanted), math.Floor(faceHigh/(float64(wide)*m.scale))))
}

func (m *canvas) timesWords() string {
	if m.times == 1 {
		return ""
	}
	return " (width drawn x " + strconv.FormatFloat(m.times, 'f', 0, 64) + ")"
}

func (m *canvas) x(at length.Length) float64 { return round2(drawnLeft + float64(at)*m.scale) }

func (m *canvas) y(at length.Length) float64 {
	return round2(faceTop + float64(at)*m.scale*m.times)
}

// area is where a part of the face lies in the drawing.
func (m *canvas) area(class string, along, across plan.Stretch) area {
	x, y := m.x(along.From), m.y(across.From)
	return area{class, x, y, round2(m.x(along.To) - x), round2(m.y(across.To) - y)}
}

func (m *canvas) add(class string, along, across plan.Stretch) {
	if a := m.area(class, along, across); a.Width > 0 && a.Height > 0 {
		m.f.Areas = append(m.f.Areas, a)
	}
}

// mark writes on an area as large as there is room, with further words below it where
// those have room too.
func (m *canvas) mark(a area, text, more string) {
	size := 19
	if !a.holds(text, size) {
		size = 12
	}
	if !a.holds(text, size) {
		return
	}
	middle := mark{X: round2(a.X + a.Width/2), Y: round2(a.Y + a.Height/2 + 0.35*float64(size)), Size: size, Weight: "bold", Text: text}
	below := mark{X: middle.X, Y: round2(middle.Y + 15), Size: 15, Weight: "normal", Text: more}
	if more != "" && a.Height >= 44 && a.holds(below.Text, below.Size) {
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
func (m *canvas) drawPositions(cuts []plan.Line) {
	ends := [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, c := range cuts[:min(len(cuts), mostBillets)] {
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

// dimension tells the size under a face, once its positions are drawn.
func (m *canvas) dimension(size string) {
	m.f.Under = round2(faceTop + m.f.Board.Height - underFace)
	m.f.Lower = m.f.Under - positionRow*float64(2-m.rows)
	m.f.Dimensions = []dimension{{From: drawnLeft, To: m.f.Board.X + m.f.Board.Width, Row: 3, Anchor: "start", Text: size + m.timesWords()}}
}

// drawKey explains the fillings, and gives the drawing its height.
func (m *canvas) drawKey(words map[string]string) {
	m.f.Key = keyOf([]string{"billet", "kerf", "offcut", "end-trim", "defect"}, words, func(class string) bool {
		for _, a := range m.f.Areas {
			if a.Class == class {
				return true
			}
		}
		return false
	})
	m.f.Height = m.f.Lower + float64(m.f.Key[len(m.f.Key)-1].Y()+32)
}
