package plan_test

import (
	"strings"
	"testing"

	"resawd/calc/length"
	"resawd/calc/plan"
)

// limit is one limit that a plan keeps: as the plan is made for the value in it is
// accepted, and for the value out, one step further, it is refused with the reason why.
type limit struct {
	name    string
	set     func(o *plan.Order, p *plan.Plan, x int)
	in, out int
	why     string
}

// hold checks limits against plans that are right.
func hold(t *testing.T, right func() (plan.Order, *plan.Plan), limits []limit) {
	t.Helper()
	for _, l := range limits {
		o, p := right()
		l.set(&o, p, l.in)
		if faults := plan.Validate(o); len(faults) > 0 {
			t.Errorf("%s: %v", l.name, faults)
		}
		if err := plan.Check(o, p); err != nil {
			t.Errorf("%s of %d: %v", l.name, l.in, err)
		}
		o, p = right()
		l.set(&o, p, l.out)
		if err := plan.Check(o, p); err == nil || !strings.Contains(err.Error(), l.why) {
			t.Errorf("%s of %d: %v, not %s", l.name, l.out, err, l.why)
		}
	}
}

// three is a board of 20 by 50 by 100, in whole nanometres, of which three leaves of 4 by
// 20 by 30 come: two side by side at 5 along the board, one behind these at 38.
func three() (plan.Order, *plan.Plan) {
	o := plan.Order{
		Boards: []plan.Board{{Thickness: 20, Width: 50, Length: 100, Quantity: 1, Price: 10}},
		Parts:  []plan.Part{{Thickness: 4, Width: 20, Length: 30, Quantity: 3}},
		Kerf:   1, RipKerf: 2, CrosscutKerf: 3, EndTrim: 5,
	}
	var billets []plan.Billet
	for _, at := range []plan.Stretch{{From: 5, To: 0}, {From: 5, To: 22}, {From: 38, To: 0}} {
		billets = append(billets, plan.Billet{From: at.From, Across: at.To, Length: 30, Width: 20, Remainder: 15,
			Leaves: []plan.Leaves{{Part: 0, Count: 1, EndToEnd: 1, SideBySide: 1}}})
	}
	return o, &plan.Plan{Status: plan.Optimal, Cost: 10, LowerBound: 10, Taken: []plan.Taken{{Board: 0, Copies: 1, Billets: billets}}}
}

// TestCheckFace: where billets may lie on a board, and how large they may be.
func TestCheckFace(t *testing.T) {
	billet := func(p *plan.Plan, i int) *plan.Billet { return &p.Taken[0].Billets[i] }
	hold(t, three, []limit{
		{"near edge", func(_ *plan.Order, p *plan.Plan, x int) { billet(p, 0).Across = length.Length(x) }, 0, -1, "lies beyond an edge"},
		{"far edge", func(_ *plan.Order, p *plan.Plan, x int) { billet(p, 2).Across = length.Length(x) }, 30, 31, "lies beyond an edge"},
		{"near end", func(_ *plan.Order, p *plan.Plan, x int) {
			billet(p, 0).From, billet(p, 1).From = length.Length(x), length.Length(x)
		}, 5, 4, "lies in a trimmed end"},
		{"far end", func(_ *plan.Order, p *plan.Plan, x int) { billet(p, 2).From = length.Length(x) }, 65, 66, "lies in a trimmed end"},
		{"rip kerf", func(_ *plan.Order, p *plan.Plan, x int) { billet(p, 1).Across = length.Length(x) }, 22, 21, "no rip kerf"},
		{"crosscut kerf", func(_ *plan.Order, p *plan.Plan, x int) { billet(p, 2).From = length.Length(x) }, 38, 37, "no crosscut kerf"},
		{"lengths of one crosscut", func(_ *plan.Order, p *plan.Plan, x int) {
			billet(p, 1).Length, billet(p, 1).Leaves[0].TrimLength = length.Length(x), length.Length(x)-30
		}, 30, 31, "differ in length"},
		{"begin of a defect", func(o *plan.Order, _ *plan.Plan, x int) {
			o.Boards[0].Defects = []plan.Defect{{From: length.Length(x), To: 38}}
		}, 35, 34, "billet at 5 holds a defect"},
		{"end of a defect", func(o *plan.Order, _ *plan.Plan, x int) {
			o.Boards[0].Defects = []plan.Defect{{From: 35, To: length.Length(x)}}
		}, 38, 39, "billet at 38 holds a defect"},
		{"shortest billet", func(o *plan.Order, _ *plan.Plan, x int) { o.Smallest.Length = length.Length(x) }, 30, 31, "below the smallest billet"},
		{"narrowest billet", func(o *plan.Order, _ *plan.Plan, x int) { o.Smallest.Width = length.Length(x) }, 20, 21, "below the smallest billet"},
		{"cutting height", func(o *plan.Order, _ *plan.Plan, x int) { o.Saw.CuttingHeight = length.Length(x) }, 20, 19, "more than the saw takes"},
		{"rail", func(o *plan.Order, _ *plan.Plan, x int) { o.Saw.BilletLength = length.Length(x) }, 30, 29, "more than the saw takes"},
		{"boards on the rack", func(o *plan.Order, _ *plan.Plan, x int) { o.Boards[0].Quantity = x }, 1, 0, "board 0: 1 taken, 0 there"},
		{"as many boards as one likes", func(o *plan.Order, _ *plan.Plan, x int) { o.Boards[0].Quantity = x }, plan.Unlimited, 0, "board 0: 1 taken, 0 there"},
	})
}

