package calculator

import (
	"fmt"
	"slices"
	"strings"

	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/wood"
)

// planAnswer tells a plan on the wire.
func planAnswer(c *endpoint.Call, q *PlanRequest, p *plan.Plan) *PlanAnswer {
	a := &PlanAnswer{
		Status: string(p.Status), StoppedBy: string(p.StoppedBy), Cost: endpoint.Money(p.Cost), LowerBound: endpoint.Money(p.LowerBound), Gap: p.Gap,
		Currency: c.Shop.Currency, UnmetProven: p.UnmetProven, Used: q,
		Stats: PlanStats{
			Work: int(p.Stats.Work), Patterns: p.Stats.Patterns,
			BoardCount: p.Stats.Boards, BilletCount: p.Stats.Billets, SetupCount: p.Stats.Setups,
			MemoryFull: p.Stats.MemoryFull,
		},
	}
	ways := map[int]int{} // ways that each board is cut so far
	for _, t := range p.Taken {
		a.Taken = append(a.Taken, q.taken(t, ways[t.Board]))
		ways[t.Board]++
		for _, b := range t.Billets {
			for _, l := range b.Leaves {
				a.Stats.LeafCount += t.Copies * l.Count
			}
		}
	}
	for _, u := range p.Unmet {
		a.Unmet = append(a.Unmet, PlanUnmet{*q.Parts[u.Part].Name, u.Quantity})
	}
	a.Cautions = planCautions(q.takenSpecies(p)...)
	for _, w := range p.WhatIf {
		a.WhatIf = append(a.WhatIf, whatIf(c, q, w))
	}
	return a
}

// taken tells boards that are cut alike, in the nth way of their kind.
func (q *PlanRequest) taken(t plan.Taken, nth int) PlanTaken {
	board := &q.Boards[t.Board]
	out := PlanTaken{Board: *board.Name, Copies: t.Copies}
	for i, b := range t.Billets {
		billet := PlanBillet{
			Mark: fmt.Sprintf("%s %s%d", *board.Name, letters(nth), i+1), From: b.From, Across: b.Across, Length: b.Length, Width: b.Width,
			Skim: b.Skim, Remainder: b.Remainder, Tight: b.Tight,
		}
		for _, l := range b.Leaves {
			part := &q.Parts[l.Part]
			billet.Leaves = append(billet.Leaves, PlanLeaf{*part.Name, l.Count, *part.Thickness, l.TrimLength, l.TrimWidth})
		}
		billet.Run = q.run(board, b, billet.Mark)
		out.Billets = append(out.Billets, billet)
	}
	return out
}

// letters counts A, B, ..., Z, AA, AB and so on.
func letters(n int) string {
	text := string(rune('A' + n%26))
	if n >= 26 {
		return letters(n/26-1) + text
	}
	return text
}

// whatIf tells an estimate, with whatever of the shop has the value tried.
func whatIf(c *endpoint.Call, q *PlanRequest, w plan.WhatIf) PlanWhatIf {
	out := PlanWhatIf{Change: wired.Replace(string(w.Change)), SavingEstimate: endpoint.Money(w.Saving)}
	switch w.Change {
	case plan.ExtraBoard:
		out.Board = *q.Boards[w.Board].Name
	case plan.OtherKerf:
		out.Kerf = &w.Value
		for _, b := range c.Shop.Blades {
			if *b.Kerf == w.Value && out.Blade == "" {
				out.Blade = b.Name
			}
		}
	case plan.OtherHoldBack:
		out.HoldBack = &w.Value
		for _, f := range c.Shop.Fixings {
			if *f.HoldBack == w.Value && out.Fixing == "" {
				out.Fixing = f.Name
			}
		}
	}
	return out
}

