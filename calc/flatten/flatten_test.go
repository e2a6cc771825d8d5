package flatten

import (
	"errors"
	"math"
	"strings"
	"testing"

	"resawd/calc/fault"
	"resawd/calc/internal/refusal"
	"resawd/calc/length"
)

const (
	in = length.Inch
	mm = length.Millimetre
	m  = length.Metre
)

// TestSagitta: published examples, and 19.05 mm of bow over 2438.4 mm, which has a
// radius of c^2 / (8 s) + s/2 = 39 023.9 mm.
func TestSagitta(t *testing.T) {
	for _, c := range []struct {
		radius float64
		chord  length.Length
		want   length.Length
		off    length.Length
	}{
		{10, 12 * m, 2 * m, 1},
		{15, 20 * m, 3_819_700 * length.Micrometre, 50 * length.Micrometre}, // printed 3.8197
		{39.0239, 2_438_400 * length.Micrometre, 19_050 * length.Micrometre, 100},
		{5, 10 * m, 5 * m, 0},
		{1e6, 100 * m, 1_250_000, 1}, // c^2 / (8 R)
		{7, 0, 0, 0},
	} {
		if got, err := Sagitta(c.radius, c.chord); err != nil || got-c.want > c.off || c.want-got > c.off {
			t.Errorf("R %v, c %v: %v, %v; want %v", c.radius, c.chord, got, err, c.want)
		}
	}
}