// nanometre is a leaf of a nanometre each way, on a board of 9 by 5 by 7: the smallest there is.
func nanometre() (plan.Order, *plan.Plan) {
	o, p := three()
	o.Boards[0] = plan.Board{Thickness: 9, Width: 5, Length: 7, Quantity: 1, Price: 1}
	o.Parts[0] = plan.Part{Thickness: 1, Width: 1, Length: 1, Quantity: 1}
	o.Kerf, o.EndTrim = 0, 0
	p.Cost, p.LowerBound = 1, 1
	p.Taken[0].Billets = []plan.Billet{{From: 6, Across: 4, Length: 1, Width: 1, Remainder: 8, Leaves: []plan.Leaves{{Part: 0, Count: 1, EndToEnd: 1, SideBySide: 1}}}}
	return o, p
}

// TestCheckSmall: a billet of a nanometre is as good as another, and a limit of a
// nanometre is one.
func TestCheckSmall(t *testing.T) {
	billet := func(p *plan.Plan) *plan.Billet { return &p.Taken[0].Billets[0] }
	longer := func(p *plan.Plan, x int) {
		b := billet(p)
		b.From, b.Length, b.Leaves[0].TrimLength = 0, length.Length(x), length.Length(x)-1
	}
	wider := func(p *plan.Plan, x int) {
		b := billet(p)
		b.Across, b.Width, b.Leaves[0].TrimWidth = 0, length.Length(x), length.Length(x)-1
	}
	hold(t, nanometre, []limit{
		{"place along", func(_ *plan.Order, p *plan.Plan, x int) { billet(p).From = length.Length(x) }, 6, 7, "lies in a trimmed end"},
		{"place across", func(_ *plan.Order, p *plan.Plan, x int) { billet(p).Across = length.Length(x) }, 4, 5, "lies beyond an edge"},
		{"rail of a nanometre", func(o *plan.Order, p *plan.Plan, x int) { o.Saw.BilletLength = 1; longer(p, x) }, 1, 2, "more than the saw takes"},
		{"cutting height of a nanometre", func(o *plan.Order, p *plan.Plan, x int) { o.Saw.CuttingHeight = 1; wider(p, x) }, 1, 2, "more than the saw takes"},
		{"shortest billet", func(o *plan.Order, _ *plan.Plan, x int) { o.Smallest.Length = length.Length(x) }, 1, 2, "below the smallest billet"},
		{"narrowest billet", func(o *plan.Order, _ *plan.Plan, x int) { o.Smallest.Width = length.Length(x) }, 1, 2, "below the smallest billet"},
		{"neighbours without a kerf", func(o *plan.Order, p *plan.Plan, x int) {
			o.RipKerf, o.Parts[0].Quantity = 0, 2
			second := *billet(p)
			second.Across = length.Length(x)
			p.Taken[0].Billets = append(p.Taken[0].Billets, second)
		}, 3, 4, "no rip kerf"},
		{"lengths without a kerf", func(o *plan.Order, p *plan.Plan, x int) {
			o.CrosscutKerf, o.Parts[0].Quantity = 0, 2
			second := *billet(p)
			second.From = length.Length(x)
			p.Taken[0].Billets = append(p.Taken[0].Billets, second)
		}, 5, 6, "no rip kerf"}, // at the same place
		{"two end to end of a nanometre", func(o *plan.Order, p *plan.Plan, x int) {
			o.Parts[0].Divide, o.Parts[0].Quantity = true, 2
			longer(p, x)
			billet(p).Leaves[0].EndToEnd, billet(p).Leaves[0].TrimLength = 2, length.Length(x)-2
		}, 2, 1, "trim of part 0 is -1 by 0"},
		{"two side by side of a nanometre", func(o *plan.Order, p *plan.Plan, x int) {
			o.Parts[0].Divide, o.Parts[0].Quantity = true, 2
			wider(p, x)
			billet(p).Leaves[0].SideBySide, billet(p).Leaves[0].TrimWidth = 2, length.Length(x)-2
		}, 2, 1, "trim of part 0 is 0 by -1"},
		{"gap of a board that costs 1", func(_ *plan.Order, p *plan.Plan, x int) {
			p.Status, p.LowerBound, p.Gap = plan.Feasible, 0, float64(x)
		}, 1, 0, "gap 0, not 1"},
		{"bound", func(_ *plan.Order, p *plan.Plan, x int) {
			p.Status, p.LowerBound, p.Gap = plan.Feasible, int64(x), 1-float64(x)
		}, 0, -1, "bound -1 with cost 1"},
		{"bound above the cost", func(_ *plan.Order, p *plan.Plan, x int) { p.LowerBound = int64(x) }, 1, 2, "bound 2 with cost 1"},
	})
}

