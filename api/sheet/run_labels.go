package sheet

import (
	"fmt"
	"math"
	"strconv"

	"resawd/api/rule"
	"resawd/calc/length"
)

// drawOrdinals numbers the leaves: the first, the last, and round numbers between them
// as far as there is room.
func (m *draftsman) drawOrdinals() {
	middles := m.leafMiddles()
	if len(middles) == 0 {
		return
	}
	room := letterWidth*float64(len(strconv.Itoa(len(middles)))) + 8
	step, last := roundStep(room/narrowest(middles)), len(middles)-1
	before := math.Inf(-1)
	for i, x := range middles {
		fits := x-before >= room && middles[last]-x >= room
		if i == last || fits && (i == 0 || (i+1)%step == 0) {
			m.d.Ordinals = append(m.d.Ordinals, label{round2(x), strconv.Itoa(i + 1)})
			before = x
		}
	}
}

// leafMiddles is where the middle of each leaf lies.
func (m *draftsman) leafMiddles() []float64 {
	middles := make([]float64, 0, m.leaves)
	before := length.Length(0)
	for _, c := range m.cuts {
		if c.leaf > 0 {
			middles = append(middles, m.at(before+c.thickness/2))
		}
		before = c.position
	}
	return middles
}

// narrowest is the least distance of neighbours, infinite if there are none.
func narrowest(xs []float64) float64 {
	least := math.Inf(1)
	for i := 1; i < len(xs); i++ {
		least = min(least, xs[i]-xs[i-1])
	}
	return least
}

// roundStep is the least of 1, 2, 5, 10, 20, 50 and so on that is at least x.
func roundStep(x float64) int {
	for step := 1; ; step *= 10 {
		for _, n := range [...]int{step, 2 * step, 5 * step} {
			if float64(n) >= x || n >= 1e9 {
				return n
			}
		}
	}
}

// drawDimensions puts lengths under the board, in three rows.
func (m *draftsman) drawDimensions() {
	end, hold := m.lastPosition(), m.holdBack
	back := dimension{Row: 1, Anchor: "end", Text: "hold-back " + m.tell(hold)}
	m.firstLeaf(drawnRight - back.words() - letterWidth)
	m.dimension(back, m.board-hold, m.board)
	m.dimension(dimension{Row: 2, Anchor: "start", Text: "last position " + m.tell(end)}, 0, end)
	left := "on the fence "
	if m.rest {
		left = "the rest, a leaf, "
	}
	m.dimension(dimension{Row: 2, Anchor: "end", Text: left + m.tell(m.left())}, end, m.board)
	m.dimension(dimension{Row: 3, Anchor: "middle", Text: "board " + m.tell(m.board) + " " + rule.UnitName(m.unit)}, 0, m.board)
}

// dimension draws a dimension from one position to another, unless there is
// nothing between them.
func (m *draftsman) dimension(d dimension, from, to length.Length) {
	d.From, d.To = m.x(from), m.x(to)
	if d.From < d.To {
		m.d.Dimensions = append(m.d.Dimensions, d)
	}
}

// firstLeaf dimensions the first leaf, with words that end before a limit.
func (m *draftsman) firstLeaf(limit float64) {
	before := length.Length(0)
	for _, c := range m.cuts {
		if c.leaf == 1 {
			d := dimension{Row: 1, Anchor: "start", Text: "leaf 1 " + m.tell(c.thickness)}
			if m.x(before)+d.words() > limit {
				d.Anchor, d.limit = "end", limit
			}
			m.dimension(d, before, before+c.thickness)
			return
		}
		before = c.position
	}
}

// words is roughly how long the words of a dimension are.
func (d dimension) words() float64 { return letterWidth * float64(len(d.Text)) }

// Line is the height of the dimension line in the drawing.
func (d dimension) Line() int { return 114 + 27*d.Row }

// WordsY is the base line of the words.
func (d dimension) WordsY() int { return d.Line() - 5 }

// WordsX is where the words start or end, or where their middle is.
func (d dimension) WordsX() float64 {
	switch d.Anchor {
	case "start":
		return d.From
	case "end":
		if d.limit > 0 {
			return min(d.To, d.limit)
		}
		return d.To
	}
	return round2((d.From + d.To) / 2)
}

// Ticks is the path of the oblique strokes at both ends of the line.
func (d dimension) Ticks() string {
	return fmt.Sprintf("M%g %dl8 -8M%g %dl8 -8", round2(d.From-4), d.Line()+4, round2(d.To-4), d.Line()+4)
}

// X is where a swatch lies.
func (w swatch) X() int { return 36 + 184*w.Column }

// Y is where a swatch lies.
func (w swatch) Y() int { return 212 + 26*w.Row }

// TextX is where the words of a swatch start.
func (w swatch) TextX() int { return w.X() + 34 }

// TextY is the base line of the words of a swatch.
func (w swatch) TextY() int { return w.Y() + 15 }

// drawKey explains the fillings, three in a row.
func (m *draftsman) drawKey() {
	words := map[string]string{
		"skim": "skim " + m.tell(m.skim), "kerf": "kerf " + m.tell(m.kerf), "leaf": "leaf",
		"leaves": count(m.each(), "leaf") + " and kerfs", "remainder": "remainder", "hold-back": "hold-back",
	}
	m.d.Key = keyOf([]string{"skim", "kerf", "leaf", "leaves", "remainder", "hold-back"}, words, m.drawn)
}

// keyOf explains the fillings that are drawn.
func keyOf(classes []string, words map[string]string, drawn func(class string) bool) (key []swatch) {
	for _, class := range classes {
		if n := len(key); drawn(class) {
			key = append(key, swatch{Column: n % 3, Row: n / 3, Class: class, Text: words[class]})
		}
	}
	return key
}

func (m *draftsman) drawn(class string) bool {
	for _, b := range m.d.Bands {
		if b.Class == class {
			return true
		}
	}
	return false
}
