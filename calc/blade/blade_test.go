package blade

import (
	"math"
	"math/rand"
	"reflect"
	"testing"

	"resawd/calc/fault"
	"resawd/calc/feed"
	"resawd/calc/internal/refusal"
	"resawd/calc/length"
)

const (
	in   = length.Inch
	mm   = length.Millimetre
	slow = feed.Speed(20 * in) // the fastest that counts as slow
	fast = slow + 1
)

// TestTable holds the practice table at both ends of every row, and the moves
// along it.
func TestTable(t *testing.T) {
	for _, c := range []struct {
		height length.Length
		op     Operation
		gum    Gum
		feed   feed.Speed
		want   Teeth
	}{
		{1, Resaw, LowGum, slow, Teeth{10, 10}},
		{3*in/2 - 1, Resaw, LowGum, slow, Teeth{10, 10}},
		{3 * in / 2, Resaw, LowGum, slow, Teeth{8, 10}},
		{2*in - 1, Resaw, LowGum, slow, Teeth{8, 10}},
		{2 * in, Resaw, LowGum, slow, Teeth{8, 8}},
		{4 * in, Resaw, LowGum, slow, Teeth{8, 8}},
		{4*in + 1, Resaw, LowGum, slow, Teeth{6, 6}},
		{8 * in, Resaw, LowGum, slow, Teeth{6, 6}},
		{8*in + 1, Resaw, LowGum, slow, Teeth{4, 6}},
		{length.Max, Resaw, LowGum, slow, Teeth{4, 6}},

		{3 * in, Rip, LowGum, slow, Teeth{8, 8}},
		{3 * in, Resaw, LowGum, fast, Teeth{6, 6}},
		{3 * in, Resaw, MediumGum, slow, Teeth{6, 8}},
		{3 * in, Resaw, HighGum, slow, Teeth{6, 6}},
		{3 * in, Resaw, HighGum, fast, Teeth{4, 6}},
		{3 * in, Resaw, UnknownGum, slow, Teeth{8, 8}},
		{3 * in, Crosscut, LowGum, slow, Teeth{8, 10}},
		{3 * in, Crosscut, LowGum, fast, Teeth{8, 8}},
		{in, Crosscut, LowGum, slow, Teeth{10, 10}}, // nothing is finer
		{9 * in, Resaw, LowGum, fast, Teeth{3, 4}},
		{9 * in, Resaw, MediumGum, fast, Teeth{3, 4}}, // nothing is coarser
		{9 * in, Resaw, HighGum, fast, Teeth{3, 4}},
		{in, Resaw, LowGum, 1, Teeth{10, 10}},
		{in, Resaw, LowGum, feed.Speed(100 * length.Metre), Teeth{8, 10}},
	} {
		if got, err := TeethPerInch(c.height, c.op, c.gum, c.feed); err != nil || got != c.want {
			t.Errorf("%+v: got %v, %v", c, got, err)
		}
	}
}

// good are a blade and a cut that nothing speaks against.
var (
	good    = Blade{Name: "good", Width: in / 2, BodyThickness: in / 40, Kerf: 1 * mm, TPI: 8}
	goodCut = Cut{StockHeight: 100 * mm, LeafThickness: 3 * mm, Feed: slow}
)