// thick is a board of 20 and nothing else, as in one dimension: two leaves of 4 and two
// kerfs of 1 leave 10 of it.
func thick() (plan.Order, *plan.Plan) {
	o := plan.Order{Boards: []plan.Board{{Thickness: 20, Quantity: 1, Price: 10}}, Parts: []plan.Part{{Thickness: 4, Quantity: 2}}, Kerf: 1}
	billets := []plan.Billet{{Remainder: 10, Leaves: []plan.Leaves{{Part: 0, Count: 2, EndToEnd: 1, SideBySide: 1}}}}
	return o, &plan.Plan{Status: plan.Optimal, Cost: 10, LowerBound: 10, Taken: []plan.Taken{{Board: 0, Copies: 1, Billets: billets}}}
}

// TestCheckThickness: leaves, kerfs, truing cut and what stays on the fence come to the
// thickness of the board.
func TestCheckThickness(t *testing.T) {
	billet := func(p *plan.Plan) *plan.Billet { return &p.Taken[0].Billets[0] }
	leaves := func(o *plan.Order, p *plan.Plan, n int) {
		o.Parts[0].Quantity, billet(p).Leaves[0].Count, billet(p).Remainder = n, n, length.Length(20-5*n)
	}
	hold(t, thick, []limit{
		{"leaves", func(o *plan.Order, p *plan.Plan, x int) { leaves(o, p, x) }, 4, 5, "add up to 20 of 20"},
		{"a single leaf", func(o *plan.Order, p *plan.Plan, x int) { leaves(o, p, x) }, 1, 0, "0 leaves of part 0 break a set of 1"},
		{"a set of one", func(o *plan.Order, p *plan.Plan, x int) { leaves(o, p, x); o.Parts[0].Matched = 1 }, 1, 0, "break a set of 1"},
		{"a set of two", func(o *plan.Order, p *plan.Plan, x int) { leaves(o, p, x); o.Parts[0].Matched = 2 }, 2, 3, "3 leaves of part 0 break a set of 2"},
		{"remainder", func(_ *plan.Order, p *plan.Plan, x int) { billet(p).Remainder = length.Length(x) }, 10, 11, "add up to 21 of 20"},
		{"less of a remainder", func(_ *plan.Order, p *plan.Plan, x int) { billet(p).Remainder = length.Length(x) }, 10, 9, "add up to 19 of 20"},
		{"hold-back", func(o *plan.Order, p *plan.Plan, x int) {
			o.HoldBack, billet(p).Remainder = length.Length(x), length.Length(10-x)
		}, 10, 11, "add up to 20 of 20"},
		{"truing cut of a nanometre, with a kerf", func(o *plan.Order, p *plan.Plan, x int) {
			o.Skim, billet(p).Skim, billet(p).Remainder = 1, 1, length.Length(x)
		}, 8, 9, "add up to 21 of 20"},
		{"known part", func(_ *plan.Order, p *plan.Plan, x int) { billet(p).Leaves[0].Part = x }, 0, 1, "part 1 is unknown"},
		{"part from the first", func(_ *plan.Order, p *plan.Plan, x int) { billet(p).Leaves[0].Part = x }, 0, -1, "part -1 is unknown"},
		{"known board", func(_ *plan.Order, p *plan.Plan, x int) { p.Taken[0].Board = x }, 0, 1, "no boards: board 1"},
		{"board from the first", func(_ *plan.Order, p *plan.Plan, x int) { p.Taken[0].Board = x }, 0, -1, "no boards: board -1"},
		{"boards", func(_ *plan.Order, p *plan.Plan, x int) { p.Taken[0].Copies = x }, 1, 0, "no boards: board 0, 0 copies"},
		{"billets", func(_ *plan.Order, p *plan.Plan, x int) { p.Taken[0].Billets = p.Taken[0].Billets[:x] }, 1, 0, "1 copies, 0 billets"},
		{"leaves of a billet", func(_ *plan.Order, p *plan.Plan, x int) {
			billet(p).Leaves, billet(p).Remainder = billet(p).Leaves[:x], length.Length(20-10*x)
		}, 1, 0, "add up to 20 of 20"},
		{"kerf margin", func(o *plan.Order, _ *plan.Plan, x int) { o.KerfMargin = length.Length(x) }, 5, 6, "tight is false with a remainder of 10"},
		{"thickness margin", func(o *plan.Order, _ *plan.Plan, x int) { o.ThicknessMargin = length.Length(x) }, 10, 11, "tight is false"},
		{"tight by a nanometre", func(o *plan.Order, p *plan.Plan, x int) {
			o.ThicknessMargin, billet(p).Tight = length.Length(x), true
		}, 11, 10, "tight is true"},
		// Two leaves and the truing cut are three kerfs; 20 - 8 - 1 - 3 = 8 stay.
		{"kerf margin of the truing cut", func(o *plan.Order, p *plan.Plan, x int) {
			o.Skim, o.KerfMargin, o.ThicknessMargin = 1, 2, length.Length(x)
			billet(p).Skim, billet(p).Remainder = 1, 8
		}, 2, 3, "tight is false with a remainder of 8"},
		{"a place along, of a whole board", func(_ *plan.Order, p *plan.Plan, x int) { billet(p).From = length.Length(x) }, 0, 1, "billet of a whole board begins at 1"},
		{"a place across, of a whole board", func(o *plan.Order, p *plan.Plan, x int) {
			o.Boards[0].Width, billet(p).Across = 9, length.Length(x)
		}, 0, 1, "lies beyond an edge"},
		{"billets of a whole board", func(o *plan.Order, p *plan.Plan, x int) {
			o.Parts[0].Quantity = 2 * x
			for range x - 1 {
				p.Taken[0].Billets = append(p.Taken[0].Billets, *billet(p))
			}
		}, 1, 2, "no rip kerf"},
		{"crosscut, though no part has a length", func(o *plan.Order, p *plan.Plan, x int) {
			o.Boards[0].Length, billet(p).Length, billet(p).Leaves[0].TrimLength = 9, length.Length(x), length.Length(x)
		}, 0, 1, "1 by 0 is cut"},
		{"ripped, though no part has a width", func(o *plan.Order, p *plan.Plan, x int) {
			o.Boards[0].Width, billet(p).Width, billet(p).Leaves[0].TrimWidth = 9, length.Length(x), length.Length(x)
		}, 0, 1, "0 by 1 is cut"},
		{"end to end, though no part has a length", func(o *plan.Order, p *plan.Plan, x int) {
			o.Parts[0].Divide, o.Parts[0].Quantity, billet(p).Leaves[0].EndToEnd = true, 2*x, x
		}, 1, 2, "divided 2 by 1"},
		{"side by side, though no part has a width", func(o *plan.Order, p *plan.Plan, x int) {
			o.Parts[0].Divide, o.Parts[0].Quantity, billet(p).Leaves[0].SideBySide = true, 2*x, x
		}, 1, 2, "divided 1 by 2"},
		{"rail, for a whole board", func(o *plan.Order, _ *plan.Plan, x int) { o.Boards[0].Length, o.Saw.BilletLength = 9, length.Length(x) }, 9, 8, "more than the saw takes"},
		{"cutting height, for a whole board", func(o *plan.Order, _ *plan.Plan, x int) { o.Boards[0].Width, o.Saw.CuttingHeight = 9, length.Length(x) }, 9, 8, "more than the saw takes"},
		{"no smallest billet of a whole board", func(o *plan.Order, p *plan.Plan, x int) {
			o.Smallest, p.Cost = plan.Face{Length: 9, Width: 9}, int64(x)
		}, 10, 11, "boards and work cost 10, not 11"},
	})
}