// TestChoose: one kind of warp at a time, worked by hand; the board is 50 x 200 x
// 1200 mm, kerf 1 mm, hold-back 3 mm, crosscuts take nothing.
func TestChoose(t *testing.T) {
	setup := Setup{Kerf: mm, HoldBack: 3 * mm}
	board := Board{Thickness: 50 * mm, Width: 200 * mm, Length: 1200 * mm}
	for name, c := range map[string]struct {
		change      func(*Board, *Setup)
		whole, half Trued
		best        int
	}{
		"flat": {func(*Board, *Setup) {},
			Trued{1, 1200 * mm, 0, 50 * mm, 0, 3 * mm, 0, 47 * mm, 200 * mm, 0, 47. / 50},
			Trued{2, 600 * mm, 0, 50 * mm, 0, 3 * mm, 0, 47 * mm, 200 * mm, 0, 47. / 50}, 1},
		"bow": {func(b *Board, _ *Setup) { b.Bow = 4 * mm },
			Trued{1, 1200 * mm, 4 * mm, 54 * mm, 4 * mm, 7 * mm, 1, 42 * mm, 200 * mm, 0, 42. / 50},
			Trued{2, 600 * mm, mm, 51 * mm, mm, 4 * mm, 1, 45 * mm, 200 * mm, 0, 45. / 50}, 4},
		"bow, pulled flat": {func(b *Board, s *Setup) { b.Bow, s.Mounting = 4*mm, PulledFlat },
			Trued{1, 1200 * mm, 0, 50 * mm, 0, 3 * mm, 0, 47 * mm, 200 * mm, 4 * mm, 47. / 50},
			Trued{2, 600 * mm, 0, 50 * mm, 0, 3 * mm, 0, 47 * mm, 200 * mm, mm, 47. / 50}, 1},
		"cup": {func(b *Board, _ *Setup) { b.Cup = 2 * mm },
			Trued{1, 1200 * mm, 2 * mm, 52 * mm, 2 * mm, 5 * mm, 1, 44 * mm, 200 * mm, 0, 44. / 50},
			Trued{2, 600 * mm, 2 * mm, 52 * mm, 2 * mm, 5 * mm, 1, 44 * mm, 200 * mm, 0, 44. / 50}, 1},
		"cup, pulled": {func(b *Board, s *Setup) { b.Cup, s.Mounting = 2*mm, PulledFlat },
			Trued{1, 1200 * mm, 2 * mm, 52 * mm, 2 * mm, 5 * mm, 1, 44 * mm, 200 * mm, 0, 44. / 50},
			Trued{2, 600 * mm, 2 * mm, 52 * mm, 2 * mm, 5 * mm, 1, 44 * mm, 200 * mm, 0, 44. / 50}, 1},
		"twist": {func(b *Board, _ *Setup) { b.Twist = 8 * mm },
			Trued{1, 1200 * mm, 4 * mm, 54 * mm, 4 * mm, 7 * mm, 1, 42 * mm, 200 * mm, 0, 42. / 50},
			Trued{2, 600 * mm, 2 * mm, 52 * mm, 2 * mm, 5 * mm, 1, 44 * mm, 200 * mm, 0, 44. / 50}, 4},
		"twist of 1 nm": {func(b *Board, _ *Setup) { b.Twist = 1 },
			Trued{1, 1200 * mm, 1, 50*mm + 1, 1, 3*mm + 1, 1, 46*mm - 1, 200 * mm, 0, 45.999999 / 50},
			Trued{2, 600 * mm, 1, 50*mm + 1, 1, 3*mm + 1, 1, 46*mm - 1, 200 * mm, 0, 45.999999 / 50}, 1},
		"wedge": {func(b *Board, _ *Setup) { b.ThinEnd = 44 * mm },
			Trued{1, 1200 * mm, 0, 50 * mm, 6 * mm, 3 * mm, 1, 40 * mm, 200 * mm, 0, 40. / 50},
			Trued{2, 600 * mm, 0, 50 * mm, 3 * mm, 3 * mm, 1, 43 * mm, 200 * mm, 0, 43. / 50}, 4},
		"crook": {func(b *Board, _ *Setup) { b.Crook = 40 * mm },
			Trued{1, 1200 * mm, 0, 50 * mm, 0, 3 * mm, 0, 47 * mm, 160 * mm, 0, 47. / 50 * .8},
			Trued{2, 600 * mm, 0, 50 * mm, 0, 3 * mm, 0, 47 * mm, 190 * mm, 0, 47. / 50 * .95}, 4},
		"a dear crosscut": {func(b *Board, s *Setup) { b.Bow, s.CrosscutKerf = 4*mm, 200*mm },
			Trued{1, 1200 * mm, 4 * mm, 54 * mm, 4 * mm, 7 * mm, 1, 42 * mm, 200 * mm, 0, 42. / 50},
			// 500 of 1200 mm: 4 * 25/144 mm of bow, 46 mm less twice that, in 10/12 of the length
			Trued{2, 500 * mm, 694_445, 50*mm + 694_445, 694_445, 3*mm + 694_445, 1, 46*mm - 2*694_445 + 694_445, 200 * mm, 0, 45.305555 / 50 * 5 / 6}, 1},
		"long pieces": {func(b *Board, s *Setup) { b.Bow, s.ShortestPiece = 4*mm, 600*mm },
			Trued{1, 1200 * mm, 4 * mm, 54 * mm, 4 * mm, 7 * mm, 1, 42 * mm, 200 * mm, 0, 42. / 50},
			Trued{2, 600 * mm, mm, 51 * mm, mm, 4 * mm, 1, 45 * mm, 200 * mm, 0, 45. / 50}, 2},
	} {
		b, s := board, setup
		c.change(&b, &s)
		p, err := Choose(b, s)
		if err != nil || len(p.Shorter) == 0 {
			t.Errorf("%s: %+v, %v", name, p, err)
			continue
		}
		alike := func(a, b Trued) bool {
			off := math.Abs(a.Share - b.Share)
			a.Share, b.Share = 0, 0
			return a == b && off < 1e-9
		}
		if !alike(p.Trued, c.whole) || !alike(p.Shorter[0], c.half) || p.Best != c.best {
			t.Errorf("%s:\n%+v\nwant\n%+v\n%+v\nwant\n%+v\nbest %d, want %d", name, p.Trued, c.whole, p.Shorter[0], c.half, p.Best, c.best)
		}
	}
}

