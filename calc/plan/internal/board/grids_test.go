package board

import (
	"slices"
	"testing"

	"resawd/calc/plan"
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
