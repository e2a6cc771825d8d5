package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/calc/length"
)

// The forms of a plan beside those that all calculators have.
var (
	PlanHTML = endpoint.Whole("html", TypeHTML, planSheet)
	PlanSVG  = endpoint.Whole("svg", TypeSVG, planDrawingOf)
)

// How much a page shows of a plan, however large. The cuts and billets of every board
// are on it.
const (
	mostPictured = 200 // ways to cut a board with drawings
	mostLabels   = 240
	mostKits     = 200   // of one board, whose leaves are told
	mostSheets   = 60    // run sheets behind the plan
	mostCuts     = 1_500 // on them
)

// planPage is what plan.html shows.
type planPage struct {
	planned
	Name     string // what is cut, at what cost
	Verdict  string
	Remarks  []string
	Machine  string
	UnitIn   string
	Figures  []figure
	Pull     []pulled
	Parts    []partRow
	Kits     []kitRow
	Left     []leftRow
	Changes  []string
	Ways     []wayPage
	Labels   []billetLabel
	Unlisted int           // labels
	Rack     []billetLabel // for what is left over
	Unracked int
	Title    string
	Sheets   []billetSheet
}

// billetSheet is the run sheet of a billet, behind its plan.
type billetSheet struct {
	Anchor, Copies string
	runPage
}

// pulled is a kind of board to take from the rack.
type pulled struct {
	Name, Size   string
	Copies       int
	Price, Total string
	Ways         []wayLink
}

// wayLink leads to the page of a way to cut a board.
type wayLink struct{ ID, Text string }

// partRow is what becomes of a part.
type partRow struct {
	Name, Size               string
	Wanted, Delivered, Unmet int
}

// wayPage is the page of boards that are cut alike.
type wayPage struct {
	ID, Head, Size string
	Copies         int
	Face           *faceFigure
	Steps          []string
	Rows           []billetRow
	Kits           []kitLine
	Ends           []endFigure
	More           []string
}

// faceFigure is a face on a page.
type faceFigure struct {
	ID string
	face
}

// endFigure is an end view on a page, and the leaves of its billets.
type endFigure struct {
	ID string
	endView
}

// billetRow is a billet and what comes of it.
type billetRow struct {
	Mark, Size    string
	Trued         string   // the truing cut and what remains
	Leaves        []string // in the order they are sawn
	Tight         string
	Sheet         string // the ID of its run sheet on this page
	Link, Request string // to its run sheet elsewhere; one or the other, or neither
}

// billetLabel is what to write on a billet, or to paste on it.
type billetLabel struct{ Mark, Size, Leaves, Kits, Copy string }

// planSheet renders the plan as a page.
func planSheet(a *calculator.PlanAnswer, v endpoint.View) ([]byte, error) {
	sheet := planned{a}
	ways, err := breakdowns(a)
	if err != nil {
		return nil, err
	}
	p := planPage{
		planned: sheet, Name: sheet.headline(), Verdict: sheet.verdict(), Remarks: sheet.remarks(v.Unit), Machine: planMachine(sheet.Used, v.Unit), UnitIn: unitNames[v.Unit],
		Figures: planFigures(sheet), Pull: pulledBoards(sheet, ways, v.Unit), Parts: partRows(sheet, v.Unit),
		Kits: kitRows(a), Left: leftRows(sheet, v.Unit), Changes: whatIfWords(sheet, v.Unit),
	}
	places := mostPlaces
	for i := range ways {
		w, err := wayPageOf(&ways[i], i, &places, v.Unit)
		if err != nil {
			return nil, err
		}
		p.Ways = append(p.Ways, w)
	}
	p.Labels, p.Unlisted = labelsOf(ways, v.Unit)
	p.Rack, p.Unracked = leftLabels(sheet, v.Unit, mostLabels)
	p.Title = "Plan: " + p.Name + ", ID " + a.ID
	if err := p.sheets(a, ways, v.Unit); err != nil {
		return nil, err
	}
	return Page("plan.html", p)
}

// planMachine says what every billet loses.
func planMachine(q *calculator.PlanRequest, unit length.Length) string {
	in := " " + rule.UnitName(unit)
	return fmt.Sprintf("kerf %s, skim %s, hold-back %s, rip kerf %s, crosscut kerf %s, end trim %s",
		fixed(*q.Kerf, unit)+in, fixed(*q.Skim, unit), fixed(*q.HoldBack, unit), fixed(*q.RipKerf, unit), fixed(*q.CrosscutKerf, unit), fixed(*q.EndTrim, unit))
}