// TestShorter: as many pieces as are long enough; only pieces give leaves where the
// whole board gives none.
func TestShorter(t *testing.T) {
	b := Board{Thickness: 10 * mm, Width: 200 * mm, Length: 1200 * mm, Bow: 6 * mm}
	for shortest, want := range map[length.Length]int{0: 3, 300 * mm: 3, 300*mm + 1: 2, 600 * mm: 1, 600*mm + 1: 0} {
		p, err := Choose(b, Setup{ShortestPiece: shortest})
		if err != nil || len(p.Shorter) != want {
			t.Errorf("shortest %v: %d, %v; want %d", shortest, len(p.Shorter), err, want)
		}
	}
	if p, err := Choose(b, Setup{HoldBack: 5 * mm}); err != nil || p.ThicknessLeft != -mm || p.Share != 0 || p.Best != 4 {
		t.Errorf("%+v, %v", p, err)
	}
	var none *fault.NoSolution
	if _, err := Choose(b, Setup{HoldBack: 5 * mm, ShortestPiece: m}); !errors.As(err, &none) || none.Needed != 11*mm+1 {
		t.Errorf("nothing left: %v", err)
	}
	if p, err := Choose(Board{Thickness: mm, Width: mm, Length: 2}, Setup{}); err != nil || len(p.Shorter) != 1 || p.Shorter[0].Length != 1 {
		t.Errorf("two nanometres: %+v, %v", p, err)
	}
	if p, err := Choose(Board{Thickness: 10 * mm, ThinEnd: 1, Width: mm, Length: m}, Setup{}); err != nil || p.Shorter[0].Skim != 5*mm {
		t.Errorf("a wedge to nothing: %+v, %v", p, err)
	}
	if p, err := Choose(b, Setup{CrosscutKerf: 1200 * mm}); err != nil || len(p.Shorter) != 0 {
		t.Errorf("all kerf: %+v, %v", p, err)
	}
}

func TestHolds(t *testing.T) {
	for i, c := range []struct {
		f      Fixing
		l, gap length.Length
		want   bool
	}{
		{Fixing{Longest: 8 * in}, 8 * in, 0, true}, {Fixing{Longest: 8 * in}, 8*in + 1, 0, false}, {Fixing{}, length.Max, 0, true},
		{Fixing{}, in, 1, false}, {Fixing{Metal: true}, in, 1, true}, {Fixing{Metal: true, Longest: in}, 2 * in, 1, false},
	} {
		if got := c.f.Holds(c.l, c.gap); got != c.want {
			t.Errorf("row %d: %v", i, got)
		}
	}
}

