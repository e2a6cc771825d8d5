package run

import (
	"errors"
	"reflect"
	"testing"

	"resawd/calc/dial"
	"resawd/calc/fault"
	"resawd/calc/internal/refusal"
	"resawd/calc/length"
)

// TestGoOn: the truing cut and a leaf are done, at 195 instead of 190, and the
// kerf is 50 instead of 45. From there advances are 100, to 295, 395 and 495 of
// 500; the leaf that was cut too deep is 55.
func TestGoOn(t *testing.T) {
	s := compose(t, func(i *Input) { i.Done = Done{Cuts: 2, Position: 195 * thou, Kerf: 50 * thou} })
	if len(s.Done) != 2 || s.Done[0].Purpose != dial.Skim || s.Done[1].Thickness != 55*thou || s.Done[1].Position != 195*thou ||
		s.Done[1].BoardLeft != 305*thou || s.Done[1].Advance != 100*thou {
		t.Errorf("done %+v", s.Done)
	}
	for i, c := range s.Cuts {
		at := length.Length(295 + 100*i)
		want := Cut{
			Cut: 3 + i, Purpose: dial.Leaf, Stops: []Stop{}, Leaf: 2 + i, Name: "leaf", Mark: Mark{Billet: "A", Leaf: 2 + i},
			Thickness: 50 * thou, Advance: 100 * thou, Turns: 2, WholeTurns: 2, Reading: 45, TurnTally: 5 + 2*i,
			Position: at * thou, CutSeconds: 216, BoardLeft: (500 - at) * thou,
		}
		if !reflect.DeepEqual(c, want) {
			t.Errorf("row %d\n got %+v\nwant %+v", i, c, want)
		}
	}
	sum := s.Summary
	if len(s.Cuts) != 3 || sum.LeafCount != 3 || sum.CutCount != 3 || sum.LeftOnFence != 5*thou || sum.SkimLoss != 0 || sum.LeafDeviation != 0 ||
		sum.Recovery != 150.0/305 || sum.KerfShare != 150.0/305 {
		t.Errorf("%+v", sum)
	}
	for _, w := range s.Warnings {
		if w.Kind == LeavesLost {
			t.Errorf("no leaf is lost: %+v", w)
		}
	}
}

// TestGoOnAsBefore: with nothing changed, the cuts that remain are those of the
// sheet, wherever the run stops: within a set, before a re-zero, after a cleaning.
func TestGoOnAsBefore(t *testing.T) {
	for _, change := range []func(*Input){
		func(i *Input) { i.Care.AfterCuts = 2 },
		func(i *Input) {
			i.Board.Thickness, i.HoldBack, i.Skim, i.Travel = 800*thou, 100*thou, 20*thou, 340*thou
			i.Leaves = []Entry{
				{Name: "pair", Thickness: 50 * thou, Count: 2, Matched: 2},
				{Name: "one", Thickness: 100 * thou, Count: 1},
				{Name: "three", Thickness: 50 * thou, Matched: 3},
			}
			i.Care.AfterCuts = 5
		},
	} {
		whole := compose(t, change)
		for k := 1; k < whole.Summary.CutCount; k++ {
			s := compose(t, func(i *Input) { change(i); i.Done.Cuts = k })
			if n := len(s.Done); !reflect.DeepEqual(append(s.Done, s.Cuts...), whole.Cuts) || s.Done[n-1].Cut != k {
				t.Errorf("after %d cuts:\n got %+v\nand %+v\nwant %+v", k, s.Done, s.Cuts, whole.Cuts)
			}
		}
	}
}

