package plan_test

import (
	"strings"
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
// that is spoiled in one way, for that reason.
func TestMade(t *testing.T) {
	type spoil func(o *plan.Order, p *plan.Plan)
	leaves := func(p *plan.Plan, billet, n int) *plan.Leaves { return &p.Taken[0].Billets[billet].Leaves[n] }
	for _, c := range []struct {
		name, why string
		boards    int
		spoil     spoil
	}{
		{"a grid too long", "trim of part 1 is -102 by 16", 2, func(_ *plan.Order, p *plan.Plan) { l := leaves(p, 0, 1); l.EndToEnd, l.TrimLength = 4, 304-406 }},
		{"a grid too wide", "trim of part 2 is 4 by -11", 2, func(_ *plan.Order, p *plan.Plan) { l := leaves(p, 1, 0); l.SideBySide, l.TrimWidth = 3, 20-31 }},
		{"no copies end to end", "leaves of part 1 are divided 0 by 3", 2, func(_ *plan.Order, p *plan.Plan) { leaves(p, 0, 1).EndToEnd = 0 }},
		{"no copies side by side", "leaves of part 1 are divided 3 by 0", 2, func(_ *plan.Order, p *plan.Plan) { leaves(p, 0, 1).SideBySide = 0 }},
		{"backwards", "leaves of part 1 are divided -3 by -3", 2, func(_ *plan.Order, p *plan.Plan) { l := leaves(p, 0, 1); l.EndToEnd, l.SideBySide = -3, -3 }},
		{"fewer copies, the trim as before", "trim of part 1 is 0 by 16", 2, func(_ *plan.Order, p *plan.Plan) { leaves(p, 0, 1).SideBySide = 2 }},
		{"less trim of the length", "trim of part 2 is 3 by 0", 2, func(_ *plan.Order, p *plan.Plan) { leaves(p, 1, 0).TrimLength = 3 }},
		{"more trim of the width", "trim of part 1 is 0 by 17", 2, func(_ *plan.Order, p *plan.Plan) { leaves(p, 0, 1).TrimWidth = 17 }},
		{"a wider leaf kerf", "trim of part 1 is 0 by 16", 2, func(o *plan.Order, _ *plan.Plan) { o.LeafKerf = 3 }},
		{"tiles not to be divided", "leaves of part 1 are divided 3 by 3", 2, func(o *plan.Order, _ *plan.Plan) { o.Parts[1].Divide = false }},
		{"strips not to be divided", "leaves of part 2 are divided 1 by 2", 2, func(o *plan.Order, _ *plan.Plan) { o.Parts[2].Divide = false }},
		{"a leaf more than is wanted", "part 2: 12 copies cut or unmet, 7 wanted", 2, func(_ *plan.Order, p *plan.Plan) {
			leaves(p, 1, 0).Count++
			p.Taken[0].Billets[1].Remainder -= 2
			p.Cost, p.LowerBound = p.Cost+2*14, p.LowerBound+2*14
		}},
		{"a leaf less", "part 2: 4 copies cut or unmet, 7 wanted", 2, func(_ *plan.Order, p *plan.Plan) {
			leaves(p, 1, 0).Count--
			p.Taken[0].Billets[1].Remainder += 2
			p.Cost, p.LowerBound = p.Cost-2*14, p.LowerBound-2*14
		}},
		{"a leaf of two too many", "part 2: 8 copies cut or unmet, 6 wanted", 2, func(o *plan.Order, _ *plan.Plan) { o.Parts[2].Quantity = 6 }},
		{"a set of three leaves", "2 leaves of part 2 break a set of 3", 2, func(o *plan.Order, _ *plan.Plan) { o.Parts[2].Matched = 3; o.Parts[2].Quantity = 9 }},
		{"a longer smallest billet", "304 by 80 is below the smallest billet", 2, func(o *plan.Order, _ *plan.Plan) { o.Smallest.Length = 305 }},
		{"a wider smallest billet", "304 by 20 is below the smallest billet", 2, func(o *plan.Order, _ *plan.Plan) { o.Smallest.Width = 21 }},
		{"no work in the cost", "boards and work cost 2224, not 2000", 2, func(_ *plan.Order, p *plan.Plan) { p.Cost, p.LowerBound = 2000, 2000 }},
		{"the work rounded board by board", "boards and work cost 2224, not 2223", 2, func(_ *plan.Order, p *plan.Plan) { p.Cost--; p.LowerBound-- }},
		{"dearer passes", "boards and work cost 2238, not 2224", 2, func(o *plan.Order, _ *plan.Plan) { o.PassPrice++ }},
		{"dearer lengths", "boards and work cost 2268, not 2224", 2, func(o *plan.Order, _ *plan.Plan) { o.PassLength.Price++ }},
		{"dearer billets", "boards and work cost 2228, not 2224", 2, func(o *plan.Order, _ *plan.Plan) { o.BilletPrice++ }},
		{"one kit more of a board", "too little of part 0 for 2 of kit 0", 2, func(_ *plan.Order, p *plan.Plan) { p.Taken[0].Kits[0].Count++ }},
		{"no such kit", "kit 2, 1 of them", 2, func(_ *plan.Order, p *plan.Plan) { p.Taken[0].Kits[1].Kit = 2 }},
		{"a negative kit", "kit -1, 1 of them", 2, func(_ *plan.Order, p *plan.Plan) { p.Taken[0].Kits[0].Kit = -1 }},
		{"none of a kit", "kit 1, 0 of them", 2, func(_ *plan.Order, p *plan.Plan) { p.Taken[0].Kits[1].Count = 0 }},
		{"a kit twice", "kit 0, 1 of them", 2, func(_ *plan.Order, p *plan.Plan) { p.Taken[0].Kits[1].Kit = 0 }},
		{"kits not said", "kit 0: 0 given or unmet, 2 wanted", 2, func(_ *plan.Order, p *plan.Plan) { p.Taken[0].Kits = nil }},
		{"more kits wanted", "kit 1: 2 given or unmet, 3 wanted", 2, func(o *plan.Order, _ *plan.Plan) { o.Kits[1].Quantity = 3 }},
		{"fewer kits wanted", "kit 1: 2 given or unmet, 1 wanted", 2, func(o *plan.Order, _ *plan.Plan) { o.Kits[1].Quantity = 1 }},
		{"a kit of more than the board gives", "too little of part 1 for 1 of kit 0", 2, func(o *plan.Order, _ *plan.Plan) { o.Kits[0].Parts[1].Quantity = 10 }},
		{"kits that share a board's leaves", "too little of part 0 for 1 of kit 1", 2, func(o *plan.Order, _ *plan.Plan) {
			o.Kits[1].Parts = append(o.Kits[1].Parts, plan.KitPart{Part: 0, Quantity: 2})
		}},
		{"a kit unmet, though given", "kit 0: 3 given or unmet, 2 wanted", 2, func(_ *plan.Order, p *plan.Plan) { p.UnmetKits = []plan.UnmetKit{{Kit: 0, Quantity: 1}} }},
		{"an unmet kit not said", "kit 1: 1 given or unmet, 2 wanted", 1, func(_ *plan.Order, p *plan.Plan) { p.UnmetKits = p.UnmetKits[:1] }},
		{"two unmet kits", "kit 0: 3 given or unmet, 2 wanted", 1, func(_ *plan.Order, p *plan.Plan) { p.UnmetKits[0].Quantity = 2 }},
		{"no unmet kits", "unmet kit 0, 0 of them", 1, func(_ *plan.Order, p *plan.Plan) { p.UnmetKits[0].Quantity = 0 }},
		{"an unmet kit twice", "unmet kit 0, 1 of them", 1, func(_ *plan.Order, p *plan.Plan) { p.UnmetKits[1].Kit = 0 }},
		{"an unmet kit that is unknown", "unmet kit 2, 1 of them", 1, func(_ *plan.Order, p *plan.Plan) { p.UnmetKits[1].Kit = 2 }},
		{"a negative unmet kit", "unmet kit -1, 1 of them", 1, func(_ *plan.Order, p *plan.Plan) { p.UnmetKits[0].Kit = -1 }},
		{"an unmet part of a kit not said", "part 0: 2 copies cut or unmet, 4 wanted", 1, func(_ *plan.Order, p *plan.Plan) { p.Unmet = p.Unmet[1:] }},
		{"unmet for another reason than its kit", "part 0: its unmet kits miss 2 copies more than it says", 1, func(_ *plan.Order, p *plan.Plan) { p.Unmet[0].Reason = plan.StockUsed }},
		{"unmet with a kit, though by itself", "part 1: its unmet kits miss 1 copies more than it says", 1, func(_ *plan.Order, p *plan.Plan) { p.Unmet[1].Quantity, p.Unmet[2].Quantity = 2, 2 }},
		{"the kit's unmet part last", "unmet part 1, 3 copies", 1, func(_ *plan.Order, p *plan.Plan) { p.Unmet[1], p.Unmet[2] = p.Unmet[2], p.Unmet[1] }},
		{"unmet twice by itself", "unmet part 1, 1 copies", 1, func(_ *plan.Order, p *plan.Plan) { p.Unmet[1].Reason = plan.StockUsed }},
		{"a part unmet that is there", "part 1: 14 copies cut or unmet, 13 wanted", 1, func(_ *plan.Order, p *plan.Plan) { p.Unmet[2].Quantity++ }},
		{"an unmet part not said", "part 2: 6 copies cut or unmet, 7 wanted", 1, func(_ *plan.Order, p *plan.Plan) { p.Unmet = p.Unmet[:4] }},
		{"feasible, with a kit unmet", "status feasible, not infeasible", 1, func(_ *plan.Order, p *plan.Plan) { p.Status = plan.Feasible }},
	} {
		o, p := made(c.boards), madePlan(c.boards)
		if faults := plan.Validate(o); len(faults) > 0 {
			t.Fatal(faults)
		}
		if err := plan.Check(o, p); err != nil {
			t.Fatal(err)
		}
		c.spoil(&o, p)
		if err := plan.Check(o, p); err == nil || !strings.Contains(err.Error(), c.why) {
			t.Errorf("%s: %v, not %s", c.name, err, c.why)
		}
	}
}