func TestLimits(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Board, *Setup)
		want   string
	}{
		"no thickness":          {func(b *Board, _ *Setup) { b.Thickness = 0 }, "thickness"},
		"thickness of 1 nm":     {func(b *Board, _ *Setup) { b.Thickness = 1 }, ""},
		"thickness at its most": {func(b *Board, _ *Setup) { b.Thickness = 10 * m }, ""},
		"thickness beyond":      {func(b *Board, _ *Setup) { b.Thickness = 10*m + 1 }, "thickness"},
		"thin end below":        {func(b *Board, _ *Setup) { b.ThinEnd = -1 }, "thin end"},
		"thin end at its most":  {func(b *Board, _ *Setup) { b.ThinEnd = 50 * mm }, ""},
		"thin end beyond":       {func(b *Board, _ *Setup) { b.ThinEnd = 50*mm + 1 }, "thin end"},
		"no width":              {func(b *Board, _ *Setup) { b.Width = 0 }, "width"},
		"width of 1 nm":         {func(b *Board, _ *Setup) { b.Width = 1 }, ""},
		"width at its most":     {func(b *Board, _ *Setup) { b.Width = length.Max }, ""},
		"width beyond":          {func(b *Board, _ *Setup) { b.Width = length.Max + 1 }, "width"},
		"no length":             {func(b *Board, _ *Setup) { b.Length = 0 }, "length"},
		"length of 1 nm":        {func(b *Board, _ *Setup) { b.Length = 1 }, ""},
		"length at its most":    {func(b *Board, _ *Setup) { b.Length = length.Max }, ""},
		"length beyond":         {func(b *Board, _ *Setup) { b.Length = length.Max + 1 }, "length"},
		"bow below":             {func(b *Board, _ *Setup) { b.Bow = -1 }, "bow"},
		"bow at its most":       {func(b *Board, s *Setup) { b.Bow, s.Mounting = 600*mm, PulledFlat }, ""},
		"bow beyond":            {func(b *Board, s *Setup) { b.Bow, s.Mounting = 600*mm+1, PulledFlat }, "bow"},
		"cup below":             {func(b *Board, _ *Setup) { b.Cup = -1 }, "cup"},
		"cup at its most":       {func(b *Board, _ *Setup) { b.Cup, b.Thickness = 100*mm, 300*mm }, ""},
		"cup beyond":            {func(b *Board, _ *Setup) { b.Cup, b.Thickness = 100*mm+1, 300*mm }, "cup"},
		"twist below":           {func(b *Board, _ *Setup) { b.Twist = -1 }, "twist"},
		"twist at its most":     {func(b *Board, _ *Setup) { b.Twist, b.Thickness = 1200*mm, 2*m }, ""},
		"twist beyond":          {func(b *Board, _ *Setup) { b.Twist, b.Thickness = 1200*mm+1, 2*m }, "twist"},
		"crook below":           {func(b *Board, _ *Setup) { b.Crook = -1 }, "crook"},
		"crook at its most":     {func(b *Board, _ *Setup) { b.Crook = 200*mm - 1 }, ""},
		"crook beyond":          {func(b *Board, _ *Setup) { b.Crook = 200 * mm }, "crook"},
		"mounting below":        {func(_ *Board, s *Setup) { s.Mounting = -1 }, "mounting"},
		"mounting beyond":       {func(_ *Board, s *Setup) { s.Mounting = 2 }, "mounting"},
		"kerf below":            {func(_ *Board, s *Setup) { s.Kerf = -1 }, "kerf"},
		"kerf at its most":      {func(_ *Board, s *Setup) { s.Kerf = length.Max }, ""},
		"kerf beyond":           {func(_ *Board, s *Setup) { s.Kerf = length.Max + 1 }, "kerf"},
		"hold-back below":       {func(_ *Board, s *Setup) { s.HoldBack = -1 }, "hold back"},
		"hold-back beyond":      {func(_ *Board, s *Setup) { s.HoldBack = length.Max + 1 }, "hold back"},
		"crosscut below":        {func(_ *Board, s *Setup) { s.CrosscutKerf = -1 }, "crosscut kerf"},
		"crosscut at its most":  {func(_ *Board, s *Setup) { s.CrosscutKerf = length.Max }, ""},
		"crosscut beyond":       {func(_ *Board, s *Setup) { s.CrosscutKerf = length.Max + 1 }, "crosscut kerf"},
		"piece below":           {func(_ *Board, s *Setup) { s.ShortestPiece = -1 }, "shortest piece"},
		"piece at its most":     {func(_ *Board, s *Setup) { s.ShortestPiece = length.Max }, ""},
		"piece beyond":          {func(_ *Board, s *Setup) { s.ShortestPiece = length.Max + 1 }, "shortest piece"},
	} {
		b, s := Board{Thickness: 50 * mm, Width: 200 * mm, Length: 1200 * mm}, Setup{}
		c.change(&b, &s)
		p, err := Choose(b, s)
		if refusal.Of(err) != c.want || (err == nil) != (p.Pieces > 0) {
			t.Errorf("%s: %+v, %v", name, p, err)
		}
	}
	for _, c := range []struct {
		radius float64
		chord  length.Length
		want   string
	}{
		{0, 0, "radius"}, {1e-9, 0, ""}, {1e6, m, ""}, {1.01e6, m, "radius"}, {math.NaN(), m, "radius"},
		{1, -1, "chord"}, {1, 2 * m, ""}, {1, 2*m + 1, "chord"}, {1e3, length.Max, ""}, {1e3, length.Max + 1, "chord"},
	} {
		if _, err := Sagitta(c.radius, c.chord); refusal.Of(err) != c.want {
			t.Errorf("R %v, c %v: %v", c.radius, c.chord, err)
		}
	}
}

