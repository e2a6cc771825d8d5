package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/calc/length"
)

// The forms of a run sheet beside those that all calculators have: a page to print, and
// the drawing on it. Both show lengths to 0.001 in or 0.01 mm, with a decimal point
// whatever the request says.
var (
	RunHTML = endpoint.Whole("html", TypeHTML, runSheetPage)
	RunSVG  = endpoint.Whole("svg", TypeSVG, runDrawing)
)

// runPage is what run.html shows.
type runPage struct {
	*calculator.RunAnswer
	Prefix  string // of the IDs, if several sheets are on one page
	Within  string // the ID of this sheet's heading there, after a space
	Title   string
	Name    string // of the board
	Size    string
	Machine string
	UnitIn  string // the unit in words
	Caption string // over the cuts, on every side
	Figure  endFigure
	Leaves  []leafFigure // that are divided
	Figures []figure
	Done    []doneRow
	Rows    []pageRow
}

// figure is a figure with its name.
type figure struct{ Name, Value string }

// pageRow is a row of the table of cuts: a cut or, if Stop is not empty, something to
// do before the next one.
type pageRow struct {
	Stop             string
	Cut              int
	Turns, Divisions int
	TurnsWord        string
	Reading, Tally   int
	Position         string
	Leaf, Mark       string
	Thickness        string
	Measured         []string // the names of the boxes for the leaf's thickness
	Back             string   // what to do before the carriage returns
}

// doneRow is a cut made before the run went on, crossed out, and what came of it.
type doneRow struct{ Cut, Found string }

// doneRows are the cuts that were made.
func doneRows(a *calculator.RunAnswer, unit length.Length) []doneRow {
	rows := make([]doneRow, len(a.CutsDone))
	for i := range a.CutsDone {
		d := &a.CutsDone[i]
		rows[i].Cut = fmt.Sprintf("Cut %d at %s: %s", d.Cut, fixed(d.Position, unit), doneWords(d, unit))
		if d.Minimum != nil {
			rows[i].Found = fmt.Sprintf("measured %s to %s: %s", fixed(*d.Minimum, unit), fixed(*d.Maximum, unit), d.Verdict)
		}
	}
	return rows
}

func doneWords(d *calculator.RunCutDone, unit length.Length) string {
	if d.Leaf == 0 {
		return "truing cut"
	}
	return fmt.Sprintf("leaf %d, %s", d.Leaf, fixed(d.Thickness, unit))
}

// runSheetPage renders the run sheet as a page.
func runSheetPage(sheet *calculator.RunAnswer, v endpoint.View) ([]byte, error) {
	p, err := runPageOf(sheet, v.Unit, "")
	if err != nil {
		return nil, err
	}
	return Page("run.html", p)
}

// runPageOf fills in a run sheet.
func runPageOf(a *calculator.RunAnswer, unit length.Length, prefix string) (runPage, error) {
	q := a.Used
	name := *q.Board.Name
	p := runPage{
		RunAnswer: a, Prefix: prefix, Title: "Run sheet: " + name + ", ID " + a.ID, Name: name, Size: boardSize(&q.Board, unit), Machine: machineOf(q), UnitIn: unitNames[unit],
		Figure: endFigure{prefix + "drawing", endView{drawing: drawSection(sectionOf(a), printable(name), unit)}},
		Done:   doneRows(a, unit), Figures: runFigures(a, unit), Rows: pageRows(a, unit), Caption: "Write " + name + ", number and mark on every leaf.",
	}
	var err error
	p.Leaves, err = leafFigures(a, unit, prefix)
	if n := len(a.CutsDone); n > 0 {
		p.Title += fmt.Sprintf(", from cut %d on", n+1)
		p.Name += fmt.Sprintf(", from cut %d on", n+1)
	}
	if *q.Retract == 0 {
		p.Caption = "Turn the dial forward only. " + p.Caption
	}
	return p, err
}

var unitNames = map[length.Length]string{length.Inch: "inches", length.Millimetre: "millimetres"}

// fixed writes a length as people read it at the saw, in the unit but without its name.
func fixed(l, unit length.Length) string {
	return l.Fixed(unit, rule.Decimals(unit))
}

func boardSize(b *calculator.RunBoard, unit length.Length) string {
	return fixed(*b.Thickness, unit) + " x " + fixed(*b.Width, unit) + " x " + fixed(*b.Length, unit) + " " + rule.UnitName(unit)
}

// machineOf names the saw, the blade and the fixing of a run.
func machineOf(q *calculator.RunRequest) string {
	var parts []string
	for _, p := range []struct {
		what string
		name *string
	}{{"saw", q.Saw}, {"blade", q.Blade}, {"fixing", q.Fixing}} {
		if p.name != nil {
			parts = append(parts, p.what+" "+*p.name)
		}
	}
	return strings.Join(parts, ", ")
}

// count is a number of things, in words.
func count(n int, thing string) string { return strconv.Itoa(n) + " " + plural(n, thing) }

// plural is the word for a number of things.
func plural(n int, thing string) string {
	switch {
	case n == 1:
		return thing
	case thing == "leaf":
		return "leaves"
	}
	return thing + "s"
}

