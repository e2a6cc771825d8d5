package calculator

import (
	"cmp"
	"fmt"

	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/run"
)

// The limits of a run's request.
const (
	MaxRunLeaves    = 10_000
	maxRunEntries   = 100
	maxRunThickness = 10 * length.Metre
	maxRunWidth     = 3 * length.Metre
	maxRunLength    = 30 * length.Metre
	maxRunLeaf      = length.Metre
)

// run is the request for the run sheet of a billet, nil if a run could not hold it. It
// rounds positions, not steps, so that the leaves add up to what the plan counts on.
func (q *PlanRequest) run(board *PlanBoard, b plan.Billet, mark string, price *endpoint.Money) *RunRequest {
	wide, long := b.Width, b.Length
	if wide == 0 {
		wide = endpoint.ValueOr(board.Width, 0)
	}
	if long == 0 {
		long = endpoint.ValueOr(board.Length, 0)
	}
	leaves, ok := q.runLeaves(b, &wide, &long)
	if !ok || wide == 0 || long == 0 || wide > maxRunWidth || long > maxRunLength || *board.Thickness > maxRunThickness {
		return nil
	}
	sheet := &RunRequest{
		Settings: q.Settings,
		Board:    RunBoard{Name: &mark, Species: board.Species, Thickness: board.Thickness, Width: &wide, Length: &long, MoisturePct: board.MoisturePct, Price: price},
		Leaves:   leaves,
		Kerf:     q.Kerf, KerfBasis: q.KerfBasis, KerfMargin: q.KerfMargin, Skim: q.Skim, Fixing: q.Fixing, HoldBack: q.HoldBack,
		Rounding: new("position"), Feed: q.Feed, HandleSeconds: q.HandleSeconds, IndexSeconds: q.IndexSeconds, SetupSeconds: q.SetupSeconds, Margin: q.Margin,
	}
	if bow := b.Skim - *q.Skim; bow > 0 {
		sheet.Board.Bow = &bow
	}
	return sheet
}

// runLeaves lists the leaves of a billet as a run takes them. If the boards are not
// crosscut or not ripped, a copy is as long or as wide as its leaf.
func (q *PlanRequest) runLeaves(b plan.Billet, wide, long *length.Length) ([]RunLeaf, bool) {
	total := 0
	leaves := make([]RunLeaf, len(b.Leaves))
	for i, l := range b.Leaves {
		part := &q.Parts[l.Part]
		total += l.Count
		if *part.Thickness > maxRunLeaf {
			return nil, false
		}
		leaves[i] = RunLeaf{Name: part.Name, Thickness: part.Thickness, Count: &l.Count, Matched: part.Matched}
		if l.EndToEnd > run.MaxPlaces || l.SideBySide > run.MaxPlaces {
			return nil, false
		}
		if l.EndToEnd*l.SideBySide > 1 {
			d := RunDivided{EndToEnd: &l.EndToEnd, SideBySide: &l.SideBySide, Length: cmp.Or(part.Length, long), Width: cmp.Or(part.Width, wide), Kerf: q.LeafKerf}
			leaves[i].Divided = d
		}
	}
	return leaves, total <= MaxRunLeaves && len(leaves) <= maxRunEntries
}

// keepRuns asks for the run sheet of every billet. Requests that are refused are taken
// out, with a warning. It returns what the runs take.
func (a *PlanAnswer) keepRuns(c *endpoint.Call) planWork {
	var marks []string
	work, why := planWork{known: true}, ""
	for _, t := range a.Taken {
		for i := range t.Billets {
			b := &t.Billets[i]
			if b.Run == nil {
				work.known = false
				continue
			}
			answer, err := c.Try(runSheet, b.Run)
			if err != nil {
				work.known = false
				b.Run, marks, why = nil, append(marks, b.Mark), err.Error()
			} else if sheet, ok := answer.(*RunAnswer); ok {
				work.add(sheet, t.Copies)
			}
		}
	}
	if len(marks) > 0 {
		c.Warn(fmt.Sprintf("no run sheet on this saw for %s: %s", rule.FirstOf(marks), why))
	}
	return work
}

var runSheet = endpoint.New("/v1/run", Run)
