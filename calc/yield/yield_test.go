package yield

import (
	"errors"
	"math"
	"testing"

	"resawd/calc/fault"
	"resawd/calc/length"
)

const thou = length.Thou

// half is a board of 1/2 in whose worked values TestWorked holds.
var half = Input{BoardThickness: 500 * thou, LeafThickness: 50 * thou, Kerf: 45 * thou, Skim: 50 * thou}

func TestWorked(t *testing.T) {
	held, rest, plain, least, flush := half, half, half, half, half
	held.HoldBack = 125 * thou
	rest.LastLeaf = Rest
	plain.Skim, least.Skim = 0, 1
	flush.Skim, flush.LastLeaf, flush.BoardThickness = 0, Rest, 430*thou
	for _, c := range []struct {
		name string
		in   Input
		want Result
	}{
		// 500 - 95 = 405 = 4*95 + 25; one more leaf needs 95 - 25.
		{"hold-back 0", half, Result{LeafCount: 4, CutCount: 5, Advance: 95 * thou, SkimLoss: 95 * thou,
			LastLeafThickness: 50 * thou, LeftOnFence: 25 * thou, Remainder: 25 * thou, Recovery: 0.4, KerfShare: 0.45, ShortBy: 70 * thou, LeafCountLeast: 4}},
		// 405 - 125 = 280 = 2*95 + 90; one more leaf needs 95 - 90.
		{"hold-back 0.125", held, Result{LeafCount: 2, CutCount: 3, Advance: 95 * thou, SkimLoss: 95 * thou,
			LastLeafThickness: 50 * thou, LeftOnFence: 215 * thou, Remainder: 90 * thou, Recovery: 0.2, KerfShare: 0.27, ShortBy: 5 * thou, LeafCountLeast: 2}},
		// 405 = 3*95 + 120; five leaves need 4*95 + 50 = 430; 3*50 + 120 = 270.
		{"the rest is a leaf", rest, Result{LeafCount: 4, CutCount: 4, Advance: 95 * thou, SkimLoss: 95 * thou,
			LastLeafThickness: 120 * thou, Recovery: 0.54, KerfShare: 0.36, ShortBy: 25 * thou, LeafCountLeast: 4}},
		// 500 = 5*95 + 25.
		{"no truing cut", plain, Result{LeafCount: 5, CutCount: 5, Advance: 95 * thou,
			LastLeafThickness: 50 * thou, LeftOnFence: 25 * thou, Remainder: 25 * thou, Recovery: 0.5, KerfShare: 0.45, ShortBy: 70 * thou, LeafCountLeast: 5}},
		// A nanometre of skim is a truing cut: 5*95 = 475 are too many by 20 with its kerf.
		{"the least truing cut", least, Result{LeafCount: 4, CutCount: 5, Advance: 95 * thou, SkimLoss: 45*thou + 1,
			LastLeafThickness: 50 * thou, LeftOnFence: 75*thou - 1, Remainder: 75*thou - 1, Recovery: 0.4, KerfShare: 0.45, ShortBy: 20*thou + 1, LeafCountLeast: 4}},
		// 430 = 4*95 + 50: five leaves, four cuts, nothing over.
		{"the rest ends flush", flush, Result{LeafCount: 5, CutCount: 4, Advance: 95 * thou,
			LastLeafThickness: 50 * thou, Recovery: 250.0 / 430, KerfShare: 180.0 / 430, ShortBy: 95 * thou, LeafCountLeast: 5}},
	} {
		if got, err := Leaves(c.in); err != nil || got != c.want {
			t.Errorf("%s:\n got %+v, %v\nwant %+v", c.name, got, err, c.want)
		}
	}
}

// The held board gives two leaves, 500 - 125 - 95 - 2*95 = 90 to spare; the one
// with the rest as its last leaf gives four, with 70 to spare: its kerfs are a
// truing cut's and three.
func TestLeast(t *testing.T) {
	held, rest := half, half
	held.HoldBack = 125 * thou
	rest.LastLeaf = Rest
	for _, c := range []struct {
		in              Input
		thickness, kerf length.Length
		want            int
	}{
		{held, 0, 0, 2}, {held, 90 * thou, 0, 2}, {held, 90*thou + 1, 0, 1},
		{held, 0, 30 * thou, 2}, {held, 0, 30*thou + 1, 1},
		{held, 30 * thou, 20 * thou, 2}, {held, 30*thou + 1, 20 * thou, 1},
		{held, 185 * thou, 0, 1}, {held, 185*thou + 1, 0, 0}, {held, 500 * thou, 0, 0}, {held, length.Max, length.Max, 0},
		{rest, 70 * thou, 0, 4}, {rest, 70*thou + 1, 0, 3}, {rest, 2 * thou, 17 * thou, 4}, {rest, 2*thou + 1, 17 * thou, 3},
	} {
		c.in.ThicknessMargin, c.in.KerfMargin = c.thickness, c.kerf
		got, err := Leaves(c.in)
		if err != nil || got.LeafCountLeast != c.want || got.Tight != (c.want < got.LeafCount) {
			t.Errorf("margins %v and %v of %+v: %d, %v, %v; want %d", c.thickness, c.kerf, c.in, got.LeafCountLeast, got.Tight, err, c.want)
		}
	}
}