// TestGoOnLost: kerfs of 52 make advances of 102, 195 + 3*102 = 501: one leaf is
// lost. Of a pair that does not fit any more, none is sawn.
func TestGoOnLost(t *testing.T) {
	lost := func(change func(*Input)) any {
		for _, w := range compose(t, change).Warnings {
			if w.Kind == LeavesLost && w.Entry == -1 {
				return w.Value
			}
		}
		return nil
	}
	worse := Done{Cuts: 2, Position: 195 * thou, Kerf: 52 * thou}
	for name, c := range map[string]struct {
		change func(*Input)
		want   any
	}{
		"as many as it gives":  {func(i *Input) { i.Done = worse }, 1},
		"listed":               {func(i *Input) { i.Done, i.Leaves[0].Count = worse, 4 }, 1},
		"after the truing cut": {func(i *Input) { i.Leaves[0].Count, i.Done = 4, Done{Cuts: 1, Position: 150 * thou} }, 1}, // 245, 340, 435, 530
		"half a pair": {func(i *Input) {
			i.Leaves = []Entry{{Thickness: 50 * thou, Count: 2}, {Thickness: 50 * thou, Count: 2, Matched: 2}}
			i.Done = worse
		}, 2},
	} {
		if got := lost(c.change); got != c.want {
			t.Errorf("%s: %v are lost, want %v", name, got, c.want)
		}
	}
}

// TestGoOnExactly: advances of just under 100.5 are set as 100, and from 200 on
// end at 500 of 500; a nanometre more would be set as 101. The kerf was measured,
// so no leaf is in doubt.
func TestGoOnExactly(t *testing.T) {
	s := compose(t, func(i *Input) {
		i.KerfMargin, i.Done = 5*thou, Done{Cuts: 2, Position: 200 * thou, Kerf: 50*thou + thou/2 - 1}
	})
	if s.Summary.LeafCount != 3 || s.Summary.LeafCountLeast != 3 {
		t.Errorf("%d leaves, %d at least", s.Summary.LeafCount, s.Summary.LeafCountLeast)
	}
}

// TestGoOnTooFar: where no listed leaf, or no whole set, comes off any more, the last cut
// cannot have been made there. Of 500 a leaf takes 95 and a pair 190; the cut before was
// made at 95, or 285, and the leaf since took a kerf of 45 at least.
func TestGoOnTooFar(t *testing.T) {
	one := Entry{Thickness: 50 * thou, Count: 1}
	for name, c := range map[string]struct {
		leaves          []Entry
		cuts            int
		at, above, most length.Length
		kerf            length.Length
	}{
		"a leaf":                {[]Entry{{Thickness: 50 * thou, Count: 3}, {Thickness: 50 * thou}}, 2, 460, 140, 405, 0},
		"a pair":                {[]Entry{one, {Thickness: 50 * thou, Count: 2, Matched: 2}}, 2, 400, 140, 310, 0},
		"as many as there are":  {[]Entry{{Thickness: 50 * thou}}, 4, 495, 330, 405, 0},
		"beyond the board":      {[]Entry{{Thickness: 50 * thou}}, 4, 501, 330, 500, 0},
		"before the cut before": {[]Entry{{Thickness: 50 * thou}}, 4, 280, 330, 500, 0},
		"the kerf as before":    {[]Entry{{Thickness: 50 * thou}}, 2, 420, 140, 405, 0},
		"just one division":     {[]Entry{one, {Thickness: 265 * thou}}, 2, 400, 140, 141, 94}, // 141 + 265 + 94
		"a leaf of nothing":     {[]Entry{{Thickness: 50 * thou}}, 2, 140, 140, 500, 0},
	} {
		at := func(position length.Length) Input {
			return base(func(i *Input) {
				i.Leaves, i.Done = c.leaves, Done{Cuts: c.cuts, Position: position, Kerf: c.kerf * thou}
			})
		}
		_, err := Compose(at(c.at * thou))
		var out *fault.OutOfRange
		if !errors.As(err, &out) || out.Quantity != "done position" || out.Value != c.at*thou || out.Low != c.above*thou || !out.Open || out.High != c.most*thou || out.Why == "" {
			t.Errorf("%s: %v", name, err)
		}
		if _, err := Compose(at(c.most * thou)); c.most < 500 && err != nil {
			t.Errorf("%s: the most is refused: %v", name, err)
		}
		if s, err := Compose(at(c.above*thou + thou)); err != nil || s.Done[c.cuts-1].Thickness != thou {
			t.Errorf("%s: just above what it must be: %+v, %v", name, s.Done, err)
		}
	}
}