// minutes writes a time in minutes and seconds, from an hour on in hours and minutes.
func minutes(seconds float64) string {
	s := int(math.Round(seconds))
	if s >= 3600 {
		m := (s + 30) / 60
		return fmt.Sprintf("%d h %02d min", m/60, m%60)
	}
	return fmt.Sprintf("%d min %02d s", s/60, s%60)
}

// runFigures are the figures beside the drawing.
func runFigures(a *calculator.RunAnswer, unit length.Length) []figure {
	s, q, in := &a.Summary, a.Used, " "+rule.UnitName(unit)
	return []figure{
		{"Leaves", strconv.Itoa(s.LeafCount) + ", in " + count(s.CutCount, "cut")},
		{"Stops", fmt.Sprintf("%d to clean, %d to re-zero", s.CleanCount, s.RezeroCount)},
		{"Cutting", minutes(s.CuttingSeconds) + ", each cut " + minutes(a.Cuts[0].CutSeconds)},
		{"Kerf", kerfWords(q, unit)},
		{"Dial", fmt.Sprintf("%s%s a turn, %s", fixed(*q.Lead, unit), in, count(*q.DivisionsPerTurn, "division"))},
		{"Start reading", strconv.Itoa(*q.StartReading)},
		{"Feed", length.Length(*q.Feed).Decimal(unit) + in + "/min"},
		{"Blade speed", bladeSpeedWords(s.Speed, unit)},
		{"Teeth per inch", teethWords(*q.TPI, s)},
		{"Left on the fence", fixed(s.LeftOnFence, unit) + in},
		{"Recovery", strconv.FormatFloat(100*s.Recovery, 'f', 1, 64) + " %"},
		{"Off by rounding", fmt.Sprintf("leaf %s, position %s", fixed(s.LeafDeviation, unit), fixed(s.PositionDeviation, unit)) + in},
	}
}

// kerfWords say which kerf the cuts count on; in a run that goes on, it may be a
// measured one.
func kerfWords(q *calculator.RunRequest, unit length.Length) string {
	if q.Done.Kerf != nil {
		return fixed(*q.Done.Kerf, unit) + " " + rule.UnitName(unit) + ", measured"
	}
	return fixed(*q.Kerf, unit) + " " + rule.UnitName(unit) + ", " + *q.KerfBasis
}

func bladeSpeedWords(speed endpoint.BladeSpeed, unit length.Length) string {
	name := " ft/min"
	if unit == length.Millimetre {
		name = " m/min"
	}
	return length.Length(speed).Fixed(endpoint.BladeSpeedUnit(unit), 0) + name
}

func teethWords(tpi float64, s *calculator.RunSummary) string {
	number := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	suit := number(s.TPILow)
	if s.TPIHigh != s.TPILow {
		suit += " to " + number(s.TPIHigh)
	}
	return number(tpi) + " (" + suit + " suit)"
}

// pageRows lists the rows of the table; each stop has a row of its own.
func pageRows(a *calculator.RunAnswer, unit length.Length) []pageRow {
	rows := make([]pageRow, 0, len(a.Cuts)+a.Summary.CleanCount)
	for i := range a.Cuts {
		c := &a.Cuts[i]
		if c.Purpose == "rezero" {
			rows = append(rows, pageRow{Stop: rezeroWords(a.Used, c, a.Cuts[i-1].Reading)})
			continue
		}
		if c.Purpose == calculator.PurposeRest {
			rows = append(rows, pageRow{Stop: restWords(c, unit)})
			continue
		}
		for _, stop := range c.Stops {
			if stop == calculator.StopClean {
				rows = append(rows, pageRow{Stop: cleanWords})
			}
		}
		r := cutRow(c, *a.Used.Board.Name, unit)
		r.Back = backWords(a.Used, c.Reading)
		rows = append(rows, r)
	}
	return rows
}

// pageMark is a mark without the board's name and the leaf's number, which stand
// elsewhere on the page. The number of another leaf in it stays on one line.
func pageMark(c *calculator.RunCut, board string) string {
	own := fmt.Sprintf("%s no. %d, ", board, c.Leaf)
	return strings.ReplaceAll(strings.TrimPrefix(c.Mark, own), "no. ", "no.\u00a0")
}

// cutRow is the row of a cut.
func cutRow(c *calculator.RunCut, board string, unit length.Length) pageRow {
	r := pageRow{
		Cut: c.Cut, Turns: c.WholeTurns, TurnsWord: plural(c.WholeTurns, "turn"), Divisions: c.Divisions, Reading: c.Reading, Tally: c.TurnTally,
		Position: fixed(c.Position, unit), Thickness: fixed(*c.Thickness, unit), Mark: pageMark(c, board),
	}
	switch {
	case c.Leaf == 0:
		r.Leaf = "Truing cut, scrap"
		return r
	case c.Name != "":
		r.Leaf = fmt.Sprintf("Leaf %d, %s", c.Leaf, c.Name)
	default:
		r.Leaf = fmt.Sprintf("Leaf %d", c.Leaf)
	}
	r.Measured = measuredAt(c.Leaf)
	return r
}

// measuredAt names the six boxes for the thickness of a leaf.
func measuredAt(leaf int) (boxes []string) {
	for _, end := range []string{"first", "last"} {
		for _, height := range []string{"top", "middle", "bottom"} {
			boxes = append(boxes, fmt.Sprintf("Leaf %d, %s end, %s", leaf, end, height))
		}
	}
	return boxes
}