// sheets puts the run sheets of the first billets behind the plan, as many as
// its limits allow.
func (p *planPage) sheets(a *calculator.PlanAnswer, ways []breakdown, unit length.Length) error {
	cuts := 0
	for i := range ways {
		for j := range ways[i].Billets {
			bl := &ways[i].Billets[j]
			if bl.Run == nil {
				continue
			}
			sheet, err := a.RunSheet(bl)
			if err != nil { // the saw cannot take it; the request for it says why
				continue
			}
			if cuts += len(sheet.Cuts); cuts > mostCuts || len(p.Sheets) == mostSheets {
				return nil
			}
			id := "run-" + strconv.Itoa(len(p.Sheets)+1)
			page, err := runPageOf(sheet, unit, id+"-")
			if err != nil {
				return err
			}
			s := billetSheet{Anchor: id, runPage: page}
			s.Within = " " + id
			if n := ways[i].Copies; n > 1 {
				s.Copies = fmt.Sprintf("%d boards are cut alike: print this sheet for the billet of each.", n)
			}
			p.Sheets = append(p.Sheets, s)
			p.Ways[i].Rows[j].Sheet = id
		}
	}
	return nil
}

// sizeWords lists the sizes that are known.
func sizeWords(unit length.Length, sizes ...*length.Length) string {
	var words []string
	for _, s := range sizes {
		if s != nil && *s > 0 {
			words = append(words, fixed(*s, unit))
		}
	}
	return strings.Join(words, " x ")
}

// pulledBoards lists the boards to take, each kind once.
func pulledBoards(a planned, ways []breakdown, unit length.Length) (list []pulled) {
	known := map[string]int{}
	for i := range ways {
		b := &ways[i]
		at, ok := known[b.Board]
		if !ok {
			at = len(list)
			known[b.Board] = at
			list = append(list, pulled{Name: b.Board, Size: boardWords(b.board, unit), Price: a.cash(b.board.Cost())})
		}
		list[at].Copies += b.Copies
		list[at].Ways = append(list[at].Ways, wayLink{wayID(i), strings.TrimPrefix(b.way(), b.Board+" ") + " (" + count(b.Copies, "board") + ")"})
		list[at].Total = a.cash(b.board.Cost() * endpoint.Money(list[at].Copies))
	}
	return list
}

func boardWords(b *calculator.PlanBoard, unit length.Length) string {
	text := sizeWords(unit, b.Thickness, b.Width, b.Length) + " " + rule.UnitName(unit)
	if b.Species != nil {
		text += ", " + *b.Species
	}
	if b.Sawn != nil {
		text += ", " + *b.Sawn + " sawn"
	}
	return text
}

func wayID(i int) string { return "board-" + strconv.Itoa(i+1) }

// partRows lists what becomes of each part.
func partRows(a planned, unit length.Length) []partRow {
	delivered, unmet := map[string]int{}, map[string]int{}
	for _, t := range a.Taken {
		for _, b := range t.Billets {
			for _, l := range b.Leaves {
				delivered[l.Part] += t.Copies * l.Count
			}
		}
	}
	for _, u := range a.Unmet {
		unmet[u.Part] += u.Quantity
	}
	rows := make([]partRow, len(a.Used.Parts))
	for i := range a.Used.Parts {
		p := &a.Used.Parts[i]
		rows[i] = partRow{*p.Name, sizeWords(unit, p.Thickness, p.Width, p.Length), *p.Quantity + *p.Spare, delivered[*p.Name], unmet[*p.Name]}
	}
	return rows
}

// wayPageOf fills in the page of a way of cutting a board.
func wayPageOf(b *breakdown, i int, places *int, unit length.Length) (w wayPage, err error) {
	w = wayPage{ID: wayID(i), Head: b.way(), Size: boardWords(b.board, unit), Copies: b.Copies, Steps: b.cutSteps(unit), Kits: b.kitLines, More: []string{"Not drawn."}}
	if i < mostPictured {
		err = w.picture(b, places, unit)
	}
	for j := range b.Billets {
		w.Rows = append(w.Rows, b.row(&b.Billets[j], unit))
	}
	return w, err
}

// picture draws the face, the end views and the leaves.
func (w *wayPage) picture(b *breakdown, places *int, unit length.Length) (err error) {
	if b.hasFace() {
		w.Face = &faceFigure{w.ID + "-face", drawFace(b, unit)}
	}
	var ends []endView
	ends, w.More, err = drawEnds(b, places, unit)
	for j, e := range ends {
		id := w.ID + "-end-" + strconv.Itoa(j+1)
		for n := range e.Leaves {
			e.Leaves[n].ID = id + "-leaf-" + strconv.Itoa(n+1)
		}
		w.Ends = append(w.Ends, endFigure{id, e})
	}
	return err
}

