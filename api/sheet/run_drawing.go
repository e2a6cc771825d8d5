package sheet

import (
	"fmt"
	"math"

	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/calc/length"
)

// The frame of the drawing, in its own units; run.svg has the heights.
const (
	drawnLeft   = 36.0  // the face that is sawn first
	drawnRight  = 540.0 // the face of the fence
	letterWidth = 10.2  // of the drawing's type, on average
	mostDrawn   = 120   // cuts beyond which leaves are drawn in groups
)

// drawing is the end view of a board on its fence, its thickness to scale.
type drawing struct {
	Title, About string
	Bands        []band
	Ordinals     []label
	Dimensions   []dimension
	Key          []swatch
}

// band is a part of the thickness.
type band struct {
	Class    string // skim, leaf, leaves, kerf, remainder, hold-back
	X, Width float64
}

// label is the ordinal of a leaf.
type label struct {
	X    float64
	Text string
}

// Fill is the filling of the band.
func (b band) Fill() string { return fillOf(b.Class) }

// Fill is the filling of the swatch.
func (w swatch) Fill() string { return fillOf(w.Class) }

// fillOf sets wood that comes off whole, dust and the rest apart without colour;
// run.svg has the patterns.
func fillOf(class string) string {
	switch class {
	case "leaf", "billet":
		return "#fff"
	case "kerf":
		return "#333"
	}
	return "url(#fill-" + class + ")"
}

// dimension is a dimension line and its words.
type dimension struct {
	From, To float64
	Row      int    // below the board, from 1
	Anchor   string // of the words: start, middle, end
	Text     string
	limit    float64 // where the words must end; 0 if they may end anywhere
}

// swatch explains a filling.
type swatch struct {
	Column, Row int
	Class, Text string
}

// section is what an end view shows: a thickness, and what the cuts take of it.
type section struct {
	board, skim, kerf, holdBack length.Length
	cuts                        []sectionCut
	leaves                      int
	rest                        bool // the last leaf is what remains
}

// sectionCut takes a skim or a leaf off, with its kerf.
type sectionCut struct {
	leaf                int // its ordinal; 0 for the skim
	thickness, position length.Length
}

// left is all that stays on the fence.
func (s *section) left() length.Length { return s.board - s.lastPosition() }

// lastPosition is where the last cut leaves the board.
func (s *section) lastPosition() length.Length {
	n := s.cutCount()
	if n == 0 {
		return 0
	}
	return s.cuts[n-1].position
}

// cutCount is the number of cuts: the rest takes none.
func (s *section) cutCount() int {
	if s.rest {
		return len(s.cuts) - 1
	}
	return len(s.cuts)
}

// sectionOf is the section of a run sheet.
func sectionOf(a *calculator.RunAnswer) section {
	s := section{board: *a.Used.Board.Thickness, skim: *a.Used.Skim + *a.Used.Board.Bow, kerf: endpoint.ValueOr(a.Used.Done.Kerf, *a.Used.Kerf), holdBack: *a.Used.HoldBack, leaves: a.Summary.LeafCount}
	for i := range a.CutsDone {
		d := &a.CutsDone[i]
		s.cuts = append(s.cuts, sectionCut{d.Leaf, d.Thickness, d.Position})
		if d.Leaf > 0 {
			s.leaves++
		}
	}
	for i := range a.Cuts {
		if c := &a.Cuts[i]; c.Thickness != nil { // a re-zero takes nothing off
			s.rest = c.Purpose == calculator.PurposeRest
			s.cuts = append(s.cuts, sectionCut{c.Leaf, *c.Thickness, c.Position})
		}
	}
	return s
}

// draftsman draws one section.
type draftsman struct {
	section
	unit length.Length
	d    drawing
}

// runPicture is the end view of a run's board, and below it the leaves that are
// divided.
type runPicture struct {
	drawing
	Leaves []leafFigure
	Height float64
}

// runDrawing draws the end view of a run's board, and the leaves that are divided.
func runDrawing(a *calculator.RunAnswer, v endpoint.View) ([]byte, error) {
	p := endViewOf(a, v.Unit)
	leaves, err := leafFigures(a, v.Unit, "")
	if err != nil {
		return nil, err
	}
	for _, l := range leaves {
		l.Y = p.Height
		p.Height += headHeight + l.Height
		p.Leaves = append(p.Leaves, l)
	}
	return Page("run.svg", p)
}

// endViewOf draws the end view of a run's board alone.
func endViewOf(a *calculator.RunAnswer, unit length.Length) runPicture {
	return runPicture{drawing: drawSection(sectionOf(a), printable(*a.Used.Board.Name), unit), Height: endHeight}
}

// drawSection draws the end view of a board or billet.
func drawSection(s section, name string, unit length.Length) drawing {
	m := &draftsman{section: s, unit: unit}
	m.drawCuts()
	m.drawRest()
	m.drawOrdinals()
	m.drawDimensions()
	m.drawKey()
	m.d.Title = "End view of " + name + " on its fence"
	in := " " + rule.UnitName(m.unit)
	m.d.About = fmt.Sprintf("A thickness of %s to scale, from the face that is sawn first to the fence: %s and %s; %s stays on the fence, the hold-back is %s. The width is not to scale.",
		m.tell(m.board)+in, count(m.cutCount(), "cut"), count(m.leaves, "leaf"), m.tell(m.left())+in, m.tell(m.holdBack)+in)
	return m.d
}

// x is where a position lies in the drawing, rounded to hundredths, so that neighbours
// share their edge.
func (m *draftsman) x(at length.Length) float64 {
	return round2(m.at(min(max(at, 0), m.board)))
}

func (m *draftsman) at(position length.Length) float64 {
	return drawnLeft + (drawnRight-drawnLeft)*position.In(m.board)
}

func round2(x float64) float64 { return math.Round(x*100) / 100 }

func (m *draftsman) tell(l length.Length) string { return fixed(l, m.unit) }

func (m *draftsman) band(class string, from, to length.Length) {
	x := m.x(from)
	if width := round2(m.x(to) - x); width > 0 {
		m.d.Bands = append(m.d.Bands, band{class, x, width})
	}
}

// each is how many leaves a band of the drawing stands for.
func (m *draftsman) each() int {
	if len(m.cuts) <= mostDrawn {
		return 1
	}
	return (m.leaves + mostDrawn/2 - 1) / (mostDrawn / 2)
}

// drawCuts draws what comes off and its kerf, from the first cut on.
func (m *draftsman) drawCuts() {
	at, start, each := length.Length(0), length.Length(0), m.each()
	for _, c := range m.cuts {
		switch {
		case each > 1 && c.leaf > 0:
			if (c.leaf-1)%each == 0 {
				start = at
			}
			if c.leaf%each == 0 || c.leaf == m.leaves {
				m.band("leaves", start, c.position)
			}
		default:
			m.band(c.class(), at, at+c.thickness)
			m.band("kerf", at+c.thickness, c.position)
		}
		at = c.position
	}
}

// class is the class of what comes off.
func (c sectionCut) class() string {
	if c.leaf == 0 {
		return "skim"
	}
	return "leaf"
}

// drawRest draws what stays on the fence, the hold-back included.
func (m *draftsman) drawRest() {
	if m.rest {
		return
	}
	end := m.lastPosition()
	hold := max(end, m.board-m.holdBack)
	m.band("remainder", end, hold)
	m.band("hold-back", hold, m.board)
}
