package board

import (
	"slices"
	"testing"

	"resawd/calc/plan"
)

// TestFirstFit: worked by hand for a board of 9 in each direction, and kerfs of 1: of small
// leaves, 4 by 4 and 3 thick, it gives two a billet, two billets a strip, two strips.
func TestFirstFit(t *testing.T) {
	one := plan.Board{Thickness: 9, Width: 9, Length: 9, Quantity: 1}
	changed := func(change func(b *plan.Board)) plan.Board {
		b := one
		change(&b)
		return b
	}
	small, long, wide := plan.Part{Thickness: 3, Width: 4, Length: 4}, plan.Part{Thickness: 3, Width: 4, Length: 9}, plan.Part{Thickness: 3, Width: 9, Length: 4}
	for _, c := range []struct {
		name  string
		board plan.Board
		saw   plan.Saw
		parts []plan.Part
		want  []int
		fits  bool
	}{
		{"as many as it gives", one, plan.Saw{}, []plan.Part{small}, []int{8}, true},
		{"one more", one, plan.Saw{}, []plan.Part{small}, []int{9}, false},
		{"of a board not wide enough for two", changed(func(b *plan.Board) { b.Width = 8 }), plan.Saw{}, []plan.Part{small}, []int{5}, false},
		{"one billet wide", changed(func(b *plan.Board) { b.Width = 8 }), plan.Saw{}, []plan.Part{small}, []int{4}, true},
		{"too narrow", changed(func(b *plan.Board) { b.Width = 3 }), plan.Saw{}, []plan.Part{small}, []int{1}, false},
		{"one strip long", changed(func(b *plan.Board) { b.Length = 8 }), plan.Saw{}, []plan.Part{small}, []int{5}, false},
		{"too short", changed(func(b *plan.Board) { b.Length = 3 }), plan.Saw{}, []plan.Part{small}, []int{1}, false},
		{"just two leaves thick", changed(func(b *plan.Board) { b.Thickness = 8 }), plan.Saw{}, []plan.Part{small}, []int{8}, true},
		{"just one leaf thick", changed(func(b *plan.Board) { b.Thickness = 4 }), plan.Saw{}, []plan.Part{small}, []int{4}, true},
		{"one leaf thick", changed(func(b *plan.Board) { b.Thickness = 7 }), plan.Saw{}, []plan.Part{small}, []int{5}, false},
		{"too thin", changed(func(b *plan.Board) { b.Thickness = 3 }), plan.Saw{}, []plan.Part{small}, []int{1}, false},
		{"a defect in the crosscut", changed(func(b *plan.Board) { b.Defects = []plan.Defect{{From: 4, To: 5}} }), plan.Saw{}, []plan.Part{small}, []int{8}, true},
		{"a defect in a strip", changed(func(b *plan.Board) { b.Defects = []plan.Defect{{From: 3, To: 5}} }), plan.Saw{}, []plan.Part{small}, []int{5}, false},
		{"wider than the saw takes", one, plan.Saw{CuttingHeight: 3}, []plan.Part{small}, []int{1}, false},
		{"as wide as the saw takes", one, plan.Saw{CuttingHeight: 4}, []plan.Part{small}, []int{8}, true},
		{"of another species", one, plan.Saw{}, []plan.Part{small, {Species: "a", Thickness: 1, Width: 1, Length: 1}}, []int{1, 1}, false},
		{"beside long ones", one, plan.Saw{}, []plan.Part{small, long}, []int{2, 2}, true},
		{"too many beside long ones", one, plan.Saw{}, []plan.Part{small, long}, []int{3, 2}, false},
		{"beside wide ones", one, plan.Saw{}, []plan.Part{small, wide}, []int{4, 2}, true},
		{"too many beside wide ones", one, plan.Saw{}, []plan.Part{small, wide}, []int{5, 2}, false},
		{"not crosscut, not ripped", one, plan.Saw{}, []plan.Part{{Thickness: 3}}, []int{2}, true},
		{"one more of these", one, plan.Saw{}, []plan.Part{{Thickness: 3}}, []int{3}, false},
	} {
		o := plan.Order{Boards: []plan.Board{c.board}, Kerf: 1, RipKerf: 1, CrosscutKerf: 1, Saw: c.saw}
		for i, p := range c.parts {
			p.Quantity = c.want[i]
			o.Parts = append(o.Parts, p)
		}
		p := Prepare(o)
		lay, fits := p.firstFit(0, c.want)
		if fits != c.fits || fits && !slices.Equal(CountSets(lay.Pieces(), len(c.want)), c.want) {
			t.Errorf("%s: %t, %+v", c.name, fits, lay)
		}
	}
}
