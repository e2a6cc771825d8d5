package plan_test

import (
	"testing"

	"resawd/calc/plan"
)

// made is an order with all that a plan knows, in whole nanometres.
func made(boards int) plan.Order {
	return plan.Order{
		Boards: []plan.Board{{Thickness: 40, Width: 106, Length: 1000, Quantity: boards, Price: 1000}},
		Parts: []plan.Part{
			{Name: "back", Thickness: 4, Width: 80, Length: 300, Quantity: 4, Matched: 2},
			{Name: "tile", Thickness: 2, Width: 20, Length: 100, Quantity: 12, Spare: 1, Divide: true},
			{Name: "strip", Thickness: 1, Width: 9, Length: 300, Quantity: 7, Divide: true},
		},
		Kits: []plan.Kit{
			{Name: "violin", Quantity: 2, Parts: []plan.KitPart{{Part: 0, Quantity: 2}, {Part: 1, Quantity: 3}}},
			{Name: "bow", Quantity: 2, Parts: []plan.KitPart{{Part: 2, Quantity: 2}}},
		},
		Kerf: 1, Skim: 2, HoldBack: 5, RipKerf: 3, CrosscutKerf: 3, LeafKerf: 2, EndTrim: 10,
		PassPrice: 5, PassLength: plan.Rate{Price: 3, Per: 100}, BilletPrice: 7,
		Smallest: plan.Face{Length: 150, Width: 20},
	}
}

// madeTaken is a board of that order: a billet of 304 x 80 for two backs and a leaf of
// 3 x 3 tiles (304 x 64), and one of 304 x 20 for two leaves of two strips side by side.
// It gives one kit of each kind.
func madeTaken(copies int) []plan.Taken {
	return []plan.Taken{{Board: 0, Copies: copies, Kits: []plan.KitCount{{Kit: 0, Count: 1}, {Kit: 1, Count: 1}}, Billets: []plan.Billet{
		{From: 10, Across: 0, Length: 304, Width: 80, Skim: 2, Remainder: 40 - 5 - 3 - 2*5 - 3, Leaves: []plan.Leaves{
			{Part: 0, Count: 2, EndToEnd: 1, SideBySide: 1, TrimLength: 4},
			{Part: 1, Count: 1, EndToEnd: 3, SideBySide: 3, TrimWidth: 16}}},
		{From: 10, Across: 83, Length: 304, Width: 20, Skim: 2, Remainder: 40 - 5 - 3 - 2*2, Leaves: []plan.Leaves{
			{Part: 2, Count: 2, EndToEnd: 1, SideBySide: 2, TrimLength: 4}}},
	}}}
}

// madePlan is a plan by hand. A pass of 304 costs 5 + 3.04 * 3 = 14.12, so that the
// billets cost 4 * 14.12 + 7, rounded 63, and 3 * 14.12 + 7, rounded 49. One board
// leaves a kit of each kind unmet, one tile and one strip.
func madePlan(boards int) *plan.Plan {
	p := &plan.Plan{Status: plan.Optimal, Taken: madeTaken(boards), Cost: int64(boards) * (1000 + 63 + 49)}
	p.LowerBound = p.Cost
	if boards == 1 {
		p.Status = plan.Infeasible
		p.UnmetKits = []plan.UnmetKit{{Kit: 0, Quantity: 1, Reason: plan.StockUsed}, {Kit: 1, Quantity: 1, Reason: plan.StockUsed}}
		p.Unmet = []plan.Unmet{{Part: 0, Quantity: 2, Reason: plan.WithKit}, {Part: 1, Quantity: 3, Reason: plan.WithKit},
			{Part: 1, Quantity: 1, Reason: plan.StockUsed}, {Part: 2, Quantity: 2, Reason: plan.WithKit}, {Part: 2, Quantity: 1, Reason: plan.StockUsed}}
	}
	return p
}