// TestNeeded: as thick as a refusal says, at both ends, a board leaves a nanometre;
// a nanometre less does not. 8 mm with a cup of 5 lack 2 mm and the nanometre; so do
// 10 mm at one end and 8 at the other. A bow of 16 mm is one of 1 mm in quarters, which
// lack less than the whole.
func TestNeeded(t *testing.T) {
	for name, c := range map[string]struct {
		b      Board
		s      Setup
		needed length.Length
		pieces int
	}{
		"whole":                  {Board{Thickness: 8 * mm, Cup: 5 * mm}, Setup{HoldBack: 5 * mm}, 10*mm + 1, 1},
		"wedge":                  {Board{Thickness: 10 * mm, ThinEnd: 8 * mm, Cup: 5 * mm}, Setup{HoldBack: 5 * mm, ShortestPiece: m}, 12*mm + 1, 1},
		"a wedge of a nanometre": {Board{Thickness: 8*mm + 1, ThinEnd: 8 * mm, Cup: 5 * mm}, Setup{HoldBack: 5 * mm, ShortestPiece: m}, 10*mm + 2, 1},
		"crosscut":               {Board{Thickness: 4 * mm, Bow: 16 * mm}, Setup{HoldBack: 5 * mm}, 6*mm + 1, 4},
	} {
		c.b.Width, c.b.Length = 200*mm, 1200*mm
		var none *fault.NoSolution
		if _, err := Choose(c.b, c.s); !errors.As(err, &none) || none.Needed != c.needed || strings.Contains(none.Why, "crosscut") != (c.pieces > 1) || strings.Contains(none.Why, "thin end") != (c.b.ThinEnd > 0) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		more := c.needed - c.b.Thickness
		for extra, want := range map[length.Length]bool{more: true, more - 1: false} {
			b := c.b
			b.Thickness += extra
			if b.ThinEnd > 0 {
				b.ThinEnd += extra
			}
			if p, err := Choose(b, c.s); (err == nil) != want || want && p.Best != c.pieces {
				t.Errorf("%s, %v more: %+v, %v", name, extra, p, err)
			}
		}
	}
}

// FuzzChoose: what is lost and what is left make the board as mounted; shorter pieces
// never lose more thickness; the bow of a piece is close to the sagitta of the arc
// that the board is.
func FuzzChoose(f *testing.F) {
	f.Add(int64(50*mm), int64(0), int64(1200*mm), int64(4*mm), int64(mm), int64(2*mm), int64(mm), true)
	f.Fuzz(func(t *testing.T, thick, thin, long, bow, cup, twist, kerf int64, pulled bool) {
		b := Board{length.Length(thick), length.Length(thin), 200 * mm, length.Length(long), length.Length(bow), length.Length(cup), length.Length(twist), 0}
		s := Setup{Kerf: length.Length(kerf), HoldBack: 3 * mm, CrosscutKerf: 3 * mm}
		if pulled {
			s.Mounting = PulledFlat
		}
		p, err := Choose(b, s)
		if err != nil {
			return
		}
		before := p.Trued
		for _, c := range append([]Trued{p.Trued}, p.Shorter...) {
			if c.Skim+length.Length(c.TruingCuts)*s.Kerf+c.ThicknessLeft+c.HoldBack != c.MountedThickness || c.Share < 0 || c.Share > 1 {
				t.Fatalf("%+v: %+v", b, c)
			}
			if c.ThicknessLeft < before.ThicknessLeft-1 {
				t.Fatalf("%+v: %+v leaves less than %+v", b, c, before)
			}
			before = c
		}
		if bow == 0 || bow > long/50 || !pulled || len(p.Shorter) == 0 {
			return
		}
		s0, c := b.Bow.In(m), b.Length.In(m)
		if half, err := Sagitta(c*c/(8*s0)+s0/2, p.Shorter[0].Length); err == nil {
			if off := math.Abs(half.In(m) - p.Shorter[0].SpringsBack.In(m)); off > 0.002*s0+2e-9 {
				t.Fatalf("%+v: half has a bow of %v, the arc %v", b, p.Shorter[0].SpringsBack, half)
			}
		}
	})
}
