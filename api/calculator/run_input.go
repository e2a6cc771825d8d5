package calculator

import (
	"fmt"

	"resawd/api/endpoint"
	"resawd/api/shop"
	"resawd/calc/blade"
	"resawd/calc/dial"
	"resawd/calc/feed"
	"resawd/calc/run"
)

// runInput fills in what the request leaves out, and makes the input of the
// calculation.
func runInput(c *endpoint.Call, q *RunRequest) run.Input {
	saw, mounted, fixing := fillRun(c, q)
	in := run.Input{
		Board: run.Board{Name: *q.Board.Name, Thickness: *q.Board.Thickness, Width: *q.Board.Width, Length: *q.Board.Length, Bow: *q.Board.Bow},
		Setting: dial.Setting{
			Screw: q.Screw(),
			Kerf:  *q.Kerf, Travel: *q.Travel, Retract: *q.Retract, StartReading: *q.StartReading, Rounding: roundings[*q.Rounding],
		},
		Saw: run.Saw{
			CuttingHeight: *saw.CuttingHeight, RailLength: *saw.RailLength, WidestBlade: endpoint.ValueOr(saw.WidestBlade, 0),
			Backlash: endpoint.ValueOr(q.Backlash, 0),
		},
		Blade: bladeOf(mounted),
		Habits: run.Habits{
			SmallestLeaf: *c.Shop.SmallestLeaf, Clearance: *c.Shop.MetalClearance,
			ShortestBillet: *c.Shop.SmallestBillet.Length, LowestBillet: *c.Shop.SmallestBillet.Width,
		},
		Care: run.Care{AfterCuts: *q.CleanEvery, AfterAreaMM2: float64(endpoint.ValueOr(q.CleanArea, 0))},
		Skim: *q.Skim, HoldBack: *q.HoldBack, LastLeaf: lastLeaves[*q.LastLeaf], Metal: *fixing.MetalDepth,
		Tolerance: *q.Tolerance, KerfMargin: *q.KerfMargin,
		Feed: feed.Speed(*q.Feed), RunIn: *q.RunIn, RunOut: *q.RunOut, Gum: runGum(c, q),
	}
	in.Blade.TPI = *q.TPI
	in.Times = run.Times{HandleSeconds: *q.HandleSeconds, IndexSeconds: *q.IndexSeconds, SetupSeconds: *q.SetupSeconds}
	in.Done = q.Done.done(c)
	in.Leaves = q.entries()
	countsGiven(c, q)
	return in
}

// Screw is the lead screw with its dial.
func (q *RunRequest) Screw() dial.Screw {
	return dial.Screw{Lead: *q.Lead, DivisionsPerTurn: *q.DivisionsPerTurn}
}

// fillRun sets absent fields to their values in the shop, and finds the saw, the blade
// and the fixing.
func fillRun(c *endpoint.Call, q *RunRequest) (*shop.Saw, *shop.Blade, *shop.Fixing) {
	saw, mounted := machine(c, &q.Settings)
	q.Saw, q.Blade = &saw.Name, &mounted.Name
	fillKerf(c, mounted, &q.Kerf, &q.KerfBasis)
	fillKerfMargin(c, q.KerfBasis, &q.KerfMargin)
	fixing := runFixing(c, q)
	fill(c, "lead", &q.Lead, saw.Lead, saw.owner)
	fill(c, "divisions_per_turn", &q.DivisionsPerTurn, saw.DivisionsPerTurn, saw.owner)
	fill(c, "travel", &q.Travel, saw.Travel, saw.owner)
	fill(c, "tpi", &q.TPI, mounted.TPI, mounted.owner)
	fill(c, "clean_every", &q.CleanEvery, c.Shop.Care.CleanEvery, theShop)
	fill(c, "clean_area", &q.CleanArea, cleanArea(c), theShop)
	fillSpeed(c, saw, &q.BladeSpeed, &q.WheelDiameter, &q.RPM)
	if *q.Retract > 0 {
		fill(c, "backlash", &q.Backlash, saw.Backlash, saw.owner)
	}
	return saw.Saw, mounted.Blade, fixing
}

// runFixing finds how the board is fixed. If the rest is the last leaf, nothing is held
// back, and no metal may stay in it.
func runFixing(c *endpoint.Call, q *RunRequest) *shop.Fixing {
	if *q.LastLeaf == "rest" {
		orDefault(&q.HoldBack, 0)
	}
	fixing := fillHoldBack(c, &q.Fixing, &q.HoldBack)
	checkRest(c, *q.LastLeaf, fixing)
	if fixing.Longest != nil && *q.Board.Length > *fixing.Longest {
		c.Warn("the fixing " + fixing.Name + " holds boards up to " + c.Show(*fixing.Longest) + " long; this one is " + c.Show(*q.Board.Length) + ": heat, released stress and moisture move the wood during the cut, so longer boards are glued or screwed")
	}
	return fixing
}

// checkRest refuses a fixing whose metal would stay in the last leaf where that is the rest.
func checkRest(c *endpoint.Call, lastLeaf string, fixing *shop.Fixing) {
	if lastLeaf == "rest" && *fixing.MetalDepth > 0 {
		c.Refuse("fixing", "conflict", fmt.Sprintf("is %q, whose metal would stay in the last leaf: last_leaf rest wants a fixing without metal", fixing.Name))
	}
}

// runGum finds the gum class of the board's species.
func runGum(c *endpoint.Call, q *RunRequest) blade.Gum {
	if q.Board.Species == nil {
		return blade.UnknownGum
	}
	return gumOf(c, *q.Board.Species)
}

// entries lists the leaves asked for, in whichever way.
func (q *RunRequest) entries() []run.Entry {
	if q.LeafThickness != nil {
		one := run.Entry{Thickness: *q.LeafThickness}
		if q.LeafCount != nil {
			one.Count = *q.LeafCount
		}
		return []run.Entry{one}
	}
	entries := make([]run.Entry, len(q.Leaves))
	for i := range q.Leaves {
		l := &q.Leaves[i]
		entries[i] = run.Entry{Thickness: *l.Thickness, Matched: *l.Matched}
		if l.Name != nil {
			entries[i].Name = *l.Name
		}
		if l.Count != nil {
			entries[i].Count = *l.Count
		}
	}
	return entries
}

// countsGiven refuses entries without a count, except the last.
func countsGiven(c *endpoint.Call, q *RunRequest) {
	for i := range len(q.Leaves) - 1 {
		if q.Leaves[i].Count == nil {
			c.Refuse(entryPath(i)+"count", "required", "is missing: only the last entry may do without a count, and then takes as many as the board gives")
		}
	}
}