// PlanRow is a row of the cut list: neighbouring leaves of a part in a billet, or
// at the end a part that is unmet.
type PlanRow struct {
	Board      string         `json:"board,omitzero"`
	Copies     int            `json:"copies,omitzero"`
	Billet     string         `json:"billet,omitzero"`
	From       *length.Length `json:"from,omitzero"`
	Across     *length.Length `json:"across,omitzero"`
	Length     length.Length  `json:"length,omitzero"`
	Width      length.Length  `json:"width,omitzero"`
	Part       string         `json:"part"`
	Count      int            `json:"count,omitzero"`
	Thickness  *length.Length `json:"thickness,omitzero"`
	TrimLength *length.Length `json:"trim_length,omitzero"`
	TrimWidth  *length.Length `json:"trim_width,omitzero"`
	Remainder  *length.Length `json:"remainder,omitzero"`
	Tight      *bool          `json:"tight,omitzero"`
	Unmet      int            `json:"unmet,omitzero"`
}

// Table is the cut list.
func (a *PlanAnswer) Table() any {
	rows := []PlanRow{}
	for _, t := range a.Taken {
		for i := range t.Billets {
			b := &t.Billets[i]
			for j := range b.Leaves {
				l := &b.Leaves[j]
				rows = append(rows, PlanRow{
					Board: t.Board, Copies: t.Copies, Billet: b.Mark, From: &b.From, Across: &b.Across, Length: b.Length, Width: b.Width,
					Part: l.Part, Count: l.Count, Thickness: &l.Thickness, TrimLength: &l.TrimLength, TrimWidth: &l.TrimWidth,
					Remainder: &b.Remainder, Tight: &b.Tight,
				})
			}
		}
	}
	for _, u := range a.Unmet {
		rows = append(rows, PlanRow{Part: u.Part, Unmet: u.Quantity})
	}
	return rows
}

// warnPlan says what in a plan is worth a look.
func warnPlan(c *endpoint.Call, q *PlanRequest, a *PlanAnswer) {
	a.keepRuns(c)
	if marks := a.tight(); len(marks) > 0 {
		c.Warn(fmt.Sprintf("%s, these billets give fewer leaves; saw them first, and measure as you go: %s", q.margins(c), rule.FirstOf(marks)))
	}
	if species := q.unknownSpecies(); len(species) > 0 {
		c.Warn("not among the woods known here, so only their names are compared: " + rule.FirstOf(species))
	}
	if a.Status == string(plan.Infeasible) {
		c.Warn("the boards do not give every part; what is missing is listed")
	}
	if a.Stats.MemoryFull && a.StoppedBy != string(plan.ByProof) {
		c.Warn("the search ran out of the memory that a plan may use, and some ways of cutting were not weighed: there may be a cheaper plan that more time will not find; an order of fewer parts or boards may be proven")
	}
	if *q.HoldBack == 0 {
		c.Warn("nothing is held back: the last cut runs along the fence itself, and the fixing must allow that")
	}
}

// margins tells how far off boards and kerfs may be.
func (q *PlanRequest) margins(c *endpoint.Call) string {
	var off []string
	if *q.ThicknessMargin > 0 {
		off = append(off, "boards "+c.Show(*q.ThicknessMargin)+" thinner")
	}
	if *q.KerfMargin > 0 {
		off = append(off, "kerfs "+c.Show(*q.KerfMargin)+" wider")
	}
	return "with " + strings.Join(off, " and ")
}

// tight lists the marks of the tight billets.
func (a *PlanAnswer) tight() (marks []string) {
	for _, t := range a.Taken {
		for _, b := range t.Billets {
			if b.Tight {
				marks = append(marks, b.Mark)
			}
		}
	}
	return marks
}

// takenSpecies lists the woods of the boards that a plan takes, each once.
func (q *PlanRequest) takenSpecies(p *plan.Plan) (names []string) {
	for _, t := range p.Taken {
		name := q.Boards[t.Board].Species
		if name != nil && !slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(n, *name) }) {
			names = append(names, *name)
		}
	}
	return names
}

// unknownSpecies lists the species that the table does not have.
func (q *PlanRequest) unknownSpecies() (names []string) {
	seen := map[string]bool{}
	note := func(name *string) {
		if name == nil || seen[strings.ToLower(*name)] {
			return
		}
		seen[strings.ToLower(*name)] = true
		if len(wood.Meant(*name)) == 0 {
			names = append(names, *name)
		}
	}
	for i := range q.Boards {
		note(q.Boards[i].Species)
	}
	for i := range q.Parts {
		note(q.Parts[i].Species)
	}
	return names
}