// The held board has 500 - 95 - 125 = 280 thou for its leaves: 280/2 - 45 = 95 and
// 280/3 - 45 = 48.33 thou, of 25 400 nm, and 280/7 = 40 is no more than the kerf. With the
// rest as the last leaf there are 405, and a kerf less is needed: 450/3 - 45 = 105. Margins
// of 5 and 10 thou: 500 - 5 - 50 - 55 - 125 = 265, 265/2 - 55 = 77.5; with the rest
// 500 - 5 - 50 - 55 + 55 = 445, 445/3 - 55 = 93.33.
func TestThickestLeaf(t *testing.T) {
	held, rest := half, half
	held.HoldBack = 125 * thou
	held.ThicknessMargin, held.KerfMargin = 5*thou, 10*thou
	rest.LastLeaf = Rest
	rest.ThicknessMargin, rest.KerfMargin = 5*thou, 10*thou
	for _, c := range []struct {
		in             Input
		n              int
		nominal, least length.Length
	}{
		{held, 1, 235 * thou, 210 * thou},
		{held, 2, 95 * thou, 77*thou + thou/2},
		{held, 3, 48*thou + 8_466, 33*thou + 8_466},
		{held, 5, 11 * thou, 0},
		{held, 7, 0, 0},
		{rest, 3, 105 * thou, 93*thou + 8_466},
		{rest, 10_000, 0, 0},
	} {
		if nominal, least := ThickestLeaf(c.in, c.n); nominal != c.nominal || least != c.least {
			t.Errorf("%d leaves of %+v: %d and %d nm, want %d and %d", c.n, c.in, nominal, least, c.nominal, c.least)
		}
	}
	held.ThicknessMargin = length.Max
	if _, least := ThickestLeaf(held, 1); least != 0 {
		t.Errorf("a board thinner than nothing: %d nm", least)
	}
}

// The margin of common practice: from 0.045 to 0.050 in.
func TestNominalKerfMargin(t *testing.T) {
	if NominalKerfMargin != 50*thou-45*thou {
		t.Error(NominalKerfMargin)
	}
}

func TestNoLeaf(t *testing.T) {
	for _, c := range []struct {
		last          LastLeaf
		board, needed length.Length
	}{
		{Fence, 190*thou - 1, 190 * thou}, {Fence, 1, 190 * thou},
		{Rest, 145*thou - 1, 145 * thou}, {Rest, 1, 145 * thou},
	} {
		in := half
		in.LastLeaf, in.BoardThickness = c.last, c.board
		_, err := Leaves(in)
		var none *fault.NoSolution
		if !errors.As(err, &none) || none.Quantity != "board thickness" || none.Value != c.board || none.Needed != c.needed {
			t.Errorf("%+v: %v", in, err)
		}
		in.BoardThickness = c.needed
		if got, err := Leaves(in); err != nil || got.LeafCount != 1 {
			t.Errorf("%+v: %d leaves, %v", in, got.LeafCount, err)
		}
	}
}

func TestLimits(t *testing.T) {
	const most = length.Max
	ok := Input{BoardThickness: most, LeafThickness: 1}
	for _, c := range []struct {
		quantity string
		set      func(in *Input, l length.Length)
		low      length.Length
		high     length.Length
	}{
		{"board thickness", func(in *Input, l length.Length) { in.BoardThickness = l }, 1, most},
		{"leaf thickness", func(in *Input, l length.Length) { in.LeafThickness = l }, 1, most},
		{"kerf", func(in *Input, l length.Length) { in.Kerf = l }, 0, most},
		{"skim", func(in *Input, l length.Length) { in.Skim = l }, 0, most},
		{"hold back", func(in *Input, l length.Length) { in.HoldBack = l }, 0, most},
		{"hold back", func(in *Input, l length.Length) { in.HoldBack, in.LastLeaf = l, Rest }, 0, 0},
		{"last leaf", func(in *Input, l length.Length) { in.LastLeaf = LastLeaf(l) }, 0, 1},
		{"thickness margin", func(in *Input, l length.Length) { in.ThicknessMargin = l }, 0, most},
		{"kerf margin", func(in *Input, l length.Length) { in.KerfMargin = l }, 0, most},
	} {
		for value, inside := range map[length.Length]bool{c.low - 1: false, c.low: true, c.high: true, c.high + 1: false} {
			in := ok
			c.set(&in, value)
			_, err := Leaves(in)
			var out *fault.OutOfRange
			if errors.As(err, &out) == inside || !inside && out.Quantity != c.quantity {
				t.Errorf("%s %d: %v", c.quantity, value, err)
			}
		}
	}
}