// TestMade: the checker accepts plans by hand of an order with everything, and none
// that is spoiled in one way.
func TestMade(t *testing.T) {
	type spoil func(o *plan.Order, p *plan.Plan)
	leaves := func(p *plan.Plan, billet, n int) *plan.Leaves { return &p.Taken[0].Billets[billet].Leaves[n] }
	for _, c := range []struct {
		name   string
		boards int
		spoil  spoil
	}{
		{"a grid too long", 2, func(_ *plan.Order, p *plan.Plan) { l := leaves(p, 0, 1); l.EndToEnd, l.TrimLength = 4, 304-406 }},
		{"a grid too wide", 2, func(_ *plan.Order, p *plan.Plan) { l := leaves(p, 1, 0); l.SideBySide, l.TrimWidth = 3, 20-31 }},
		{"no copies end to end", 2, func(_ *plan.Order, p *plan.Plan) { leaves(p, 0, 1).EndToEnd = 0 }},
		{"no copies side by side", 2, func(_ *plan.Order, p *plan.Plan) { leaves(p, 0, 1).SideBySide = 0 }},
		{"backwards", 2, func(_ *plan.Order, p *plan.Plan) { l := leaves(p, 0, 1); l.EndToEnd, l.SideBySide = -3, -3 }},
		{"fewer copies, the trim as before", 2, func(_ *plan.Order, p *plan.Plan) { leaves(p, 0, 1).SideBySide = 2 }},
		{"less trim of the length", 2, func(_ *plan.Order, p *plan.Plan) { leaves(p, 1, 0).TrimLength = 3 }},
		{"more trim of the width", 2, func(_ *plan.Order, p *plan.Plan) { leaves(p, 0, 1).TrimWidth = 17 }},
		{"a wider leaf kerf", 2, func(o *plan.Order, _ *plan.Plan) { o.LeafKerf = 3 }},
		{"tiles not to be divided", 2, func(o *plan.Order, _ *plan.Plan) { o.Parts[1].Divide = false }},
		{"strips not to be divided", 2, func(o *plan.Order, _ *plan.Plan) { o.Parts[2].Divide = false }},
		{"a leaf more than is wanted", 2, func(_ *plan.Order, p *plan.Plan) {
			leaves(p, 1, 0).Count++
			p.Taken[0].Billets[1].Remainder -= 2
			p.Cost, p.LowerBound = p.Cost+2*14, p.LowerBound+2*14
		}},
		{"a leaf less", 2, func(_ *plan.Order, p *plan.Plan) {
			leaves(p, 1, 0).Count--
			p.Taken[0].Billets[1].Remainder += 2
			p.Cost, p.LowerBound = p.Cost-2*14, p.LowerBound-2*14
		}},
		{"a leaf of two too many", 2, func(o *plan.Order, _ *plan.Plan) { o.Parts[2].Quantity = 6 }},
		{"a set of three leaves", 2, func(o *plan.Order, _ *plan.Plan) { o.Parts[2].Matched = 3; o.Parts[2].Quantity = 9 }},
		{"a longer smallest billet", 2, func(o *plan.Order, _ *plan.Plan) { o.Smallest.Length = 305 }},
		{"a wider smallest billet", 2, func(o *plan.Order, _ *plan.Plan) { o.Smallest.Width = 21 }},
		{"no work in the cost", 2, func(_ *plan.Order, p *plan.Plan) { p.Cost, p.LowerBound = 2000, 2000 }},
		{"the work rounded board by board", 2, func(_ *plan.Order, p *plan.Plan) { p.Cost--; p.LowerBound-- }},
		{"dearer passes", 2, func(o *plan.Order, _ *plan.Plan) { o.PassPrice++ }},
		{"dearer lengths", 2, func(o *plan.Order, _ *plan.Plan) { o.PassLength.Price++ }},
		{"dearer billets", 2, func(o *plan.Order, _ *plan.Plan) { o.BilletPrice++ }},
		{"one kit more of a board", 2, func(_ *plan.Order, p *plan.Plan) { p.Taken[0].Kits[0].Count++ }},
		{"no such kit", 2, func(_ *plan.Order, p *plan.Plan) { p.Taken[0].Kits[1].Kit = 2 }},
		{"a negative kit", 2, func(_ *plan.Order, p *plan.Plan) { p.Taken[0].Kits[0].Kit = -1 }},
		{"none of a kit", 2, func(_ *plan.Order, p *plan.Plan) { p.Taken[0].Kits[1].Count = 0 }},
		{"a kit twice", 2, func(_ *plan.Order, p *plan.Plan) { p.Taken[0].Kits[1].Kit = 0 }},
		{"kits not said", 2, func(_ *plan.Order, p *plan.Plan) { p.Taken[0].Kits = nil }},
		{"more kits wanted", 2, func(o *plan.Order, _ *plan.Plan) { o.Kits[1].Quantity = 3 }},
		{"fewer kits wanted", 2, func(o *plan.Order, _ *plan.Plan) { o.Kits[1].Quantity = 1 }},
		{"a kit of more than the board gives", 2, func(o *plan.Order, _ *plan.Plan) { o.Kits[0].Parts[1].Quantity = 10 }},
		{"kits that share a board's leaves", 2, func(o *plan.Order, _ *plan.Plan) {
			o.Kits[1].Parts = append(o.Kits[1].Parts, plan.KitPart{Part: 0, Quantity: 2})
		}},
		{"a kit unmet, though given", 2, func(_ *plan.Order, p *plan.Plan) { p.UnmetKits = []plan.UnmetKit{{Kit: 0, Quantity: 1}} }},
		{"an unmet kit not said", 1, func(_ *plan.Order, p *plan.Plan) { p.UnmetKits = p.UnmetKits[:1] }},
		{"two unmet kits", 1, func(_ *plan.Order, p *plan.Plan) { p.UnmetKits[0].Quantity = 2 }},
		{"no unmet kits", 1, func(_ *plan.Order, p *plan.Plan) { p.UnmetKits[0].Quantity = 0 }},
		{"an unmet kit twice", 1, func(_ *plan.Order, p *plan.Plan) { p.UnmetKits[1].Kit = 0 }},
		{"an unmet kit that is unknown", 1, func(_ *plan.Order, p *plan.Plan) { p.UnmetKits[1].Kit = 2 }},
		{"an unmet part of a kit not said", 1, func(_ *plan.Order, p *plan.Plan) { p.Unmet = p.Unmet[1:] }},
		{"unmet for another reason than its kit", 1, func(_ *plan.Order, p *plan.Plan) { p.Unmet[0].Reason = plan.StockUsed }},
		{"unmet with a kit, though by itself", 1, func(_ *plan.Order, p *plan.Plan) { p.Unmet[1].Quantity, p.Unmet[2].Quantity = 2, 2 }},
		{"the kit's unmet part last", 1, func(_ *plan.Order, p *plan.Plan) { p.Unmet[1], p.Unmet[2] = p.Unmet[2], p.Unmet[1] }},
		{"unmet twice by itself", 1, func(_ *plan.Order, p *plan.Plan) { p.Unmet[1].Reason = plan.StockUsed }},
		{"a part unmet that is there", 1, func(_ *plan.Order, p *plan.Plan) { p.Unmet[2].Quantity++ }},
		{"an unmet part not said", 1, func(_ *plan.Order, p *plan.Plan) { p.Unmet = p.Unmet[:4] }},
		{"half a set unmet", 1, func(o *plan.Order, _ *plan.Plan) { o.Parts[1].Matched = 13; o.Kits = o.Kits[1:] }},
		{"feasible, with a kit unmet", 1, func(_ *plan.Order, p *plan.Plan) { p.Status = plan.Feasible }},
	} {
		o, p := made(c.boards), madePlan(c.boards)
		if faults := plan.Validate(o); len(faults) > 0 {
			t.Fatal(faults)
		}
		if err := plan.Check(o, p); err != nil {
			t.Fatal(err)
		}
		if c.spoil(&o, p); plan.Check(o, p) == nil {
			t.Errorf("%s: accepted", c.name)
		}
	}
}