// TestJudge changes one thing of the good blade and cut in every row. Scores
// are the sums of the four parts, worked by hand from the package comment.
func TestJudge(t *testing.T) {
	loss := Reason{Kind: KerfLost, Value: 0.25}
	teeth, wide := Reason{Kind: TeethRight, Value: 8.0}, Reason{WidthRight, in / 2, in / 2}
	for _, c := range []struct {
		name    string
		change  func(b *Blade, c *Cut)
		suits   bool
		score   float64
		reasons []Reason
	}{
		{"good", func(*Blade, *Cut) {}, true, 4, []Reason{teeth, wide, loss}},
		// 8/16 for the teeth; the finish asks for no coarser ones.
		{"too fine", func(b *Blade, _ *Cut) { b.TPI = 16 }, false, 3.5, []Reason{{TeethTooFine, 16.0, 8.0}, wide, loss}},
		// 6/8 for the teeth and 6/8 for the finish.
		{"too coarse", func(b *Blade, _ *Cut) { b.TPI = 6 }, true, 3.5, []Reason{{TeethCoarse, 6.0, 8.0}, wide, loss}},
		{"narrow", func(b *Blade, _ *Cut) { b.Width = in / 4 }, false, 3.5, []Reason{teeth, {WidthTooSmall, in / 4, in / 2}, loss}},
		{"just too narrow", func(b *Blade, _ *Cut) { b.Width-- }, false, 4 - 1/12.7e6, []Reason{teeth, {WidthTooSmall, in/2 - 1, in / 2}, loss}},
		// Above 8 in 4 to 6 teeth suit: 6/8; the width is 2/3 of 3/4 in.
		{"tall", func(_ *Blade, c *Cut) { c.StockHeight = 8*in + 1 }, false, 2.75 + 2.0/3,
			[]Reason{{TeethTooFine, 8.0, 6.0}, {WidthTooSmall, in / 2, 3 * in / 4}, loss}},
		{"tall and wide", func(b *Blade, c *Cut) { c.StockHeight, b.Width, b.TPI = 8*in+1, 3*in/4, 6 }, true, 4,
			[]Reason{{Kind: TeethRight, Value: 6.0}, {WidthRight, 3 * in / 4, 3 * in / 4}, loss}},
		{"at 8 in", func(b *Blade, c *Cut) { c.StockHeight, b.TPI = 8*in, 6 }, true, 4,
			[]Reason{{Kind: TeethRight, Value: 6.0}, wide, loss}},
		{"carbide", func(b *Blade, _ *Cut) { b.Carbide = true }, true, 3.5, []Reason{teeth, wide, {Kind: CarbideRough}, loss}},
		{"skip", func(b *Blade, _ *Cut) { b.Form = Skip }, true, 4, []Reason{teeth, wide, loss}},
		// Gummy wood wants 6 teeth here: 6/8 for these.
		{"gummy", func(_ *Blade, c *Cut) { c.Gum = HighGum }, false, 2.75,
			[]Reason{{TeethTooFine, 8.0, 6.0}, wide, {Kind: FormClogs, Value: Regular}, {Kind: CarbideWanted}, loss}},
		{"gummy, hook and carbide", func(b *Blade, c *Cut) { c.Gum, b.Form, b.Carbide = HighGum, Hook, true }, false, 3.75,
			[]Reason{{TeethTooFine, 8.0, 6.0}, wide, loss}},
		// A crosscut here wants 8 to 10: 8/10 for the finish.
		{"crosscut", func(_ *Blade, c *Cut) { c.Operation = Crosscut }, true, 3.8, []Reason{teeth, wide, loss}},
		{"crosscut, hook", func(b *Blade, c *Cut) { c.Operation, b.Form = Crosscut, Hook }, true, 3.3,
			[]Reason{teeth, wide, {Kind: FormRough, Value: Hook}, loss}},
		{"gummy crosscut", func(b *Blade, c *Cut) { c.Operation, c.Gum, b.Carbide = Crosscut, HighGum, true }, true, 4,
			[]Reason{teeth, wide, loss}},
		{"recovery", func(_ *Blade, c *Cut) { c.Goal = Recovery }, true, 3.75, []Reason{teeth, wide, loss}},
		{"speed", func(_ *Blade, c *Cut) { c.Goal = Speed }, true, 4, []Reason{teeth, wide, loss}},
		// Medium gum: 6 to 8, and 6/8 for speed.
		{"speed, fine teeth", func(_ *Blade, c *Cut) { c.Goal, c.Gum = Speed, MediumGum }, true, 3.75, []Reason{teeth, wide, loss}},
		{"speed, coarse teeth", func(b *Blade, c *Cut) { c.Goal, b.TPI = Speed, 4 }, true, 4,
			[]Reason{{TeethCoarse, 4.0, 8.0}, wide, loss}},
		{"recovery, coarse teeth", func(b *Blade, c *Cut) { c.Goal, b.TPI = Recovery, 4 }, true, 3.25,
			[]Reason{{TeethCoarse, 4.0, 8.0}, wide, loss}},
		{"as wide as the saw takes", func(_ *Blade, c *Cut) { c.WidestBlade = in / 2 }, true, 4, []Reason{teeth, wide, loss}},
		{"wider than the saw takes", func(b *Blade, c *Cut) { b.Width, c.WidestBlade = in, in/2 }, false, 3.5,
			[]Reason{teeth, {WidthTooLarge, in, in / 2}, loss}},
		// Too narrow for the height and too wide for the saw: 1/4 of the width.
		{"wider than a small saw takes", func(_ *Blade, c *Cut) { c.WidestBlade = in / 8 }, false, 3.25,
			[]Reason{teeth, {WidthTooLarge, in / 2, in / 8}, loss}},
		{"a saw that takes no blade", func(_ *Blade, c *Cut) { c.WidestBlade = 1 }, false, 3 + 1/12.7e6,
			[]Reason{teeth, {WidthTooLarge, in / 2, length.Length(1)}, loss}},
		{"nobody knows the gum", func(_ *Blade, c *Cut) { c.Gum = UnknownGum }, true, 4, []Reason{teeth, wide, loss}},
		{"nobody knows the gum, carbide", func(b *Blade, c *Cut) { c.Gum, b.Carbide = UnknownGum, true }, true, 4,
			[]Reason{teeth, wide, loss}},
	} {
		b, cut := good, goodCut
		c.change(&b, &cut)
		got, err := Rank([]Blade{b}, cut)
		if err != nil || len(got) != 1 {
			t.Fatalf("%s: %v, %v", c.name, got, err)
		}
		suits := 0.0
		if c.suits {
			suits = 4
		}
		if r := got[0]; r.Suits != c.suits || math.Abs(8*r.Score-c.score-suits) > 1e-9 || !reflect.DeepEqual(r.Reasons, c.reasons) {
			t.Errorf("%s: got %v, %v, %+v\nwant %v, %v, %+v", c.name, r.Suits, 8*r.Score-suits, r.Reasons, c.suits, c.score, c.reasons)
		}
	}
	// 1 mm * 100 mm * 500 mm.
	if got, _ := Rank([]Blade{good}, goodCut); got[0].Loss != 0.25 {
		t.Errorf("loss %v", got[0].Loss)
	}
}

