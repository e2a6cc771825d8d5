package sheet

import (
	"fmt"
	"strings"

	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/calc/length"
)

// What one drawing of a plan shows; the rest is counted.
const (
	mostFaces = 24 // ways to cut a board
	mostEnds  = 6  // end views of one way
)

// The columns of a plan's drawing.
const (
	columnWidth = 620
	headHeight  = 30
	endHeight   = 264
)

// planDrawing is the boards of a plan, one way to cut them under the other:
// their face, and beside it the end views of their billets.
type planDrawing struct {
	Title, About  string
	Width, Height float64
	Ways          []drawnWay
	More          string // what is not drawn
}

// drawnWay is a way to cut a board.
type drawnWay struct {
	Y    float64
	Head string
	Face *face // nil where the size of the face is not known
	Ends []endView
	More string
	Foot float64 // where it ends
}

// endView is the end view of billets that are resawn alike.
type endView struct {
	X, Y float64
	Head string
	drawing
}

// planDrawingOf draws a plan.
func planDrawingOf(a *calculator.PlanAnswer, v endpoint.View) ([]byte, error) {
	ways, err := breakdowns(a)
	if err != nil {
		return nil, err
	}
	return Page("plan.svg", drawPlan(a, ways, v.Unit))
}

// drawPlan draws the first boards of a plan.
func drawPlan(a *calculator.PlanAnswer, ways []breakdown, unit length.Length) planDrawing {
	d := planDrawing{
		Title:  "Plan of " + count(a.Stats.BoardCount, "board"),
		About:  fmt.Sprintf("%s cut in %s into %s and resawn to %s. Each face is to scale, and so is the thickness in each end view.", count(a.Stats.BoardCount, "board"), count(len(ways), "way"), count(a.Stats.BilletCount, "billet"), count(a.Stats.LeafCount, "leaf")),
		Width:  columnWidth,
		Height: 8,
	}
	rest := 0
	for i := range ways {
		if i >= mostFaces {
			rest += ways[i].Copies
			continue
		}
		w := drawWay(&ways[i], d.Height, unit)
		if w.Face != nil {
			d.Width = 2 * columnWidth
		}
		d.Ways, d.Height = append(d.Ways, w), w.Foot
	}
	if rest > 0 {
		d.More = "and " + count(rest, "more board")
		d.Height += headHeight
	}
	return d
}

// drawWay draws a way to cut a board, from a height on.
func drawWay(b *breakdown, y float64, unit length.Length) drawnWay {
	w := drawnWay{Y: y, Head: wayHead(b, unit), Foot: y + headHeight}
	x := 0.0
	if b.hasFace() {
		f := drawFace(b, unit)
		w.Face, x = &f, columnWidth
		w.Foot += f.Height
	}
	at := y + headHeight
	w.Ends, w.More = drawEnds(b, unit)
	for i := range w.Ends {
		w.Ends[i].X, w.Ends[i].Y = x, at
		at += headHeight + endHeight
	}
	if w.More != "" {
		at += headHeight
	}
	w.Foot = max(w.Foot, at)
	return w
}

// wayHead tells which boards are cut so.
func wayHead(b *breakdown, unit length.Length) string {
	head := printable(b.way()) + ": " + count(b.Copies, "board")
	if b.Copies > 1 {
		head += " cut alike"
	}
	return head + ", thickness " + fixed(*b.board.Thickness, unit)
}

// drawEnds draws the end views of a way's billets.
func drawEnds(b *breakdown, unit length.Length) (ends []endView, more string) {
	rest := 0
	for _, billets := range b.alike() {
		var s section
		ok := len(ends) < mostEnds
		if ok {
			s, ok = b.section(billets[0])
		}
		if !ok {
			rest += len(billets)
			continue
		}
		ends = append(ends, endView{
			Head:    cutShort(printable(b.shorts(billets)+": "+leavesWords(billets[0], unit)), columnWidth-drawnLeft),
			drawing: drawSection(s, printable(b.Board+" "+b.shorts(billets)), unit),
		})
	}
	if rest > 0 {
		more = count(rest, "billet") + " not drawn"
	}
	return ends, more
}

// leavesWords tells the leaves of a billet in the order they are sawn.
func leavesWords(bl *calculator.PlanBillet, unit length.Length) string {
	words := make([]string, len(bl.Leaves))
	for i, l := range bl.Leaves {
		words[i] = fmt.Sprintf("%d x %s %s", l.LeafCount, l.Part, fixed(l.Thickness, unit))
		if n := l.EndToEnd * l.SideBySide; n > 1 {
			words[i] += fmt.Sprintf(" (each into %d)", n)
		}
	}
	return strings.Join(words, ", ")
}

// cutShort keeps words of the usual size within a width.
func cutShort(text string, width float64) string {
	letters := []rune(text)
	if most := int(width / letterWidth); len(letters) > most {
		return string(letters[:most-1]) + "…"
	}
	return text
}

// MoreY is the base line of what is not drawn of a way.
func (w drawnWay) MoreY() float64 { return w.Foot - 10 }

// MoreY is the base line of what is not drawn of a plan.
func (d planDrawing) MoreY() float64 { return d.Height - 10 }

// FaceY is where a way's face begins.
func (w drawnWay) FaceY() float64 { return w.Y + headHeight }

// HeadY is the base line of a way's heading.
func (w drawnWay) HeadY() float64 { return w.Y + 20 }

// MoreX is where what is not drawn of a way is told.
func (w drawnWay) MoreX() float64 {
	if w.Face != nil {
		return columnWidth + drawnLeft
	}
	return drawnLeft
}
