package sheet

import (
	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/calc/length"
)

// PlanXLSX is a plan as a workbook: its figures, and the cut list.
var PlanXLSX = endpoint.Whole("xlsx", TypeXLSX, planWorkbook)

func planWorkbook(a *calculator.PlanAnswer, v endpoint.View) ([]byte, error) {
	sheet := planned{a}
	ways, err := breakdowns(a)
	if err != nil {
		return nil, err
	}
	return writeWorkbook(sheet.headline(), a.ID, v.Unit, func(w *workbook) {
		w.add("Plan")
		w.width(1, 26)
		w.width(2, 16)
		for column := 3; column <= 9; column++ {
			w.width(column, 14)
		}
		w.put(1, 1, lookTitle, sheet.headline())
		w.put(1, 2, lookPlain, sheet.verdict())
		w.put(1, 3, lookPlain, "Lengths in "+unitNames[v.Unit]+".")
		row := w.facts(5, append(planFacts(sheet), sheet.priceFacts()...))
		row = w.block(row, "Boards to pull", tableOf(pullRows(sheet)))
		row = w.block(row, "Parts", tableOf(deliveredRows(sheet, v.Unit)))
		row = w.block(row, "Kits, each from one board", tableOf(kitRows(a)))
		row = w.lines(row, 9, "Kits of each board: what to keep together", keptTogether(ways))
		row = w.block(row, "Left over, for the rack", tableOf(a.LeftOver))
		row = w.lines(row, 9, "Notes", sheet.remarks(v.Unit))
		row = w.lines(row, 9, "What would save something (estimates, not plans)", whatIfWords(sheet, v.Unit))
		row = w.lines(row, 9, "Warnings", a.Warnings)
		row = w.lines(row, 9, "Cautions", a.Cautions)
		w.lines(row, 9, "Sources", a.Sources)
		w.add("Cut list")
		w.stream(sheet.headline(), []string{planMachine(a.Used, v.Unit), "Lengths in " + unitNames[v.Unit] + "; from and across say where a billet begins on the face of its board."}, tableOf(a.Table()))
	})
}

// keptTogether lists which leaves go to which kit, for as many kits as a page has of
// one board.
func keptTogether(ways []breakdown) (lines []string) {
	for i := range ways {
		for _, k := range ways[i].kitLines {
			if len(lines) == mostKits {
				return append(lines, "and more: the page has those of every board")
			}
			lines = append(lines, ways[i].way()+", "+k.Name+": "+k.Leaves)
		}
	}
	return lines
}

// planFacts are the figures of a plan.
func planFacts(a planned) []fact {
	unit := a.Currency
	if !a.Priced() {
		unit = "boards"
	}
	list := []fact{{"Cost", a.Cost, unit}}
	if a.worked() {
		list = append(list, fact{"For boards", a.forBoards(), a.Currency}, fact{"For passes and mounting", a.Cost - a.forBoards(), a.Currency})
	}
	return append(list, []fact{
		{"Lower bound", a.LowerBound, unit},
		{"Gap", share(a.Gap), ""},
		{"Boards", a.Stats.BoardCount, ""},
		{"Billets", a.Stats.BilletCount, ""},
		{"Leaves", a.Stats.LeafCount, ""},
		{"Passes", a.Stats.PassCount, ""},
		{"Set-ups", a.Stats.SetupCount, ""},
	}...)
}

// pullRow is a kind of board to take from the rack.
type pullRow struct {
	Board     string          `json:"board"`
	Copies    int             `json:"copies"`
	Thickness *length.Length  `json:"thickness"`
	Width     *length.Length  `json:"width"`
	Length    *length.Length  `json:"length"`
	Price     *endpoint.Money `json:"price"` // nil where no board has one
	Total     *endpoint.Money `json:"total"`
	Species   *string         `json:"species"`
	Sawn      *string         `json:"sawn"`
}

// pullRows lists the boards to take, in the order of the request.
func pullRows(a planned) (rows []pullRow) {
	copies := map[string]int{}
	for _, t := range a.Taken {
		copies[t.Board] += t.Copies
	}
	for i := range a.Used.Boards {
		b := &a.Used.Boards[i]
		n := copies[*b.Name]
		if n == 0 {
			continue
		}
		row := pullRow{Board: *b.Name, Copies: n, Thickness: b.Thickness, Width: b.Width, Length: b.Length, Species: b.Species, Sawn: b.Sawn}
		if a.Priced() {
			row.Price, row.Total = new(b.Cost()), new(b.Cost()*endpoint.Money(n))
		}
		rows = append(rows, row)
	}
	return rows
}

// deliveredRow is what becomes of a part.
type deliveredRow struct {
	Part      string         `json:"part"`
	Wanted    int            `json:"wanted"`
	Thickness *length.Length `json:"thickness"`
	Width     *length.Length `json:"width"`
	Length    *length.Length `json:"length"`
	Delivered int            `json:"delivered"`
	Unmet     int            `json:"unmet"`
}

func deliveredRows(a planned, unit length.Length) []deliveredRow {
	told := partRows(a, unit)
	rows := make([]deliveredRow, len(told))
	for i, r := range told {
		p := &a.Used.Parts[i]
		rows[i] = deliveredRow{r.Name, r.Wanted, p.Thickness, p.Width, p.Length, r.Delivered, r.Unmet}
	}
	return rows
}