// saw takes leaf after leaf off the board and gives what it counted.
func saw(in Input) (leaves, cuts int, left, last, wood length.Length) {
	left = in.BoardThickness
	if in.Skim > 0 {
		left -= in.Skim + in.Kerf
		cuts++
	}
	for left-in.LeafThickness-in.Kerf >= in.HoldBack {
		left -= in.LeafThickness + in.Kerf
		wood, last = wood+in.LeafThickness, in.LeafThickness
		leaves++
		cuts++
		if in.LastLeaf == Rest && left < in.LeafThickness { // too far: that wood is part of the leaf before
			left += in.LeafThickness + in.Kerf
			wood -= in.LeafThickness
			leaves--
			cuts--
			break
		}
	}
	if in.LastLeaf == Rest && left >= in.LeafThickness {
		leaves, last, wood, left = leaves+1, left, wood+left, 0
	}
	return leaves, cuts, left, last, wood
}

// FuzzLeaves: the board sawn leaf by leaf gives the same; a nanometre less than
// a count needs gives one fewer; short by just that gives one more.
func FuzzLeaves(f *testing.F) {
	f.Add(int64(12_700_000), int64(1_270_000), int64(1_143_000), int64(1_270_000), int64(0), false)
	f.Add(int64(12_700_000), int64(1_270_000), int64(1_143_000), int64(0), int64(3_175_000), false)
	f.Add(int64(430), int64(50), int64(45), int64(0), int64(0), true)
	f.Add(int64(9), int64(1), int64(0), int64(3), int64(0), true)
	f.Fuzz(func(t *testing.T, board, leaf, kerf, skim, held int64, rest bool) {
		in := Input{BoardThickness: length.Length(board), LeafThickness: length.Length(leaf), Kerf: length.Length(kerf),
			Skim: length.Length(skim), HoldBack: length.Length(held)}
		if rest {
			in.LastLeaf = Rest
		}
		got, err := Leaves(in)
		if err != nil || got.LeafCount > 5_000 {
			return
		}
		n, cuts, left, last, wood := saw(in)
		if got.LeafCount != n || got.CutCount != cuts || got.LeftOnFence != left || got.LastLeafThickness != last ||
			got.Recovery != float64(wood)/float64(in.BoardThickness) || got.KerfShare != float64(length.Length(cuts)*in.Kerf)/float64(in.BoardThickness) || got.Remainder != left-in.HoldBack {
			t.Fatalf("%+v gives %+v; sawn: %d leaves, %d cuts, %d left, the last %d, wood %d", in, got, n, cuts, left, last, wood)
		}
		if !(0 < got.Recovery && got.Recovery <= 1) || math.IsNaN(got.Recovery) {
			t.Fatalf("%+v: recovery %v", in, got.Recovery)
		}
		expectLeast(t, in)
		expectThickest(t, in, n)
		expect(t, in, in.BoardThickness+got.ShortBy, n+1)
		expect(t, in, in.BoardThickness+got.ShortBy-1, n)
		expect(t, in, Needed(in, n), n)
		if n > 1 {
			expect(t, in, Needed(in, n)-1, n-1)
		}
	})
}

// expect wants n leaves of a board of another thickness.
func expect(t *testing.T, in Input, board length.Length, n int) {
	t.Helper()
	in.BoardThickness = board
	if got, err := Leaves(in); board <= length.Max && (err != nil || got.LeafCount != n) {
		t.Fatalf("%+v: %d leaves, %v; want %d", in, got.LeafCount, err, n)
	}
}

// expectLeast wants the least count of a board to be the count of the worse board
// itself.
func expectLeast(t *testing.T, in Input) {
	t.Helper()
	worse := in
	in.ThicknessMargin, in.KerfMargin = in.LeafThickness/3, in.Kerf/7
	worse.BoardThickness, worse.Kerf = in.BoardThickness-in.ThicknessMargin, in.Kerf+in.KerfMargin
	got, err := Leaves(in)
	want, none := Leaves(worse)
	if worse.BoardThickness > 0 && (err != nil || none == nil && got.LeafCountLeast != want.LeafCount || none != nil && got.LeafCountLeast != 0) {
		t.Fatalf("%+v: at least %d, %v; the worse board gives %d, %v", in, got.LeafCountLeast, err, want.LeafCount, none)
	}
}

// expectThickest wants n leaves of the thickest leaf to fit, and of one a nanometre thicker
// not to.
func expectThickest(t *testing.T, in Input, n int) {
	t.Helper()
	in.LeafThickness, _ = ThickestLeaf(in, n)
	if got, err := Leaves(in); err != nil || got.LeafCount < n {
		t.Fatalf("%+v: %d leaves, %v; want %d", in, got.LeafCount, err, n)
	}
	in.LeafThickness++
	if got, err := Leaves(in); err == nil && got.LeafCount >= n {
		t.Fatalf("%+v: %d leaves; want fewer than %d", in, got.LeafCount, n)
	}
}
