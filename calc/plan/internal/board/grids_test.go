package board

import (
	"math/rand/v2"
	"slices"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
)

// TestSmallest: with a smallest billet of 300 by 50, parts of 100 by 20, 280 by 70 and
// 400 by 50 come from billets of 300 and 400 by 50 and 70.
func TestSmallest(t *testing.T) {
	p := Prepare(plan.Order{Smallest: plan.Face{Length: 300, Width: 50},
		Boards: []plan.Board{{Thickness: 50, Width: 100, Length: 1000, Quantity: 1}},
		Parts: []plan.Part{{Thickness: 5, Width: 20, Length: 100, Quantity: 1}, {Thickness: 5, Width: 70, Length: 280, Quantity: 1},
			{Thickness: 5, Width: 50, Length: 400, Quantity: 1}}})
	if !slices.Equal(p.Lens, []nm{300, 400}) || !slices.Equal(p.Wids, []nm{50, 70}) {
		t.Errorf("lengths %v, widths %v", p.Lens, p.Wids)
	}
	for i, want := range []struct{ l, w int }{{0, 0}, {0, 1}, {1, 0}} {
		if it := p.Items[i]; it.Len != want.l || it.Wid != want.w {
			t.Errorf("part %d: classes %d and %d", i, it.Len, it.Wid)
		}
	}
	for _, c := range []struct{ i, l, w, places int }{{0, 0, 0, 1}, {1, 0, 0, 0}, {1, 0, 1, 1}, {2, 0, 1, 0}, {2, 1, 1, 1}} {
		if got := p.Places(c.i, c.l, c.w); got != c.places {
			t.Errorf("part %d: %d places in classes %d and %d, not %d", c.i, got, c.l, c.w, c.places)
		}
	}
	if p = Prepare(plan.Order{Smallest: plan.Face{Length: 300, Width: 50}, Boards: []plan.Board{{Thickness: 50, Quantity: 1}},
		Parts: []plan.Part{{Thickness: 5, Quantity: 1}}}); p.Crosscuts() || p.Rips() {
		t.Error("boards without width and length are cut to the smallest billet")
	}
}

// stacked returns a layout of one strip with a billet for each stack.
func stacked(stacks ...Stack) Layout {
	st := Strip{}
	for _, s := range stacks {
		st.Billets = append(st.Billets, Billet{Stacks: []Stack{s}})
	}
	return Layout{Strips: []Strip{st}}
}

// TestTrimLeaves: what is beyond the need is left out in whole leaves. Of 3 leaves of
// 4 and one leaf of 3, 15 in all, at least 10 are wanted: the leaf of 3 goes, and then
// none of 4 can.
func TestTrimLeaves(t *testing.T) {
	for _, c := range []struct {
		copies, want, leaves, boards int
	}{
		{1, 10, 3, 1},
		{1, 15, 4, 1},
		{1, 7, 2, 1}, // 3 goes, then a leaf of 4: 8 are left
		{2, 30, 8, 2},
		{2, 25, 7, 2},
		{2, 12, 3, 1}, // a board goes, and the leaf of 3 of the other
	} {
		cuts := (&Problem{}).Trim([]Use{{stacked(Stack{0, 3, 4}, Stack{0, 1, 3}), c.copies}}, []int{c.want})
		leaves, boards, sets := 0, 0, 0
		for _, u := range cuts {
			boards += u.Copies
			for _, s := range u.Strips[0].Billets {
				leaves += u.Copies * s.Stacks[0].Count
				sets += u.Copies * s.Stacks[0].Sets()
			}
		}
		if leaves != c.leaves || boards != c.boards || sets < c.want {
			t.Errorf("%d copies for %d: %d leaves that give %d on %d boards", c.copies, c.want, leaves, sets, boards)
		}
	}
}

// TestClipLeaves: the last leaf may give more than is left.
func TestClipLeaves(t *testing.T) {
	left := []int{7, 0, 2, -1}
	got := Clip([]Stack{{0, 5, 3}, {1, 1, 1}, {2, 5, 1}, {3, 2, 2}}, left)
	if want := []Stack{{0, 3, 3}, {2, 2, 1}}; !slices.Equal(got, want) || !slices.Equal(left, []int{-2, 0, 0, -1}) {
		t.Errorf("%v, left %v", got, left)
	}
}