// row describes a billet and what comes of it.
func (b *breakdown) row(bl *calculator.PlanBillet, unit length.Length) billetRow {
	r := billetRow{Mark: bl.Mark, Size: b.billetSize(bl, unit), Leaves: b.leafLines(bl, unit), Trued: "no truing cut"}
	if bl.Skim > 0 {
		r.Trued = "truing cut " + fixed(bl.Skim, unit) + " deep"
	}
	r.Trued += ", remainder " + fixed(bl.Remainder, unit)
	if bl.Tight {
		r.Tight = "Tight: less than " + fixed(*b.used.ThicknessMargin, unit) + " to spare. Saw it first, measure as you go."
	}
	if bl.Run != nil {
		if link, ok := runLink(bl.Run, unit); ok {
			r.Link = link
		} else {
			r.Request = runRequestText(bl.Run, unit)
		}
	}
	return r
}

// billetSize is the sizes of a billet: thickness, width and length.
func (b *breakdown) billetSize(bl *calculator.PlanBillet, unit length.Length) string {
	along, across := b.along(bl), b.across(bl)
	long, wide := along.To-along.From, across.To-across.From
	return sizeWords(unit, b.board.Thickness, &wide, &long)
}

// leafLines lists the leaves of a billet, one line a part.
func (b *breakdown) leafLines(bl *calculator.PlanBillet, unit length.Length) []string {
	lines := make([]string, len(bl.Leaves))
	for i, l := range bl.Leaves {
		lines[i] = fmt.Sprintf("%d x %s, %s%s", l.LeafCount, l.Part, fixed(l.Thickness, unit), dividedWords(&l))
		if n := b.sets[l.Part]; n > 1 {
			lines[i] += ", in matched sets of " + strconv.Itoa(n)
		}
		lines[i] += trimWords(l, unit)
	}
	return lines
}

// dividedWords say what each leaf is divided into; they are empty if it is not.
func dividedWords(l *calculator.PlanLeaf) string {
	if l.EndToEnd*l.SideBySide == 1 {
		return ""
	}
	return fmt.Sprintf(", each into %d x %d (end to end x side by side): %d in all", l.EndToEnd, l.SideBySide, l.Count)
}

// trimWords say how much larger than its part a leaf comes.
func trimWords(l calculator.PlanLeaf, unit length.Length) string {
	var more []string
	if l.TrimLength > 0 {
		more = append(more, fixed(l.TrimLength, unit)+" longer")
	}
	if l.TrimWidth > 0 {
		more = append(more, fixed(l.TrimWidth, unit)+" wider")
	}
	if len(more) == 0 {
		return ""
	}
	than := "the part"
	if l.EndToEnd*l.SideBySide > 1 {
		than = "its copies"
	}
	return "; comes off " + strings.Join(more, " and ") + " than " + than + ": trim it"
}

// labelsOf lists a label for every billet of every copy, or the first of many, and
// returns how many are left out.
func labelsOf(ways []breakdown, unit length.Length) (labels []billetLabel, rest int) {
	for i := range ways {
		b := &ways[i]
		for copied := range b.Copies {
			if len(labels) >= mostLabels {
				rest += (b.Copies - copied) * len(b.Billets)
				break
			}
			for j := range b.Billets {
				labels = append(labels, b.label(&b.Billets[j], copied, unit))
			}
		}
	}
	return labels[:min(len(labels), mostLabels)], rest + max(0, len(labels)-mostLabels)
}

func (b *breakdown) label(bl *calculator.PlanBillet, copied int, unit length.Length) billetLabel {
	l := billetLabel{Mark: bl.Mark, Size: b.billetSize(bl, unit), Leaves: leavesWords(bl, unit), Kits: strings.Join(b.owners[keptPlace{billet: bl, stack: wholeBillet}], ", ")}
	if b.Copies > 1 {
		l.Copy = fmt.Sprintf("board %d of %d", copied+1, b.Copies)
	}
	return l
}

// runLink is the address of a run sheet; ok is false if a query cannot hold the
// request, because it has a list of leaves or matched sets.
func runLink(q *calculator.RunRequest, unit length.Length) (address string, ok bool) {
	if len(q.Leaves) != 1 || endpoint.ValueOr(q.Leaves[0].Matched, 1) > 1 {
		return "", false
	}
	simple := *q
	simple.LeafThickness, simple.LeafCount, simple.Leaves = q.Leaves[0].Thickness, q.Leaves[0].Count, nil
	values := endpoint.QueryOf(&simple, unit)
	values.Set("format", "html")
	return "/v1/run?" + values.Encode(), true
}

// runRequestText is the request for a run sheet as a body to send.
func runRequestText(q *calculator.RunRequest, unit length.Length) string {
	body := jsontext.Value(endpoint.JSONOf(q, unit))
	if body.Indent(jsontext.WithIndent(" ")) != nil {
		return "" // what the encoder writes is JSON
	}
	return string(body)
}