// TestCheckSkim: the truing cut is what is set and, of the bow of a board of 10, as much
// as goes by the square of the length, rounded up.
func TestCheckSkim(t *testing.T) {
	bowed := func(bow, set, least, long length.Length) func(o *plan.Order, p *plan.Plan, x int) {
		return func(o *plan.Order, p *plan.Plan, x int) {
			o.Skim, o.LeastSkim, o.Boards[0].Bow = set, least, bow
			b := &p.Taken[0].Billets[0]
			b.Skim, b.Remainder = length.Length(x), length.Length(9-x)
			if x == 0 {
				b.Remainder = 10
			}
			if long > 0 {
				o.Boards[0].Length, o.Parts[0].Length, b.Length = 10, long, long
			}
		}
	}
	const why = "is not what the bow asks for"
	hold(t, thick, []limit{
		{"no truing cut", bowed(0, 0, 0, 0), 0, 1, "skim 1 " + why},
		{"as set", bowed(0, 3, 0, 0), 3, 2, "skim 2 " + why},
		{"deeper than set", bowed(0, 3, 0, 0), 3, 4, "skim 4 " + why},
		{"bow of a whole board", bowed(3, 0, 0, 0), 3, 2, "skim 2 " + why},
		{"deeper than the bow of a whole board", bowed(3, 0, 0, 0), 3, 4, "skim 4 " + why},
		{"bow and set", bowed(3, 2, 0, 0), 5, 4, "skim 4 " + why},
		{"bow over the whole length", bowed(3, 0, 0, 10), 3, 2, "skim 2 " + why},
		{"bow over half of the length", bowed(4, 0, 0, 5), 1, 0, "skim 0 " + why}, // 4/4
		{"deeper over half of the length", bowed(4, 0, 0, 5), 1, 2, "skim 2 " + why},
		{"bow rounded up", bowed(5, 0, 0, 5), 2, 1, "skim 1 " + why}, // 5/4
		{"deeper than rounded up", bowed(5, 0, 0, 5), 2, 3, "skim 3 " + why},
		{"least that can be set", bowed(0, 1, 4, 0), 4, 3, "skim 3 " + why},
		{"a nanometre below the least", bowed(0, 1, 2, 0), 2, 1, "skim 1 " + why},
		{"deeper than the least", bowed(0, 1, 4, 0), 4, 5, "skim 5 " + why},
		{"least, for the bow alone", bowed(1, 0, 4, 0), 4, 3, "skim 3 " + why},
		{"least, though nothing asks for it", bowed(0, 0, 4, 0), 0, 4, "skim 4 " + why},
	})
}

