package calculator

import (
	"fmt"
	"slices"

	"resawd/api/endpoint"
	"resawd/calc/plan"
)

// planAnswer turns a plan into the answer.
func planAnswer(c *endpoint.Call, q *PlanRequest, p *plan.Plan) *PlanAnswer {
	a := &PlanAnswer{
		Status: string(p.Status), StoppedBy: string(p.StoppedBy), Cost: endpoint.Money(p.Cost), LowerBound: endpoint.Money(p.LowerBound), Gap: p.Gap,
		Currency: c.Shop.Currency, UnmetProven: p.UnmetProven, Used: q,
		Stats: PlanStats{
			Work: int(p.Stats.Work), Patterns: p.Stats.Patterns,
			BoardCount: p.Stats.Boards, BilletCount: p.Stats.Billets, PassCount: p.Stats.Passes, SetupCount: p.Stats.Setups,
			MemoryFull: p.Stats.MemoryFull,
		},
	}
	ways := map[int]int{} // how many ways of cutting each board there are so far
	for _, t := range p.Taken {
		a.Taken = append(a.Taken, q.taken(t, ways[t.Board]))
		ways[t.Board]++
		for _, b := range t.Billets {
			for _, l := range b.Leaves {
				a.Stats.LeafCount += t.Copies * l.Count
			}
		}
	}
	a.LeftOver, a.Unmet = q.leftOver(p), q.unmet(p)
	a.Cautions = append(q.smallCautions(c), planCautions(a.divides(), q.takenSpecies(p)...)...)
	for _, w := range p.WhatIf {
		a.WhatIf = append(a.WhatIf, whatIf(c, q, w))
	}
	return a
}

// divides reports whether the plan divides leaves.
func (a *PlanAnswer) divides() bool {
	for _, t := range a.Taken {
		for _, b := range t.Billets {
			if slices.ContainsFunc(b.Leaves, func(l PlanLeaf) bool { return l.EndToEnd*l.SideBySide > 1 }) {
				return true
			}
		}
	}
	return false
}

// taken turns boards that are cut alike into their answer; nth counts the ways in which
// their kind is cut.
func (q *PlanRequest) taken(t plan.Taken, nth int) PlanTaken {
	board := &q.Boards[t.Board]
	out := PlanTaken{Board: *board.Name, Copies: t.Copies, Kits: q.kitCounts(t.Kits)}
	prices := q.billetPrices(t)
	for i, b := range t.Billets {
		billet := PlanBillet{
			Mark: fmt.Sprintf("%s %s%d", *board.Name, letters(nth), i+1), From: b.From, Across: b.Across, Length: b.Length, Width: b.Width,
			Skim: b.Skim, Remainder: b.Remainder, Tight: b.Tight,
		}
		for _, l := range b.Leaves {
			part := &q.Parts[l.Part]
			billet.Leaves = append(billet.Leaves, PlanLeaf{*part.Name, l.Count, l.EndToEnd, l.SideBySide, l.Copies(), *part.Thickness, l.TrimLength, l.TrimWidth})
		}
		billet.Run = q.run(board, b, billet.Mark, prices[i])
		out.Billets = append(out.Billets, billet)
	}
	return out
}

// leftOver lists what can be put back on the rack.
func (q *PlanRequest) leftOver(p *plan.Plan) (list []PlanLeftOver) {
	for _, l := range p.LeftOver {
		board := &q.Boards[l.Board]
		piece := PlanLeftOver{
			Board: *board.Name, Copies: l.Copies, Kind: string(l.Kind),
			Thickness: l.Thickness, Width: l.Width, Length: l.Length, TooThin: l.TooThin,
		}
		if board.Price != nil {
			piece.Value = endpoint.Money(l.Value)
		}
		list = append(list, piece)
	}
	return list
}

// letters counts A, B, ..., Z, AA, AB and so on.
func letters(n int) string {
	text := string(rune('A' + n%26))
	if n >= 26 {
		return letters(n/26-1) + text
	}
	return text
}

// whatIf turns an estimate into its answer, with what in the shop has the value that
// was tried.
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