// TestGoOnShallow: a truing cut may be made anywhere, even where it takes less than a
// kerf; after a re-zero no cut was made before it.
func TestGoOnShallow(t *testing.T) {
	s := compose(t, func(i *Input) { i.Done = Done{Cuts: 1, Position: 1} })
	if s.Done[0].Thickness != 0 || s.Done[0].Position != 1 || s.Done[0].BoardLeft != 500*thou-1 {
		t.Errorf("%+v", s.Done)
	}
	_, err := Compose(base(func(i *Input) { i.Travel, i.Done = 250*thou, Done{Cuts: 3, Position: 100 * thou} }))
	if refusal.Of(err) != "done position" {
		t.Errorf("before the re-zero: %v", err)
	}
}

// TestGoOnWide: from 190 of 500 a leaf of 50 comes off with a kerf of 260 divisions of 1,
// and with one that the dial rounds to it. A kerf beyond that is at fault, not the board;
// where no leaf would come off anyway it is not.
func TestGoOnWide(t *testing.T) {
	const widest = 260 * thou
	for _, kerf := range []length.Length{widest, widest + thou/2 - 1} {
		if s := compose(t, func(i *Input) { i.Done = Done{Cuts: 2, Kerf: kerf} }); s.Summary.LeafCount != 1 {
			t.Errorf("%v: %d leaves", kerf, s.Summary.LeafCount)
		}
	}
	for _, kerf := range []length.Length{widest + thou/2, widest + thou, 3 * length.Inch, length.Metre} {
		_, err := Compose(base(func(i *Input) { i.Done = Done{Cuts: 2, Kerf: kerf} }))
		var out *fault.OutOfRange
		if !errors.As(err, &out) || out.Quantity != "done kerf" || out.Value != kerf || out.Low != length.Length(0) || out.High != widest || out.Why == "" {
			t.Errorf("%v: %v", kerf, err)
		}
	}
	// A leaf of 309 comes off 190 with a kerf of a division; the sheet counted on none.
	_, err := Compose(base(func(i *Input) {
		i.Leaves, i.Kerf, i.Skim = []Entry{{Thickness: 190 * thou, Count: 1}, {Thickness: 309 * thou, Count: 1}}, 0, 0
		i.Done = Done{Cuts: 1, Kerf: 2 * thou}
	}))
	var out *fault.OutOfRange
	if !errors.As(err, &out) || out.High != thou {
		t.Errorf("a kerf of one division at most: %v", err)
	}
	// Two leaves of 50 with kerfs of 1000 take 2100.
	_, err = Compose(base(func(i *Input) {
		i.Leaves = []Entry{{Thickness: 50 * thou, Count: 3}, {Thickness: 50 * thou}}
		i.Done = Done{Cuts: 2, Position: 460 * thou, Kerf: length.Inch}
	}))
	var none *fault.NoSolution
	if !errors.As(err, &none) || none.Quantity != "board thickness" || none.Needed != 2560*thou {
		t.Errorf("neither the kerf nor the position alone is too much: %v", err)
	}
}

func TestGoOnRefusals(t *testing.T) {
	for _, c := range []struct {
		quantity string
		done     Done
	}{
		{"done cuts", Done{Kerf: 1}}, {"done cuts", Done{Cuts: -1}}, {"done cuts", Done{Cuts: 5}},
		{"done position", Done{Cuts: 1, Position: -1}}, {"done position", Done{Cuts: 1, Position: 500*thou + 1}},
		// The truing cut takes off whatever it meets; the first leaf after it, at 95, begins a
		// kerf of 45 on.
		{"", Done{Cuts: 1, Position: 1}}, {"done position", Done{Cuts: 2, Position: 140 * thou}}, {"", Done{Cuts: 2, Position: 140*thou + 1}},
		{"done position", Done{Cuts: 2, Position: 500 * thou}},
		{"done kerf", Done{Cuts: 1, Kerf: -1}}, {"done kerf", Done{Cuts: 1, Kerf: length.Metre + 1}},
	} {
		_, err := Compose(base(func(i *Input) { i.Done = c.done }))
		if refusal.Of(err) != c.quantity {
			t.Errorf("%+v: %v", c.done, err)
		}
	}
}
