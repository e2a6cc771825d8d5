package run

import (
	"errors"
	"math"
	"reflect"
	"testing"

	"resawd/calc/dial"
	"resawd/calc/fault"
	"resawd/calc/feed"
	"resawd/calc/internal/refusal"
	"resawd/calc/length"
	"resawd/calc/yield"
)

// TestRefusals: one thing is wrong in each row with a quantity, and nothing in
// each row without one.
func TestRefusals(t *testing.T) {
	const most = length.Max
	// large is a saw and a board without any other limits, for one leaf.
	large := func(i *Input) {
		i.Saw.CuttingHeight, i.Saw.RailLength = most, most
		i.Board = Board{Thickness: most, Width: most, Length: most / 2}
		i.Leaves[0].Count = 1
	}
	for _, c := range []struct {
		name, quantity string
		change         func(*Input)
	}{
		{"large", "", large},
		// A dial of one nanometre a division.
		{"the least of everything", "", func(i *Input) {
			i.Board, i.Saw.CuttingHeight, i.Saw.RailLength = Board{Thickness: 1, Width: 1, Length: 1}, 1, 2
			i.Lead, i.Kerf, i.Skim, i.Leaves[0].Thickness = 50, 0, 0, 1
		}},
		{"no board", "board thickness", func(i *Input) { i.Board.Thickness = 0 }},
		{"board beyond", "board thickness", func(i *Input) { large(i); i.Board.Thickness++ }},
		{"no width", "board width", func(i *Input) { i.Board.Width = 0 }},
		{"as wide as the cutting height", "", func(i *Input) { i.Board.Width = 12 * in }},
		{"wider", "board width", func(i *Input) { i.Board.Width = 12*in + 1 }},
		{"no length", "board length", func(i *Input) { i.Board.Length = 0 }},
		{"half of the rail, run-in and run-out", "", func(i *Input) { i.Board.Length, i.RunIn, i.RunOut = 48*in, 5*in, 3*in }},
		{"longer", "board length", func(i *Input) { i.Board.Length, i.RunIn, i.RunOut = 48*in+1, 5*in, 3*in }},
		{"run-in below", "run in", func(i *Input) { i.RunIn = -1 }},
		{"run-in beyond", "run in", func(i *Input) { i.RunIn = 104*in + 1 }},
		{"run-out below", "run out", func(i *Input) { i.RunOut = -1 }},
		{"run-out beyond", "run out", func(i *Input) { i.RunIn, i.RunOut = 8*in, 96*in+1 }},
		{"no cutting height", "cutting height", func(i *Input) { i.Saw.CuttingHeight = 0 }},
		{"cutting height beyond", "cutting height", func(i *Input) { i.Saw.CuttingHeight = most + 1 }},
		{"no rail", "rail length", func(i *Input) { i.Saw.RailLength = 0 }},
		{"the least rail", "board length", func(i *Input) { i.Saw.RailLength = 1 }},
		{"rail beyond", "rail length", func(i *Input) { i.Saw.RailLength = most + 1 }},
		{"smallest leaf below", "smallest leaf", func(i *Input) { i.Habits.SmallestLeaf = -1 }},
		{"smallest leaf at most", "", func(i *Input) { i.Habits.SmallestLeaf = most }},
		{"smallest leaf beyond", "smallest leaf", func(i *Input) { i.Habits.SmallestLeaf = most + 1 }},
		{"clearance below", "clearance to metal", func(i *Input) { i.Habits.Clearance = -1 }},
		{"clearance at most", "", func(i *Input) { i.Habits.Clearance = most }},
		{"clearance beyond", "clearance to metal", func(i *Input) { i.Habits.Clearance = most + 1 }},
		{"metal below", "metal", func(i *Input) { i.Metal = -1 }},
		{"metal at most", "", func(i *Input) { large(i); i.Metal = most - in }},
		{"metal beyond", "metal", func(i *Input) { i.Metal = most + 1 }},
		{"no bow", "", func(i *Input) { i.Board.Bow = 0 }},
		{"bow below", "board bow", func(i *Input) { i.Board.Bow = -1 }},
		{"bow at most", "", func(i *Input) { large(i); i.Skim, i.Board.Bow = in, length.Metre-in }},
		{"bow beyond", "board bow", func(i *Input) { large(i); i.Skim, i.Board.Bow = in, length.Metre-in+1 }},
		{"last leaf below", "last leaf", func(i *Input) { i.LastLeaf = -1 }},
		{"last leaf beyond", "last leaf", func(i *Input) { i.LastLeaf = 2 }},
		{"hold-back with the rest", "hold back", func(i *Input) { i.LastLeaf, i.HoldBack = yield.Rest, 1 }},
		{"metal with the rest", "metal", func(i *Input) { i.LastLeaf, i.Metal = yield.Rest, 1 }},
		{"margin below", "kerf margin", func(i *Input) { i.KerfMargin = -1 }},
		{"margin at most", "", func(i *Input) { i.KerfMargin = length.Metre - 45*thou }},
		{"margin beyond", "kerf margin", func(i *Input) { i.KerfMargin = length.Metre - 45*thou + 1 }},
		{"backlash below", "backlash", func(i *Input) { i.Saw.Backlash = -1 }},
		{"backlash at most", "", func(i *Input) { i.Saw.Backlash = most }},
		{"backlash beyond", "backlash", func(i *Input) { i.Saw.Backlash = most + 1 }},
		{"shortest billet below", "shortest billet", func(i *Input) { i.Habits.ShortestBillet = -1 }},
		{"shortest billet at most", "", func(i *Input) { i.Habits.ShortestBillet = most }},
		{"shortest billet beyond", "shortest billet", func(i *Input) { i.Habits.ShortestBillet = most + 1 }},
		{"lowest billet below", "lowest billet", func(i *Input) { i.Habits.LowestBillet = -1 }},
		{"lowest billet at most", "", func(i *Input) { i.Habits.LowestBillet = most }},
		{"lowest billet beyond", "lowest billet", func(i *Input) { i.Habits.LowestBillet = most + 1 }},
		{"widest blade below", "widest blade", func(i *Input) { i.Saw.WidestBlade = -1 }},
		{"no blade", "blade width", func(i *Input) { i.Blade.Width = 0 }},
		{"tolerance below", "tolerance", func(i *Input) { i.Tolerance = -1 }},
		{"tolerance at most", "", func(i *Input) { i.Tolerance = most }},
		{"tolerance beyond", "tolerance", func(i *Input) { i.Tolerance = most + 1 }},
		{"cuts below", "clean every", func(i *Input) { i.Care.AfterCuts = -1 }},
		{"cuts at most", "", func(i *Input) { i.Care.AfterCuts = 10_001 }},
		{"cuts beyond", "clean every", func(i *Input) { i.Care.AfterCuts = 10_002 }},
		{"area below", "clean area", func(i *Input) { i.Care.AfterAreaMM2 = -1 }},
		{"area NaN", "clean area", func(i *Input) { i.Care.AfterAreaMM2 = math.NaN() }},
		{"area at most", "", func(i *Input) { i.Care.AfterAreaMM2 = 1e10 }},
		{"area beyond", "clean area", func(i *Input) { i.Care.AfterAreaMM2 = 1e10 + 1 }},
		{"kerf below", "kerf", func(i *Input) { i.Kerf = -50 * thou }},
		{"no kerf", "", func(i *Input) { i.Kerf = 0 }},
		{"kerf at most", "", func(i *Input) { large(i); i.Kerf = length.Metre }},
		{"kerf beyond", "kerf", func(i *Input) { large(i); i.Kerf = length.Metre + 1 }},
		{"skim below", "skim", func(i *Input) { i.Skim = -1 }},
		{"skim at most", "", func(i *Input) { large(i); i.Skim = length.Metre }},
		{"skim beyond", "skim", func(i *Input) { large(i); i.Skim = length.Metre + 1 }},
		{"hold-back below", "hold back", func(i *Input) { i.HoldBack = -1 }},
		{"hold-back beyond", "hold back", func(i *Input) { i.HoldBack = 500*thou + 1 }},
		{"no leaves", "leaves", func(i *Input) { i.Leaves = nil }},
		{"too many entries", "leaves", func(i *Input) { i.Leaves = make([]Entry, 10_001) }},
		{"no thickness", "thickness", func(i *Input) { i.Leaves[0].Thickness = 0 }},
		{"thickest", "", func(i *Input) { large(i); i.Leaves[0].Thickness = length.Metre }},
		{"thicker", "thickness", func(i *Input) { large(i); i.Leaves[0].Thickness = length.Metre + 1 }},
		{"count below", "count", func(i *Input) { i.Leaves[0].Count = -1 }},
		{"count beyond", "count", func(i *Input) { i.Leaves[0].Count = 10_001 }},
		{"no count before the last", "count", func(i *Input) { i.Leaves = []Entry{{Thickness: thou}, {Thickness: thou}} }},
		{"matched below", "matched", func(i *Input) { i.Leaves[0].Matched = -1 }},
		{"matched beyond", "matched", func(i *Input) { i.Leaves[0].Matched = 10_001 }},
		{"too many leaves", "leaf count", func(i *Input) {
			i.Leaves = []Entry{{Thickness: thou, Count: 10_000}, {Thickness: thou, Count: 1}}
		}},
		{"as many as there may be", "", func(i *Input) { large(i); i.Leaves[0].Count = 10_000 }},
		{"the board gives too many", "leaf count", func(i *Input) { large(i); i.Leaves[0].Count = 0 }},
		// 10 000 advances of 0.095 in after a skim loss of 0.095 in.
		{"the board gives just so many", "", func(i *Input) { i.Board.Thickness = 95 * 10_001 * thou }},
		{"just so many and hold-back", "", func(i *Input) { i.Board.Thickness, i.HoldBack = 95*10_002*thou, 95*thou }},
		{"one too many", "leaf count", func(i *Input) { i.Board.Thickness = 95 * 10_002 * thou }},
		{"lead", "lead", func(i *Input) { i.Lead = 0 }},
		{"feed", "feed", func(i *Input) { i.Feed = 0 }},
		{"blade speed", "blade speed", func(i *Input) { i.Saw.BladeSpeed = 0 }},
		{"tpi", "tpi", func(i *Input) { i.Blade.TPI = 0 }},
		{"gum", "gum", func(i *Input) { i.Gum = 4 }},
		{"return feed", "return feed", func(i *Input) { i.Times.ReturnFeed = -1 }},
		{"handling", "handle seconds", func(i *Input) { i.Times.HandleSeconds = -1 }},
	} {
		_, err := Compose(base(c.change))
		if refusal.Of(err) != c.quantity {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// TestTooManyLeaves: 10 002 advances of 0.095 in, the first the truing cut's.
func TestTooManyLeaves(t *testing.T) {
	_, err := Compose(base(func(i *Input) { i.Board.Thickness = 95 * 10_002 * thou }))
	want := &fault.OutOfRange{Quantity: "leaf count", Value: 10_001, Low: 1, High: 10_000}
	if !reflect.DeepEqual(err, error(want)) {
		t.Errorf("got %v, want %v", err, want)
	}
}

// TestMostFill: no less than the board gives when the dial rounds every advance
// down by a third, and no more than half as many again as asked and one, or a
// set. Advances are of 0.100 in.
func TestMostFill(t *testing.T) {
	for _, c := range []struct {
		board          length.Length
		matched        int
		fewest, atMost float64
	}{
		{900 * thou, 0, 13, 13.5 + 1}, {1_000 * thou, 0, 15, 15 + 1}, {100 * thou, 4, 4, 4}, {0, 0, 0, 1}, {-500 * thou, 3, 3, 3},
	} {
		i := base(func(i *Input) { i.Board.Thickness, i.Skim = c.board, 0 })
		i.Leaves[0].Thickness, i.Leaves[0].Matched = 55*thou, c.matched
		if got, err := i.mostFill(nil); err != nil || float64(got) < c.fewest || float64(got) > c.atMost {
			t.Errorf("%v, sets of %d: %d, %v", c.board, c.matched, got, err)
		}
	}
}

func TestNoSolution(t *testing.T) {
	for _, c := range []struct {
		name, quantity string
		needed         any
		change         func(*Input)
	}{
		// 0.095 for the truing cut and 0.095 for one leaf.
		{"no leaf", "board thickness", 190 * thou, func(i *Input) { i.Board.Thickness = 190*thou - 1 }},
		{"no leaf and no truing cut", "board thickness", 95 * thou, func(i *Input) { i.Board.Thickness, i.Skim = 90*thou, 0 }},
		{"not the truing cut", "board thickness", 190 * thou, func(i *Input) { i.Board.Thickness = thou }},
		{"with hold-back", "board thickness", 290 * thou, func(i *Input) { i.Board.Thickness, i.HoldBack = 250*thou, 100*thou }},
		{"no pair", "board thickness", 285 * thou, func(i *Input) { i.Board.Thickness, i.Leaves[0].Matched = 250*thou, 2 }},
		{"four, and five are listed", "board thickness", 570 * thou, func(i *Input) { i.Leaves[0].Count = 5 }},
		{"listed before as many as it gives", "board thickness", 570 * thou, func(i *Input) {
			i.Leaves = []Entry{{Thickness: 50 * thou, Count: 5}, {Thickness: 50 * thou}}
		}},
		{"half a pair", "count", 4, func(i *Input) { i.Leaves[0].Count, i.Leaves[0].Matched = 3, 2 }},
		// From 0.095 on, two more need 0.285: no turn goes back but the one to spare.
		{"a pair longer than the travel", "travel", 285 * thou, func(i *Input) { i.Travel, i.Leaves[0].Matched = 200*thou, 2 }},
		{"finer than the dial", "leaf thickness", thou, func(i *Input) { i.Leaves[0].Thickness = thou / 3 }},
	} {
		_, err := Compose(base(c.change))
		var none *fault.NoSolution
		if !errors.As(err, &none) || none.Quantity != c.quantity || none.Needed != c.needed {
			t.Errorf("%s: %+v", c.name, err)
		}
	}
	var entry *fault.Entry
	_, err := Compose(base(func(i *Input) { i.Leaves = []Entry{{Thickness: thou, Count: 1}, {Thickness: -1}} }))
	if !errors.As(err, &entry) || entry.Index != 1 {
		t.Errorf("the second entry is at fault: %v", err)
	}
}

// FuzzCompose holds what must be true of any sheet.
func FuzzCompose(f *testing.F) {
	f.Add(int64(12_700_000), int64(1_270_000), int64(1_143_000), int64(1_270_000), int64(0), int64(0), 2, 2, 3, 5, 0)
	f.Add(int64(5_000_000), int64(1_270_000), int64(1_143_000), int64(1_270_000), int64(0), int64(0), 2, 2, 3, 5, 0)
	f.Add(int64(50_000_000), int64(845_821), int64(1_143_001), int64(500_000), int64(3_000_000), int64(9_000_000), 4, 1, 2, 4, 1)
	f.Fuzz(func(t *testing.T, board, leaf, kerf, skim, held, travel int64, count, matched, fillMatched, every, rounding int) {
		i := base(func(i *Input) {
			i.Board.Thickness, i.Kerf, i.Skim, i.HoldBack = length.Length(board), length.Length(kerf), length.Length(skim), length.Length(held)
			i.Leaves = []Entry{
				{Thickness: length.Length(leaf), Count: count, Matched: matched},
				{Thickness: length.Length(leaf)*2 + 7, Matched: fillMatched},
			}
			i.Travel, i.Care.AfterCuts, i.Rounding = length.Length(travel), every, dial.Rounding(rounding&1)
		})
		if board > int64(length.Metre) {
			return
		}
		s, err := Compose(i)
		var none *fault.NoSolution
		if errors.As(err, &none) && none.Quantity == "board thickness" {
			i.Board.Thickness = none.Needed.(length.Length)
			if s, err := Compose(i); errors.As(err, &none) && none.Quantity == "board thickness" {
				t.Fatalf("%v was to be enough: %v, %+v", i.Board.Thickness, err, s.Summary)
			}
			i.Board.Thickness--
			if s, err := Compose(i); err == nil {
				t.Fatalf("%v was not to be enough: %+v", i.Board.Thickness, s.Summary)
			}
		}
		if err == nil {
			checkSheet(t, i, s)
		}
	})
}

func checkSheet(t *testing.T, i Input, s Sheet) {
	t.Helper()
	sum := s.Summary
	at, wood, leaves, seconds := length.Length(0), length.Length(0), 0, 0.0
	for n, c := range s.Cuts {
		seconds += c.CutSeconds
		if c.Purpose == dial.Rezero {
			if n+1 == len(s.Cuts) || s.Cuts[n+1].Mark.Book == BladeFace {
				t.Fatalf("a re-zero before row %d: %+v", n+1, s.Cuts)
			}
			continue
		}
		at += c.Advance
		if c.Position != at || c.BoardLeft != max(0, i.Board.Thickness-at) || c.Mark.Book == BladeFace && len(c.Stops) > 0 {
			t.Fatalf("row %d: %+v", n, c)
		}
		if c.Purpose == dial.Leaf {
			leaves++
			wood += c.Thickness
			if c.Leaf != leaves || c.Mark.Leaf != leaves {
				t.Fatalf("leaf %d: %+v", leaves, c)
			}
		}
	}
	half := i.Lead / length.Length(2*i.DivisionsPerTurn)
	if at+i.HoldBack > i.Board.Thickness+half || leaves != sum.LeafCount || leaves != sum.Counts[0]+sum.Counts[1] ||
		sum.Recovery != float64(wood)/float64(i.Board.Thickness) || sum.Recovery+sum.KerfShare > 1 || math.Abs(seconds-sum.TotalSeconds) > 1e-9*seconds {
		t.Fatalf("%d leaves, at %v, %v s: %+v", leaves, at, seconds, sum)
	}
	if i.Leaves[0].Count != sum.Counts[0] || sum.Counts[1]%max(1, i.Leaves[1].Matched) != 0 {
		t.Fatalf("%+v of %+v", sum.Counts, i.Leaves)
	}
}

// FuzzYield: where the dial can set every advance exactly, a run gives what the
// yield of the board is.
func FuzzYield(f *testing.F) {
	f.Add(int64(500), int64(50), int64(45), int64(50), int64(0), false)
	f.Add(int64(1750), int64(33), int64(45), int64(0), int64(125), false)
	f.Add(int64(500), int64(50), int64(45), int64(50), int64(0), true)
	f.Fuzz(func(t *testing.T, board, leaf, kerf, skim, held int64, rest bool) {
		if board > 100_000 || leaf > 1_000 || kerf > 1_000 || skim > 1_000 || held > 100_000 {
			return
		}
		b := yield.Input{BoardThickness: length.Length(board) * thou, LeafThickness: length.Length(leaf) * thou,
			Kerf: length.Length(kerf) * thou, Skim: length.Length(skim) * thou, HoldBack: length.Length(held) * thou}
		if rest {
			b.LastLeaf = yield.Rest
		}
		want, err := yield.Leaves(b)
		got, err2 := Compose(base(func(i *Input) {
			i.Board.Thickness, i.Kerf, i.Skim, i.HoldBack = b.BoardThickness, b.Kerf, b.Skim, b.HoldBack
			i.Leaves[0].Thickness, i.LastLeaf = b.LeafThickness, b.LastLeaf
			i.Feed = feed.Speed(20 * in)
		}))
		if b.HoldBack > b.BoardThickness || want.LeafCount > MaxLeaves || err == nil && want.CutCount == 0 {
			return
		}
		last := want.LastLeafThickness
		if !rest {
			last = 0
		}
		s := got.Summary
		if (err == nil) != (err2 == nil) || s.LeafCount != want.LeafCount || s.CutCount != want.CutCount ||
			s.LeftOnFence != want.LeftOnFence || s.Remainder != want.Remainder || s.Recovery != want.Recovery || s.KerfShare != want.KerfShare || err == nil && s.LastLeafThickness != last || s.SkimLoss != want.SkimLoss {
			t.Fatalf("%+v\n run %+v, %v\nyield %+v, %v", b, s, err2, want, err)
		}
	})
}