func TestAgainst(t *testing.T) {
	for kind, want := range map[Kind]bool{
		TeethRight: false, TeethTooFine: true, TeethCoarse: true, WidthRight: false, WidthTooSmall: true, WidthTooLarge: true,
		FormClogs: true, FormRough: true, CarbideRough: true, CarbideWanted: true, KerfLost: false,
	} {
		if kind.Against() != want {
			t.Errorf("kind %d: %v", kind, !want)
		}
	}
}

func TestForbids(t *testing.T) {
	for kind := TeethRight; kind <= KerfLost; kind++ {
		want := kind == TeethTooFine || kind == WidthTooSmall || kind == WidthTooLarge
		if kind.Forbids() != want {
			t.Errorf("kind %d: %v", kind, !want)
		}
	}
}

// TestOrder: those that suit, then the score, then the name, however they come.
func TestOrder(t *testing.T) {
	a, b, rough, fine := good, good, good, good
	a.Name, b.Name, rough.Name, fine.Name = "a", "b", "rough", "0 fine"
	rough.Carbide = true // suits: 4 + 3.5
	fine.TPI = 9         // does not suit: 3.89
	blades := []Blade{rough, fine, b, a}
	for range 20 {
		rand.Shuffle(len(blades), func(i, j int) { blades[i], blades[j] = blades[j], blades[i] })
		got, err := Rank(blades, goodCut)
		var names []string
		for _, r := range got {
			names = append(names, r.Name)
		}
		if want := []string{"a", "b", "rough", "0 fine"}; err != nil || !reflect.DeepEqual(names, want) {
			t.Fatalf("got %v, %v; want %v", names, err, want)
		}
	}
	if got, err := Rank(nil, goodCut); got == nil || len(got) != 0 || err != nil {
		t.Errorf("no blades: %#v, %v", got, err)
	}
}

