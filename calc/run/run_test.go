package run

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"resawd/calc/blade"
	"resawd/calc/dial"
	"resawd/calc/fault"
	"resawd/calc/feed"
	"resawd/calc/length"
	"resawd/calc/yield"
)

const (
	in   = length.Inch
	thou = length.Thou
)

// base is a board of 1/2 in: a truing cut of 0.050 in and four leaves of
// 0.050 in, each with a kerf of 0.045 in.
func base(change func(*Input)) Input {
	i := Input{
		Board:   Board{Name: "A", Thickness: 500 * thou, Width: 6 * in, Length: 36 * in},
		Leaves:  []Entry{{Name: "leaf", Thickness: 50 * thou}},
		Setting: dial.Setting{Screw: dial.Screw{Lead: 50 * thou, DivisionsPerTurn: 50}, Kerf: 45 * thou},
		Skim:    50 * thou,
		Saw:     Saw{CuttingHeight: 12 * in, RailLength: 104 * in, BladeSpeed: feed.BladeSpeed(3000 * length.Foot)},
		Feed:    feed.Speed(10 * in),
		Blade:   blade.Blade{Width: in / 2, BodyThickness: 25 * thou, Kerf: 45 * thou, TPI: 6},
	}
	change(&i)
	return i
}

func compose(t *testing.T, change func(*Input)) Sheet {
	t.Helper()
	s, err := Compose(base(change))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestRows works a whole sheet by hand: a truing cut, a pair, a single leaf and
// a set of three, on a travel of 340. Advances are 65 (20 + 45), 95 and 145.
// Positions 65 160 255 400 495 590 685; the single leaf at 400 is beyond 340,
// so at 255 the screw goes back 4 turns to 55, all but the turn to spare; the set
// ends at 685-200 = 485 beyond 340, so at 400 (200) it goes back 3 turns to 50,
// and 335 fits. Cleaning
// after 4 cuts would fall after the first leaf of the three: it is made before
// the set, after 4 cuts.
func TestRows(t *testing.T) {
	s := compose(t, func(i *Input) {
		i.Board.Thickness, i.HoldBack, i.Skim, i.Travel = 800*thou, 100*thou, 20*thou, 340*thou
		i.Leaves = []Entry{
			{Name: "pair", Thickness: 50 * thou, Count: 2, Matched: 2},
			{Name: "one", Thickness: 100 * thou, Count: 1},
			{Name: "three", Thickness: 50 * thou, Matched: 3},
		}
		i.Care.AfterCuts = 5
		i.Times = Times{ReturnFeed: feed.Speed(120 * in), HandleSeconds: 30, IndexSeconds: 15, SetupSeconds: 900, CleanSeconds: 60}
	})
	cut := func(n, leaf, entry int, name string, thick, pos length.Length, turns float64, whole, div, reading, tally int, m Mark, stops ...Stop) Cut {
		if stops == nil {
			stops = []Stop{}
		}
		return Cut{Cut: n, Purpose: dial.Leaf, Stops: stops, Entry: entry, Leaf: leaf, Name: name, Mark: m,
			Thickness: thick * thou, Advance: (thick + 45) * thou, Turns: turns, WholeTurns: whole, Divisions: div,
			Reading: reading, TurnTally: tally, Position: pos * thou, CutSeconds: 216, BoardLeft: (800 - pos) * thou}
	}
	skim := cut(1, 0, -1, "", 20, 65, 1.3, 1, 15, 15, 1, Mark{})
	skim.Purpose = dial.Skim
	rezero := func(pos length.Length, turns float64, reading, tally int) Cut {
		return Cut{Purpose: dial.Rezero, Stops: []Stop{}, Entry: -1, Turns: turns, WholeTurns: int(turns),
			Reading: reading, TurnTally: tally, Position: pos * thou, BoardLeft: (800 - pos) * thou}
	}
	want := []Cut{
		skim,
		cut(2, 1, 0, "pair", 50, 160, 1.9, 1, 45, 10, 3, Mark{"A", 1, 1, FenceFace, 2}),
		cut(3, 2, 0, "pair", 50, 255, 1.9, 1, 45, 5, 5, Mark{"A", 2, 1, BladeFace, 1}),
		rezero(255, -4, 5, 1),
		cut(4, 3, 1, "one", 100, 400, 2.9, 2, 45, 0, 4, Mark{Billet: "A", Leaf: 3}, Rezero),
		rezero(400, -3, 0, 1),
		cut(5, 4, 2, "three", 50, 495, 1.9, 1, 45, 45, 2, Mark{"A", 4, 2, FenceFace, 5}, Clean, Rezero),
		cut(6, 5, 2, "three", 50, 590, 1.9, 1, 45, 40, 4, Mark{"A", 5, 2, BladeFace, 4}),
		cut(7, 6, 2, "three", 50, 685, 1.9, 1, 45, 35, 6, Mark{"A", 6, 2, FenceFace, 0}),
	}
	for i := range want {
		if i >= len(s.Cuts) || !reflect.DeepEqual(s.Cuts[i], want[i]) {
			t.Errorf("row %d:\n got %+v\nwant %+v", i, s.Cuts[min(i, len(s.Cuts)-1)], want[i])
		}
	}
	if len(s.Cuts) != len(want) {
		t.Errorf("%d rows, want %d", len(s.Cuts), len(want))
	}
	// 800 - 685 = 115 stays. Leaf wood is 2*50 + 100 + 3*50 = 350, kerfs are 7*45 = 315.
	// Each cut saws 36 by 6 in of 645.16 mm2. Feed per tooth 10/(6*36 000) in.
	sum := Summary{
		LeafCount: 6, LeafCountLeast: 6, BladeSuits: true, Counts: []int{2, 1, 3}, CutCount: 7, CleanCount: 1, RezeroCount: 2,
		Time: feed.Breakdown{CuttingSeconds: 7 * 216, ReturningSeconds: 7 * 18, HandlingSeconds: 210,
			IndexingSeconds: 105, SettingUpSeconds: 900, CleaningSeconds: 60},
		TotalSeconds: 1512 + 126 + 210 + 105 + 900 + 60,
		SkimLoss:     65 * thou, Recovery: 0.4375, KerfShare: 0.39375, LeftOnFence: 115 * thou, Remainder: 15 * thou,
		FeedPerToothMM: s.Summary.FeedPerToothMM, Teeth: blade.Teeth{Low: 6, High: 6}, SawnAreaMM2: s.Summary.SawnAreaMM2,
	}
	if !reflect.DeepEqual(s.Summary, sum) || math.Abs(sum.SawnAreaMM2-7*36*6*645.16) > 1e-6 || math.Abs(sum.FeedPerToothMM-254.0/6/36_000) > 1e-9 {
		t.Errorf("summary\n got %+v\nwant %+v", s.Summary, sum)
	}
	if len(s.Warnings) != 0 {
		t.Errorf("warnings %+v", s.Warnings)
	}
}

// TestUnits: the board, the screw and the kerf told in inches and in millimetres
// give the same sheet, to the nanometre.
func TestUnits(t *testing.T) {
	read := func(texts string, unit length.Length) Input {
		var l []length.Length
		for text := range strings.FieldsSeq(texts) {
			x, err := length.Parse(text, unit)
			if err != nil {
				t.Fatal(err)
			}
			l = append(l, x)
		}
		return base(func(i *Input) {
			i.Board.Thickness, i.Board.Width, i.Board.Length = l[0], l[1], l[2]
			i.Leaves[0].Thickness, i.Kerf, i.Skim, i.HoldBack, i.Lead = l[3], l[4], l[5], l[6], l[7]
			i.Feed = feed.Speed(l[8])
		})
	}
	inches, err := Compose(read("1.75 6 36 0.0333 0.045 0.02 1/8 0.05 10", in))
	metric, err2 := Compose(read("44.45 152.4 914.4 0.84582 1.143 0.508 3.175 1.27 254", length.Millimetre))
	if err != nil || err2 != nil || !reflect.DeepEqual(inches, metric) || len(inches.Cuts) != 21 {
		t.Errorf("%v, %v: %d cuts\n%+v\n%+v", err, err2, len(inches.Cuts), inches.Summary, metric.Summary)
	}
}

// TestYieldWorked holds the worked values of the yield on a dial that can set
// them, and the dial's drift: thirty leaves of 0.0333 in, each 0.0003 in thin.
func TestYieldWorked(t *testing.T) {
	s := compose(t, func(i *Input) { i.HoldBack = 125 * thou }).Summary
	if s.LeafCount != 2 || s.LeftOnFence != 215*thou || s.Remainder != 90*thou || s.SkimLoss != 95*thou {
		t.Errorf("%+v", s)
	}
	thirty := func(i *Input) {
		i.Board.Thickness, i.Skim = 3*in, 0
		i.Leaves[0].Thickness, i.Leaves[0].Count = 333*thou/10, 30
	}
	s = compose(t, thirty).Summary
	if s.PositionDeviation != 9*thou || s.LeafDeviation != 3*thou/10 || s.Recovery != 0.33 {
		t.Errorf("by step: %+v", s)
	}
	s = compose(t, func(i *Input) { thirty(i); i.Rounding = dial.ByPosition }).Summary
	if s.PositionDeviation != thou/2 || s.LeafDeviation != 7*thou/10 {
		t.Errorf("by position: %+v", s)
	}
}

// TestLeastSkim: on a dial of a nanometre a division, a skim of one is a truing
// cut.
func TestLeastSkim(t *testing.T) {
	s := compose(t, func(i *Input) { i.Lead, i.Skim = 50, 1 })
	if s.Summary.LeafCount != 4 || s.Summary.CutCount != 5 || s.Cuts[0].Thickness != 1 || s.Summary.SkimLoss != 45*thou+1 {
		t.Errorf("%+v", s.Summary)
	}
}

// TestFit has leaves of 0.0554 in, advances of 100.4 divisions set as 100, and
// of 0.0556 in, 100.6 set as 101.
func TestFit(t *testing.T) {
	for _, c := range []struct {
		name           string
		board, leaf    length.Length // tenths of a thousandth of an inch
		count          int
		rounding       dial.Rounding
		leaves         int
		needed         length.Length // where the leaves do not fit
		overrun        length.Length
		left, holdBack length.Length
	}{
		{"drift gains room", 5_000, 554, 0, dial.ByStep, 5, 0, 0, 0, 0},
		{"drift gains room for four", 1_000_000, 554, 0, dial.ByStep, 1000, 0, 0, 0, 0}, // asked, 996
		{"asked, four fit", 5_000, 554, 0, dial.ByPosition, 4, 0, 0, 980, 0},            // 401.6 is set as 402
		{"five as the dial sets them", 4_999, 554, 5, dial.ByStep, 0, 5_000, 0, 0, 0},
		{"drift takes room", 5_044, 556, 0, dial.ByStep, 4, 0, 0, 1_004, 0},
		{"five fit as asked", 5_020, 554, 5, dial.ByPosition, 5, 0, 0, 0, 0},
		// 2 * 100.6 = 201.2, set as 201 by position.
		{"a little less than asked", 2_011, 556, 2, dial.ByPosition, 2, 0, 0, 1, 0},
		// 100.6 is set as 101, 0.4 over.
		{"over by less than half", 1_006, 556, 1, dial.ByStep, 1, 0, 4, 0, 0},
		{"the same into the hold-back", 2_006, 556, 1, dial.ByStep, 1, 0, 4, 996, 1_000},
		{"neither asked nor set", 1_005, 556, 1, dial.ByStep, 0, 1_006, 0, 0, 0},
		// 100.5 is set as 101: just half.
		{"over by half", 1_005, 555, 1, dial.ByStep, 1, 0, 5, 0, 0},
		// 2 * 100.5 = 201, set as 202: too far; 201.5 would do.
		{"over by a division", 2_010, 555, 2, dial.ByStep, 0, 2_015, 0, 0, 0},
		{"over by half in all", 2_015, 555, 2, dial.ByStep, 2, 0, 5, 0, 0},
	} {
		const unit = thou / 10
		s, err := Compose(base(func(i *Input) {
			i.Skim, i.HoldBack, i.Board.Thickness, i.Rounding = 0, c.holdBack*unit, c.board*unit, c.rounding
			i.Leaves[0].Thickness, i.Leaves[0].Count = c.leaf*unit, c.count
		}))
		var none *fault.NoSolution
		if c.needed > 0 {
			if !errors.As(err, &none) || none.Needed != c.needed*unit || none.Value != c.board*unit {
				t.Errorf("%s: %v, %v leaves", c.name, err, s.Summary.LeafCount)
			}
			continue
		}
		over := length.Length(0)
		for _, w := range s.Warnings {
			if w.Kind == DialOverrun {
				over = w.Value.(length.Length)
			}
		}
		if err == nil && (s.Cuts[len(s.Cuts)-1].BoardLeft != c.left*unit || s.Summary.Remainder != max(0, c.left-c.holdBack)*unit) {
			t.Errorf("%s: %v on the board, remainder %v", c.name, s.Cuts[len(s.Cuts)-1].BoardLeft, s.Summary.Remainder)
		}
		if err != nil || s.Summary.LeafCount != c.leaves || s.Summary.LeftOnFence != c.left*unit || over != c.overrun*unit {
			t.Errorf("%s: %v, %+v, over by %v", c.name, err, s.Summary, over)
		}
	}
}

// TestStops places cleanings and looks at what they must be: none before the
// first cut or within a set, none but where the cut or its set would be one too
// many, and no more cuts between two than allowed unless a set alone has more.
func TestStops(t *testing.T) {
	for _, entries := range [][]Entry{
		{{Count: 20}}, {{Count: 12, Matched: 2}}, {{Count: 3}, {Count: 8, Matched: 4}, {Count: 5}}, {{Count: 2, Matched: 2}, {Count: 9, Matched: 3}},
	} {
		for n := range 24 {
			every := n / 2
			i := Input{Leaves: entries, Skim: length.Length(n % 2)}
			tasks := i.tasks(0)
			since := 0
			for n, clean := range cleanings(tasks, every, 0) {
				set := 1 // cuts that stand or fall with this one
				for m := n + 1; m < len(tasks) && tasks[m].inSet > 1; m++ {
					set++
				}
				inside := tasks[n].inSet > 1
				want := every > 0 && since > 0 && !inside && since+set > every
				if clean != want {
					t.Errorf("%+v, every %d: before cut %d %v, want %v", entries, every, n+1, clean, want)
				}
				if clean {
					since = 0
				}
				since++
			}
		}
	}
}

// TestCare: 36 by 6 in is 216 square inches of 645.16 mm2, 139 354.56 mm2.
func TestCare(t *testing.T) {
	board := Board{Width: 6 * in, Length: 36 * in}
	for _, c := range []struct {
		care Care
		want int
	}{
		{Care{}, 0}, {Care{AfterCuts: 10}, 10},
		{Care{AfterAreaMM2: 139_354.56}, 1}, {Care{AfterAreaMM2: 139_354.560001}, 2}, {Care{AfterAreaMM2: 1}, 1}, {Care{AfterAreaMM2: 1e-6}, 1},
		{Care{AfterAreaMM2: 10 * 216 * 645.16}, 10}, {Care{12, 10 * 216 * 645.16}, 10}, {Care{8, 10 * 216 * 645.16}, 8},
	} {
		if got := c.care.everyCuts(board); got != c.want {
			t.Errorf("%+v: %d, want %d", c.care, got, c.want)
		}
	}
	if got := (Care{AfterAreaMM2: 3e-6}).everyCuts(Board{Width: 1, Length: 1}); got != 3 {
		t.Errorf("three square micrometres, one a cut at least: %d", got)
	}
	if s := compose(t, func(i *Input) { i.Care.AfterCuts = 2 }); s.Summary.CleanCount != 2 {
		t.Errorf("five cuts, cleaning after two: %d stops", s.Summary.CleanCount)
	}
	if got := (Care{AfterAreaMM2: maxAreaMM2}).everyCuts(Board{Width: 1, Length: 1}); got != math.MaxInt32 {
		t.Errorf("a speck of wood: %d", got)
	}
}

// TestRest: of 500 a truing cut leaves 405; 3 leaves of 95 each leave 120 as the
// fourth. A set of two at the end has the rest as its second leaf.
func TestRest(t *testing.T) {
	s := compose(t, func(i *Input) { i.LastLeaf, i.Leaves[0].Matched = yield.Rest, 2 })
	want := Cut{
		Purpose: dial.Leaf, Rest: true, Stops: []Stop{}, Leaf: 4, Name: "leaf", Mark: Mark{"A", 4, 2, BladeFace, 3},
		Thickness: 120 * thou, Reading: s.Cuts[3].Reading, TurnTally: s.Cuts[3].TurnTally, Position: 380 * thou,
	}
	if len(s.Cuts) != 5 || !reflect.DeepEqual(s.Cuts[4], want) {
		t.Errorf("%d rows, the last\n got %+v\nwant %+v", len(s.Cuts), s.Cuts[len(s.Cuts)-1], want)
	}
	sum := s.Summary
	if sum.LeafCount != 4 || sum.CutCount != 4 || sum.Counts[0] != 4 || sum.LastLeafThickness != 120*thou || sum.LeftOnFence != 0 ||
		sum.Remainder != 0 || sum.Recovery != 0.54 || sum.KerfShare != 0.36 || sum.LeafDeviation != 0 || sum.TotalSeconds != 4*216 {
		t.Errorf("%+v", sum)
	}
	for _, c := range []struct {
		name   string
		change func(*Input)
		needed any
	}{
		// Two leaves and the kerf between them.
		{"a board that is one leaf", func(i *Input) { i.Board.Thickness, i.Skim = 100*thou, 0 }, 145 * thou},
		{"one leaf is asked for", func(i *Input) { i.Leaves[0].Count, i.Skim = 1, 0 }, 2},
		{"five do not go in", func(i *Input) { i.Leaves[0].Count = 5 }, 525 * thou},
		{"not one leaf", func(i *Input) { i.Board.Thickness = 144 * thou }, 145 * thou},
	} {
		_, err := Compose(base(func(i *Input) { i.LastLeaf = yield.Rest; c.change(i) }))
		var none *fault.NoSolution
		if !errors.As(err, &none) || none.Needed != c.needed {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	var entry *fault.Entry
	_, err := Compose(base(func(i *Input) { i.LastLeaf, i.Leaves[0].Count, i.Skim = yield.Rest, 1, 0 }))
	if !errors.As(err, &entry) || entry.Index != 0 {
		t.Errorf("the only entry is at fault: %v", err)
	}
}

// TestBow: the truing cut takes off the bow beside the skim, however little it
// is: 50 and 20 beside a kerf of 45 are 115.
func TestBow(t *testing.T) {
	s := compose(t, func(i *Input) { i.Board.Bow = 20 * thou })
	if s.Cuts[0].Position != 115*thou || s.Summary.SkimLoss != 115*thou || s.Summary.LeafCount != 4 {
		t.Errorf("%+v", s.Summary)
	}
	s = compose(t, func(i *Input) { i.Skim, i.Board.Bow = 0, thou/3 })
	if s.Cuts[0].Purpose != dial.Skim || s.Cuts[0].Thickness != thou || s.Summary.SkimLoss != 45*thou+thou/3 || s.Summary.CutCount != 5 {
		t.Errorf("%+v, %+v", s.Cuts[0], s.Summary)
	}
}

// TestLeast: 500 - 95 = 405 is 4*95 + 25 to spare for five kerfs; 5*0.2 more is a
// division of the dial. Of pairs, none or both count.
func TestLeast(t *testing.T) {
	for _, c := range []struct {
		margin  length.Length
		matched int
		want    int
	}{{0, 1, 4}, {5 * thou, 1, 4}, {26 * thou / 5, 1, 3}, {26 * thou / 5, 2, 2}, {40 * thou, 1, 2}, {200 * thou, 1, 0}, {500 * thou, 1, 0}} {
		s := compose(t, func(i *Input) { i.KerfMargin, i.Leaves[0].Matched, i.Rounding = c.margin, c.matched, dial.ByPosition })
		if s.Summary.LeafCountLeast != c.want || s.Summary.LeafCount != 4 {
			t.Errorf("%+v: %d of %d", c, s.Summary.LeafCountLeast, s.Summary.LeafCount)
		}
	}
}

// TestLeastOfNone: of 200 a pair takes 190, and with kerfs of 55 one leaf alone
// would come off; beside a kerf of 46 the dial leaves nothing of 0.4.
func TestLeastOfNone(t *testing.T) {
	for name, change := range map[string]func(*Input){
		"half a pair": func(i *Input) {
			i.Board.Thickness, i.Skim, i.Leaves[0].Matched, i.KerfMargin = 200*thou, 0, 2, 10*thou
		},
		"finer than the dial": func(i *Input) {
			i.Kerf, i.KerfMargin, i.Leaves[0] = 451*thou/10, 9*thou/10, Entry{Thickness: 4 * thou / 10, Count: 2}
		},
	} {
		if s := compose(t, change); s.Summary.LeafCountLeast != 0 || s.Summary.LeafCount != 2 {
			t.Errorf("%s: %d of %d", name, s.Summary.LeafCountLeast, s.Summary.LeafCount)
		}
	}
}

// TestMetal: the fourth leaf leaves 25 on the fence, the third 120.
func TestMetal(t *testing.T) {
	for _, c := range []struct {
		metal, holdBack length.Length
		count           int
		fits            bool
	}{
		{25 * thou, 0, 0, true}, {25*thou + 1, 0, 0, false}, {25*thou + 1, 0, 3, true}, {120 * thou, 0, 3, true},
		{120*thou + 1, 0, 3, false}, {120 * thou, 120 * thou, 0, true},
	} {
		_, err := Compose(base(func(i *Input) { i.Metal, i.HoldBack, i.Leaves[0].Count = c.metal, c.holdBack, c.count }))
		var none *fault.NoSolution
		if (err == nil) != c.fits || !c.fits && (!errors.As(err, &none) || none.Quantity != "hold back" || none.Needed != c.metal) {
			t.Errorf("%+v: %v", c, err)
		}
	}
	// The dial's half division is no leave to cut into metal.
	into := func(i *Input) {
		i.HoldBack, i.Metal, i.Leaves[0].Thickness, i.Leaves[0].Count = 25*thou+4, 25*thou+4, 50*thou-1, 4
	}
	_, err := Compose(base(into))
	var none *fault.NoSolution
	if !errors.As(err, &none) || none.Needed != 500*thou+4 {
		t.Errorf("into metal by 4 nm: %v", err)
	}
	_, err = Compose(base(func(i *Input) { into(i); i.HoldBack, i.Metal, i.Board.Thickness = 1, 1, 475*thou-10 }))
	if !errors.As(err, &none) || none.Needed != 475*thou+1 {
		t.Errorf("into the least of metal: %v", err)
	}
	if s := compose(t, func(i *Input) { into(i); i.Metal -= 4 }); s.Summary.LeafCount != 4 {
		t.Errorf("beside metal: %+v", s.Summary)
	}
}