// TestThin: with few sizes of billets for plans, what a board is found to give is worth no
// more than anything that it can give, and with few classes for bounds, or more of them,
// its worth is no less.
func TestThin(t *testing.T) {
	r := rand.New(rand.NewPCG(14, 5))
	below, above, finer := 0, 0, 0
	for n := range trial.Rounds(400) {
		o := trial.TinyWith(r, trial.Grids|trial.Smallest|trial.Feature(n%2)*trial.Work)
		o.PassLength = plan.Rate{} // what it costs is rounded down here
		value, limit := make([]int64, len(o.Parts)), make([]int, len(o.Parts))
		for i := range limit {
			limit[i] = 1 + r.IntN(6)
			o.Parts[i].Quantity, o.Parts[i].Spare = limit[i]*o.Parts[i].SetSize(), 0
		}
		p := thin(o, 1+r.IntN(4), 1+r.IntN(3))
		for i := range value {
			value[i] = int64(p.Grain * 9 * r.Float64())
		}
		b, a := trial.NewBrute(o), NewAscent(p)
		var bounds []*Tables // coarse ones first
		for q := p.Bounds(); q != nil; q = q.Finer() {
			bounds = append(bounds, NewTables(q))
			bounds[len(bounds)-1].Ask(value, limit)
		}
		const slack = 100 // steps of value are rounded
		free := o
		free.PassPrice, free.BilletPrice, free.PassLength = 0, 0, plan.Rate{}
		for k := range p.Kinds {
			var most int64
			for sets, work := range b.Board(o.Boards[k]) {
				most = max(most, Total(value, sets)-p.Steps(work))
			}
			var worth []int64
			for _, tb := range bounds {
				w, _ := tb.Board(tb.P.Kinds[k], tb.P.Kinds[k].Segs)
				worth = append(worth, w)
			}
			bound, last := slices.Min(worth), worth[len(worth)-1]
			f := a.Board(k, value, limit, 5, 0)
			if bound < most || f.Worth > most+slack {
				t.Fatalf("order %d, board %d: best %d, found %d, bound %d\n%+v", n, k, most, f.Worth, bound, o)
			}
			if len(f.Lay.Strips) > 0 {
				if err := trial.CheckBoard(free, p.Taken(Use{f.Lay, 1})); err != nil {
					t.Fatalf("%v\n%+v\n%+v", err, f.Lay, o)
				}
			}
			if f.Worth < most-slack {
				below++
			}
			if worth[0] > most+slack {
				above++
			}
			if last < worth[0] {
				finer++
			}
		}
	}
	if below == 0 || above == 0 || finer == 0 {
		t.Errorf("%d boards give less, %d bounds are above, %d less so in more classes", below, above, finer)
	}
}

// TestSizes: of parts of 100 and 230 with a kerf of 3, up to 5 and 2 copies in boards
// of 520, billets are 100, 203, 230, 306, 409, 463 and 512 long. With four of them,
// 203 and 463 stand beside those of one copy. Three classes stand for them all.
func TestSizes(t *testing.T) {
	o := plan.Order{LeafKerf: 3, Boards: []plan.Board{{Thickness: 50, Width: 100, Length: 520, Quantity: 1}},
		Parts: []plan.Part{{Thickness: 5, Width: 100, Length: 100, Quantity: 5, Divide: true}, {Thickness: 5, Width: 100, Length: 230, Quantity: 9, Divide: true}}}
	long, wide := ways(o)
	if got, want := long.sizes(), []nm{100, 203, 230, 306, 409, 463, 512}; !slices.Equal(got, want) {
		t.Errorf("lengths %v, not %v", got, want)
	}
	if got := wide.sizes(); !slices.Equal(got, []nm{100}) {
		t.Errorf("widths %v", got)
	}
	if got, want := long.few(4), []nm{100, 203, 230, 463}; !slices.Equal(got, want) {
		t.Errorf("few lengths %v, not %v", got, want)
	}
	classes := joined(long.sizes(), 3)
	if len(classes) > 3 || classes[0].size != 100 || classes[len(classes)-1].reach != 512 {
		t.Errorf("classes %v", classes)
	}
	for n := 1; n < len(classes); n++ {
		if classes[n].size <= classes[n-1].reach {
			t.Errorf("classes %v", classes)
		}
	}
	o.Parts[0].Divide, o.Parts[1].Quantity = false, 1
	long, _ = ways(o)
	if got := long.sizes(); !slices.Equal(got, []nm{100, 230}) {
		t.Errorf("lengths %v without division", got)
	}
}
