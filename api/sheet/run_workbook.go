package sheet

import (
	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/api/rule"
)

// RunXLSX is a run sheet as a workbook: the cuts, and everything around them.
var RunXLSX = endpoint.Whole("xlsx", TypeXLSX, runWorkbook)

func runWorkbook(a *calculator.RunAnswer, v endpoint.View) ([]byte, error) {
	svg, err := Page("run.svg", endViewOf(a, v.Unit))
	if err != nil {
		return nil, err
	}
	name := *a.Used.Board.Name
	return writeWorkbook(name, a.ID, v.Unit, func(w *workbook) {
		below := []string{boardSize(&a.Used.Board, v.Unit) + "; " + machineOf(a.Used), "Lengths in " + unitNames[v.Unit] + "; reading, turn tally and position are after the move."}
		w.add("Run")
		w.width(1, 26)
		w.width(2, 16)
		w.width(3, 12)
		w.put(1, 1, lookTitle, name)
		w.picture(5, 2, svg, "End view of "+printable(name)+" on its fence")
		row := w.facts(2, runFacts(a, rule.UnitName(v.Unit)))
		row = w.lines(row, 12, "Warnings", a.Warnings)
		row = w.lines(row, 12, "Cautions", a.Cautions) // before the first step
		row = w.lines(row, 12, "Before the first cut", numbered(a.Setup))
		row = w.lines(row, 12, "At every cut", numbered(a.PerCut))
		row = w.lines(row, 12, "After the last leaf", numbered(a.After))
		w.lines(row, 12, "Sources", a.Sources)
		w.add("Cuts")
		w.stream(name, below, tableOf(a.Table()))
	})
}

// runFacts are the figures of a run.
func runFacts(a *calculator.RunAnswer, unit string) []fact {
	s, q := &a.Summary, a.Used
	speed := "m/min"
	if unit == "in" {
		speed = "ft/min"
	}
	return []fact{
		{"Leaves", s.LeafCount, ""},
		{"Cuts", s.CutCount, ""},
		{"Stops to clean", s.CleanCount, ""},
		{"Stops to re-zero", s.RezeroCount, ""},
		{"Cutting", elapsed(s.CuttingSeconds), "h:mm:ss"},
		{"Kerf", *q.Kerf, unit},
		{"Skim", *q.Skim, unit},
		{"Hold-back", *q.HoldBack, unit},
		{"Lead", *q.Lead, unit},
		{"Divisions per turn", *q.DivisionsPerTurn, ""},
		{"Start reading", *q.StartReading, ""},
		{"Feed", *q.Feed, unit + "/min"},
		{"Blade speed", s.Speed, speed},
		{"Teeth per inch", *q.TPI, ""},
		{"Left on the fence", s.LeftOnFence, unit},
		{"Recovery", share(s.Recovery), ""},
		{"A leaf is off by", s.LeafDeviation, unit + " at most"},
		{"A position is off by", s.PositionDeviation, unit + " at most"},
	}
}