// TestCheckWork: passes and billets are in the cost, each billet's passes rounded to the
// nearest, halves up.
func TestCheckWork(t *testing.T) {
	work := func(price, per, long int64) func(o *plan.Order, p *plan.Plan, x int) {
		return func(o *plan.Order, p *plan.Plan, x int) {
			o.PassLength, o.Boards[0].Length = plan.Rate{Price: price, Per: length.Length(per)}, length.Length(long)
			p.Cost, p.LowerBound = int64(x), int64(x)
		}
	}
	const why = "boards and work cost"
	hold(t, thick, []limit{ // two passes through a board that costs 10
		{"by length", work(1, 1, 7), 24, 23, why},
		{"a half", work(1, 4, 7), 14, 13, why},                        // 3.5
		{"a little less", work(1, 200, 349), 13, 14, why},             // 3.49
		{"a little more than a half", work(1, 100, 177), 14, 13, why}, // 3.54
		{"by the piece", func(o *plan.Order, p *plan.Plan, x int) {
			o.PassPrice, p.Cost, p.LowerBound = 3, int64(x), int64(x)
		}, 16, 13, why},
		{"mounted", func(o *plan.Order, p *plan.Plan, x int) {
			o.BilletPrice, p.Cost, p.LowerBound = 5, int64(x), int64(x)
		}, 15, 10, why},
	})
}

