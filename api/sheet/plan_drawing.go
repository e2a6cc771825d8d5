package sheet

import (
	"fmt"
	"strings"

	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/calc/length"
)

// How much one drawing of a plan shows; the rest is counted.
const (
	mostFaces  = 24    // ways to cut a board
	mostEnds   = 6     // end views of one way
	mostPlaces = 1_500 // in the leaves of all ways
	mostTold   = 12    // kits of one way
)

// The heights of a plan's drawing.
const (
	frameWidth = 620
	headHeight = 30
	endHeight  = 264
	lineHeight = 22 // of words that go on
	aboveWords = 8
	boldWidth  = 11 // of a bold letter, on average
)

// planDrawing is the boards of a plan, one way of cutting them below the other: the
// face, the kits that come of it, and then the end views and the leaves of its billets.
type planDrawing struct {
	Title, About string
	Height       float64
	Ways         []drawnWay
	More         []words // what is not drawn
}

// drawnWay is a way of cutting a board.
type drawnWay struct {
	Rule   float64 // where a line parts it from the way above
	Head   []words
	Blocks []block
}

// block is a picture with words above it, or words alone.
type block struct {
	Class string // face, end, leaf-face, kits, more
	Words []words
	Y     float64 // where the picture begins
	Face  *face
	End   *drawing
}

// words is a line of words.
type words struct {
	Y    float64 // their base line
	Text string
}

// endView is the end view of billets that are resawn alike, and their leaves.
type endView struct {
	Head string
	drawing
	Leaves []leafFigure
}

// planDrawingOf draws a plan.
func planDrawingOf(a *calculator.PlanAnswer, v endpoint.View) ([]byte, error) {
	ways, err := breakdowns(a)
	if err != nil {
		return nil, err
	}
	d, err := drawPlan(a, ways, v.Unit)
	if err != nil {
		return nil, err
	}
	return Page("plan.svg", d)
}

// drawPlan draws the first boards of a plan.
func drawPlan(a *calculator.PlanAnswer, ways []breakdown, unit length.Length) (planDrawing, error) {
	d := planDrawing{
		Title: "Plan of " + count(a.Stats.BoardCount, "board"),
		About: fmt.Sprintf("%s cut in %s into %s and resawn to %s. Each face is to scale, and so is the thickness in each end view. Crosscuts are measured from the left end, rips from the top edge.", count(a.Stats.BoardCount, "board"), count(len(ways), "way"), count(a.Stats.BilletCount, "billet"), count(a.Stats.LeafCount, "leaf")),
	}
	places := mostPlaces
	for i := range ways[:min(len(ways), mostFaces)] {
		if err := d.way(&ways[i], &places, unit); err != nil {
			return d, err
		}
	}
	rest := 0
	for i := mostFaces; i < len(ways); i++ {
		rest += ways[i].Copies
	}
	switch {
	case rest > 0:
		d.More = d.words("and " + count(rest, "more board"))
	case len(ways) == 0:
		d.More = d.words("Nothing to cut.")
	}
	d.Height = round2(d.Height)
	return d, nil
}

// way draws a way of cutting a board below what is drawn so far.
func (d *planDrawing) way(b *breakdown, places *int, unit length.Length) error {
	w := drawnWay{Rule: round2(d.Height)}
	w.Head = d.words(wayHead(b, unit))
	if b.hasFace() {
		w.Blocks = append(w.Blocks, d.face(b, unit)...)
	}
	w.Blocks = append(w.Blocks, d.kits(b)...)
	ends, more, err := drawEnds(b, places, unit)
	if err != nil {
		return err
	}
	for i := range ends {
		w.Blocks = append(w.Blocks, d.end(&ends[i])...)
	}
	for _, text := range more {
		w.Blocks = append(w.Blocks, block{Class: "more", Words: d.words(text)})
	}
	d.Ways = append(d.Ways, w)
	return nil
}

// face puts the face of a board below what is drawn so far, with the rips in words if
// some billet has no room for its own.
func (d *planDrawing) face(b *breakdown, unit length.Length) []block {
	f := drawFace(b, unit)
	list := []block{{Class: "face", Y: round2(d.Height), Face: &f}}
	d.Height += f.Height
	if f.unwritten > 0 {
		for _, text := range b.ripWords(unit) {
			list = append(list, block{Class: "rips", Words: d.words(text)})
		}
	}
	return list
}

// kits says which leaves go into which kit.
func (d *planDrawing) kits(b *breakdown) (list []block) {
	for i, k := range b.kitLines {
		if i == mostTold {
			return append(list, block{Class: "more", Words: d.words("and " + count(len(b.kitLines)-i, "more kit"))})
		}
		name := k.Name
		if b.Copies > 1 {
			name += " of each board"
		}
		list = append(list, block{Class: "kits", Words: d.words(printable(name + ": " + k.Leaves))})
	}
	return list
}

// end puts an end view and its leaves below what is drawn so far.
func (d *planDrawing) end(e *endView) []block {
	list := []block{{Class: "end", Words: d.words(e.Head), End: &e.drawing}}
	list[0].Y = round2(d.Height)
	d.Height += endHeight
	for i := range e.Leaves {
		l := &e.Leaves[i]
		leaf := block{Class: "leaf-face", Words: d.words(l.Head), Face: &l.face}
		leaf.Y = round2(d.Height)
		list = append(list, leaf)
		d.Height += l.Height
	}
	return list
}

// words puts words below what is drawn so far, in as many lines as they need.
func (d *planDrawing) words(text string) (lines []words) {
	d.Height += aboveWords
	for _, line := range wrapped(text, frameWidth-drawnLeft-8) {
		lines = append(lines, words{round2(d.Height + 20), line})
		d.Height += lineHeight
	}
	d.Height += headHeight - lineHeight
	return lines
}

// wayHead says which boards are cut in a way.
func wayHead(b *breakdown, unit length.Length) string {
	head := printable(b.way()) + ": " + count(b.Copies, "board")
	if b.Copies > 1 {
		head += " cut alike"
	}
	return head + ", thickness " + fixed(*b.board.Thickness, unit)
}

// drawEnds draws the end views of a way's billets, with the leaves that are divided or
// trimmed as long as there is room for their places.
func drawEnds(b *breakdown, places *int, unit length.Length) (ends []endView, more []string, err error) {
	rest, undrawn := 0, 0
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
		e := endView{
			Head:    printable(b.shorts(billets) + ": " + leavesWords(billets[0], unit)),
			drawing: drawSection(s, printable(b.Board+" "+b.shorts(billets)), unit),
		}
		var left int
		if e.Leaves, left, err = b.leafFigures(billets, places, unit); err != nil {
			return nil, nil, err
		}
		undrawn += left
		ends = append(ends, e)
	}
	if rest > 0 {
		more = append(more, count(rest, "billet")+" not drawn")
	}
	if undrawn > 0 {
		more = append(more, count(undrawn, "way")+" to divide a leaf not drawn: the run sheets have them")
	}
	return ends, more, nil
}

// leavesWords lists the leaves of a billet in the order they are sawn.
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

// wrapped splits words of the usual size into lines of a width, at spaces if possible.
func wrapped(text string, width float64) (lines []string) {
	most := int(width / boldWidth)
	for letters := []rune(text); ; {
		if len(letters) <= most {
			return append(lines, string(letters))
		}
		end := most
		for end > 0 && letters[end] != ' ' {
			end--
		}
		if end == 0 {
			end = most
		}
		lines = append(lines, string(letters[:end]))
		if letters = letters[end:]; letters[0] == ' ' {
			letters = letters[1:]
		}
	}
}
