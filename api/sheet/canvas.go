package sheet

import (
	"math"
	"strconv"

	"resawd/calc/length"
	"resawd/calc/plan"
)

// canvas draws the face of a board or a leaf to scale.
type canvas struct {
	unit  length.Length
	scale float64 // along the length
	times float64 // how many times that scale the width is drawn
	rows  int     // of positions
	f     face
}

// fit chooses the scales: the length fills the frame. If the narrowest piece would then
// be too low for its mark, the width is drawn a whole number of times larger, as far as
// the height allows.
func (m *canvas) fit(long, wide, narrow length.Length, high float64) {
	m.scale = min((faceRight-drawnLeft)/float64(long), high/float64(wide))
	wanted := max(faceLow/(float64(wide)*m.scale), billetLow/(float64(narrow)*m.scale))
	m.times = max(1, min(math.Ceil(wanted), math.Floor(high/(float64(wide)*m.scale))))
}

func (m *canvas) timesWords() string {
	if m.times == 1 {
		return ""
	}
	return " (width drawn x " + strconv.FormatFloat(m.times, 'f', 0, 64) + ")"
}

// timesSentence says the same in the description of a drawing.
func (m *canvas) timesSentence() string {
	return " The width is drawn at " + strconv.FormatFloat(m.times, 'f', 0, 64) + " times the scale of the length."
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

// markSizes are the sizes of the letters on an area, the largest first.
var markSizes = [...]int{19, 16, 13}

// What stands below a mark.
const (
	moreSize = 16 // of its letters
	moreRow  = 18 // the height of a line
)

// mark writes on an area in the largest letters that fit, and below it the first of
// further lines, as many as fit.
func (m *canvas) mark(a area, text string, more ...string) {
	if size := a.markSize(text); size > 0 {
		m.write(a, size, text, a.lines(size, more))
	}
}

// markSize is the largest size of letters in which a mark fits into an area, 0 if none
// does.
func (a area) markSize(text string) int {
	for _, size := range markSizes {
		if a.holds(text, size) {
			return size
		}
	}
	return 0
}

// lines are those lines that fit below a mark of a size.
func (a area) lines(size int, more []string) (fit []string) {
	for _, text := range more {
		high := float64(size + 6 + moreRow*(len(fit)+1))
		if text != "" && a.Height >= high && a.holds(text, moreSize) {
			fit = append(fit, text)
		}
	}
	return fit
}

// write writes a mark and the lines below it around the middle of an area.
func (m *canvas) write(a area, size int, text string, below []string) {
	middle, down := round2(a.X+a.Width/2), a.Y+a.Height/2-float64(moreRow*len(below))/2
	m.f.Marks = append(m.f.Marks, mark{X: middle, Y: round2(down + 0.35*float64(size)), Size: size, Weight: "bold", Text: text})
	for i, line := range below {
		m.f.Marks = append(m.f.Marks, mark{X: middle, Y: round2(down + float64(size)/2 + float64(moreRow*(i+1)) - 3), Size: moreSize, Weight: "normal", Text: line})
	}
}

// holds reports whether a text in letters of a size fits into an area.
func (a area) holds(text string, size int) bool {
	return a.Height >= float64(size)+2 && a.Width >= wordsWidth(text, size)+4
}

// wordsWidth is roughly how wide a text in letters of a size is.
func wordsWidth(text string, size int) float64 {
	return letterWidth * float64(len([]rune(text))*size) / 19
}

// drawPositions labels the crosscuts with their distance from the end on the left, each
// in the first of four rows that has room.
func (m *canvas) drawPositions(cuts []plan.Line) {
	none := math.Inf(-1)
	ends := [...]float64{none, none, none, none}
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

// dimension writes the size below a face whose positions have been drawn.
func (m *canvas) dimension(size string) {
	m.f.Under = round2(faceTop + m.f.Board.Height - underFace)
	m.f.Lower = m.f.Under - positionRow*float64(2-m.rows)
	m.f.Dimensions = []dimension{{From: drawnLeft, To: m.f.Board.X + m.f.Board.Width, Row: 3, Anchor: "start", Text: size + m.timesWords()}}
}

// drawKey explains the fillings, and sets the height of the drawing.
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