func TestLimits(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name     string
		quantity string
		change   func(b *Blade, c *Cut)
	}{
		{"no height", "stock height", func(_ *Blade, c *Cut) { c.StockHeight = 0 }},
		{"least height", "", func(_ *Blade, c *Cut) { c.StockHeight = 1 }},
		{"most height", "", func(_ *Blade, c *Cut) { c.StockHeight = length.Max }},
		{"height beyond", "stock height", func(_ *Blade, c *Cut) { c.StockHeight = length.Max + 1 }},
		{"no leaf", "leaf thickness", func(_ *Blade, c *Cut) { c.LeafThickness = 0 }},
		{"least leaf", "", func(_ *Blade, c *Cut) { c.LeafThickness = 1 }},
		{"most leaf", "", func(_ *Blade, c *Cut) { c.LeafThickness = length.Max }},
		{"leaf beyond", "leaf thickness", func(_ *Blade, c *Cut) { c.LeafThickness = length.Max + 1 }},
		{"no feed", "feed", func(_ *Blade, c *Cut) { c.Feed = 0 }},
		{"most feed", "", func(_ *Blade, c *Cut) { c.Feed = feed.Speed(100 * length.Metre) }},
		{"feed beyond", "feed", func(_ *Blade, c *Cut) { c.Feed = feed.Speed(100*length.Metre) + 1 }},
		{"operation below", "operation", func(_ *Blade, c *Cut) { c.Operation = -1 }},
		{"operation beyond", "operation", func(_ *Blade, c *Cut) { c.Operation = 3 }},
		{"gum below", "gum", func(_ *Blade, c *Cut) { c.Gum = -1 }},
		{"gum beyond", "gum", func(_ *Blade, c *Cut) { c.Gum = 4 }},
		{"widest blade below", "widest blade", func(_ *Blade, c *Cut) { c.WidestBlade = -1 }},
		{"widest blade at most", "", func(_ *Blade, c *Cut) { c.WidestBlade = length.Max }},
		{"widest blade beyond", "widest blade", func(_ *Blade, c *Cut) { c.WidestBlade = length.Max + 1 }},
		{"goal below", "goal", func(_ *Blade, c *Cut) { c.Goal = -1 }},
		{"goal beyond", "goal", func(_ *Blade, c *Cut) { c.Goal = 3 }},
		{"no width", "blade width", func(b *Blade, _ *Cut) { b.Width = 0 }},
		{"least width", "", func(b *Blade, _ *Cut) { b.Width = 1 }},
		{"most width", "", func(b *Blade, _ *Cut) { b.Width = length.Max }},
		{"width beyond", "blade width", func(b *Blade, _ *Cut) { b.Width = length.Max + 1 }},
		{"no body", "body thickness", func(b *Blade, _ *Cut) { b.BodyThickness = 0 }},
		{"least body", "", func(b *Blade, _ *Cut) { b.BodyThickness = 1 }},
		{"body beyond", "body thickness", func(b *Blade, _ *Cut) { b.BodyThickness = length.Max + 1 }},
		{"kerf of the body", "", func(b *Blade, _ *Cut) { b.BodyThickness, b.Kerf = length.Max, length.Max }},
		{"kerf below the body", "kerf", func(b *Blade, _ *Cut) { b.Kerf = b.BodyThickness - 1 }},
		{"kerf beyond", "kerf", func(b *Blade, _ *Cut) { b.Kerf = length.Max + 1 }},
		{"tpi below", "tpi", func(b *Blade, _ *Cut) { b.TPI = 0.0999 }},
		{"least tpi", "", func(b *Blade, _ *Cut) { b.TPI = 0.1 }},
		{"most tpi", "", func(b *Blade, _ *Cut) { b.TPI = 100 }},
		{"tpi beyond", "tpi", func(b *Blade, _ *Cut) { b.TPI = 100.1 }},
		{"tpi NaN", "tpi", func(b *Blade, _ *Cut) { b.TPI = nan }},
		{"form below", "tooth form", func(b *Blade, _ *Cut) { b.Form = -1 }},
		{"form beyond", "tooth form", func(b *Blade, _ *Cut) { b.Form = 3 }},
	} {
		b, cut := good, goodCut
		c.change(&b, &cut)
		_, err := Rank([]Blade{b}, cut)
		if refusal.Of(err) != c.quantity {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// FuzzRank: a score is from 0 to 1, above 0.5 just where the blade suits, a taller
// board never asks for finer teeth, and a thinner kerf, a wider blade never score
// lower.
func FuzzRank(f *testing.F) {
	f.Add(int64(100*mm), int64(3*mm), int64(1*mm), int64(in/2), 8.0, 0, 0, 0)
	f.Add(int64(9*in), int64(1*mm), int64(1*mm), int64(in/4), 3.0, 2, 2, 1)
	f.Fuzz(func(t *testing.T, height, leaf, kerf, width int64, tpi float64, op, gum, goal int) {
		b := Blade{Width: length.Length(width), BodyThickness: 1, Kerf: length.Length(kerf), TPI: tpi}
		cut := Cut{StockHeight: length.Length(height), LeafThickness: length.Length(leaf), Feed: slow,
			Operation: Operation(op), Gum: Gum(gum), Goal: Goal(goal)}
		wide, thin := b, b
		wide.Width *= 2
		thin.Kerf = (thin.Kerf + 1) / 2
		got, err := Rank([]Blade{b}, cut)
		gotWide, err2 := Rank([]Blade{wide}, cut)
		gotThin, err3 := Rank([]Blade{thin}, cut)
		if fault.First(err, err2, err3) != nil {
			return
		}
		if s := got[0].Score; !(0 <= s && s <= 1) || got[0].Suits != (s > 0.5) || gotWide[0].Score < s || gotThin[0].Score < s {
			t.Fatalf("%+v in %+v: %v; wider %v, thinner kerf %v", b, cut, s, gotWide[0].Score, gotThin[0].Score)
		}
		low, _ := TeethPerInch(cut.StockHeight, cut.Operation, cut.Gum, cut.Feed)
		if taller, err := TeethPerInch(cut.StockHeight*2, cut.Operation, cut.Gum, cut.Feed); err == nil && (taller.Low > low.Low || taller.High > low.High) {
			t.Fatalf("%+v: %v, twice as tall %v", cut, low, taller)
		}
	})
}