// TestCheckCounts: as many copies as are wanted are cut or said to be unmet.
func TestCheckCounts(t *testing.T) {
	unmet := func(p *plan.Plan, all ...plan.Unmet) { p.Status, p.Unmet = plan.Infeasible, all }
	short := func(o *plan.Order, p *plan.Plan, x int) { o.Parts[0].Quantity = 3; unmet(p, plan.Unmet{Quantity: x}) }
	hold(t, thick, []limit{
		{"a copy too many", func(o *plan.Order, _ *plan.Plan, x int) { o.Parts[0].Quantity = x }, 2, 1, "2 copies cut or unmet, 1 wanted"},
		{"a copy too few", func(o *plan.Order, _ *plan.Plan, x int) { o.Parts[0].Quantity = x }, 2, 3, "2 copies cut or unmet, 3 wanted"},
		{"spares", func(o *plan.Order, _ *plan.Plan, x int) { o.Parts[0].Quantity, o.Parts[0].Spare = 1, x }, 1, 2, "2 copies cut or unmet, 3 wanted"},
		{"unmet", short, 1, 2, "4 copies cut or unmet, 3 wanted"},
		{"none unmet", short, 1, 0, "unmet part 0, 0 copies"},
		{"unmet and said to be so", func(o *plan.Order, p *plan.Plan, x int) {
			short(o, p, 1)
			p.Status = []plan.Status{plan.Infeasible, plan.Optimal}[x]
		}, 0, 1, "status optimal, not infeasible"},
		{"an unmet part from the first", func(o *plan.Order, p *plan.Plan, x int) {
			o.Parts[0].Quantity = 3
			unmet(p, plan.Unmet{Part: x, Quantity: 1})
		}, 0, -1, "unmet part -1"},
		{"an unmet part that is known", func(o *plan.Order, p *plan.Plan, x int) {
			o.Parts[0].Quantity = 3
			unmet(p, plan.Unmet{Part: x, Quantity: 1})
		}, 0, 1, "unmet part 1"},
		{"whole sets unmet", func(o *plan.Order, p *plan.Plan, x int) {
			o.Parts[0].Quantity, o.Parts[0].Matched = 2+x, 2
			unmet(p, plan.Unmet{Quantity: x})
		}, 2, 1, "unmet part 0, 1 copies"},
	})
	// Two leaves of three copies each. Six, five and four copies need both of them.
	hold(t, thick, []limit{
		{"copies of leaves that are needed", func(o *plan.Order, p *plan.Plan, x int) { divided(o, p); o.Parts[0].Quantity = x }, 4, 3, "6 copies cut or unmet, 3 wanted"},
		{"unmet beside copies to spare", func(o *plan.Order, p *plan.Plan, x int) {
			divided(o, p)
			o.Parts[0].Quantity = x
			unmet(p, plan.Unmet{Quantity: 1})
		}, 7, 6, "7 copies cut or unmet, 6 wanted"},
	})
}

// divided lets each leaf of a plan be three copies of 5, with a cut of 1 between.
func divided(o *plan.Order, p *plan.Plan) {
	o.Boards[0].Length, o.Parts[0].Length, o.Parts[0].Divide, o.LeafKerf = 17, 5, true, 1
	p.Taken[0].Billets[0].Length, p.Taken[0].Billets[0].Leaves[0].EndToEnd = 17, 3
}

// TestCheckDivide: a leaf of two copies is divided only where the part may be.
func TestCheckDivide(t *testing.T) {
	for _, c := range []struct{ endToEnd, sideBySide int }{{2, 1}, {1, 2}} {
		hold(t, thick, []limit{{"divided", func(o *plan.Order, p *plan.Plan, x int) {
			o.Boards[0].Width, o.Boards[0].Length = 10, 10
			o.Parts[0] = plan.Part{Thickness: 4, Width: 5, Length: 5, Quantity: 4, Divide: x == 1}
			b := &p.Taken[0].Billets[0]
			b.Length, b.Width = length.Length(5*c.endToEnd), length.Length(5*c.sideBySide)
			b.Leaves[0].EndToEnd, b.Leaves[0].SideBySide = c.endToEnd, c.sideBySide
		}, 1, 0, "leaves of part 0 are divided"}})
	}
}

// TestCheckLabels: species and sawn are labels, compared whatever their case, and none is
// as good as any.
func TestCheckLabels(t *testing.T) {
	for _, label := range []string{"", "walnut", "WALNUT"} {
		for i, why := range []string{"part 0 is of another species", "part 0 is sawn another way"} {
			hold(t, thick, []limit{{label, func(o *plan.Order, _ *plan.Plan, x int) {
				board := []*string{&o.Boards[0].Species, &o.Boards[0].Sawn}[i]
				part := []*string{&o.Parts[0].Species, &o.Parts[0].Sawn}[i]
				*board, *part = "Walnut", []string{label, "maple"}[x]
			}, 0, 1, why}})
		}
	}
}
