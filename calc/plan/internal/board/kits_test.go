package board

import (
	"slices"
	"testing"

	"resawd/calc/plan"
)

// TestHolder: a kit of a and two b, and one of two a. Of five a and three b on one board
// and two b on another, the first board makes one of the first kind and two of the
// second; then it has two b left, worth 4 of the 7 that a kit of the first kind is worth.
func TestHolder(t *testing.T) {
	p := Prepare(plan.Order{
		Boards: []plan.Board{{Thickness: 20, Width: 5, Length: 5, Quantity: 2}},
		Parts:  []plan.Part{{Thickness: 1, Width: 5, Length: 5, Quantity: 9}, {Thickness: 2, Width: 5, Length: 5, Quantity: 9}},
		Kits: []plan.Kit{{Quantity: 3, Parts: []plan.KitPart{{Part: 0, Quantity: 1}, {Part: 1, Quantity: 2}}},
			{Quantity: 2, Parts: []plan.KitPart{{Part: 0, Quantity: 2}}}},
	})
	boardOf := func(a, b int) Layout {
		stacks := p.Add(p.Add(nil, 0, a, 0, 0), 1, b, 0, 0)
		return Layout{Strips: []Strip{{Billets: []Billet{{Stacks: stacks}}}}}
	}
	h := Holder{P: p}
	value := []float64{3, 2}
	for _, c := range []struct {
		plan    []Layout
		wanted  []int
		held    [][]int
		missing []int
		worth   float64
		nearest int
	}{
		{[]Layout{boardOf(5, 3), boardOf(0, 2)}, []int{3, 2}, [][]int{{1, 2}, {0, 0}}, []int{2, 0}, 4, 1},
		{[]Layout{boardOf(5, 3), boardOf(0, 2)}, []int{0, 2}, [][]int{{0, 2}, {0, 0}}, []int{0, 0}, 7, 0},
		{[]Layout{boardOf(0, 2), boardOf(2, 5)}, []int{3, 1}, [][]int{{0, 0}, {2, 0}}, []int{1, 1}, 4, 0},
		{nil, []int{1, 1}, nil, []int{1, 1}, 0, -1},
	} {
		h.Hold(c.plan, c.wanted)
		worth, nearest := h.Nearest(0, value)
		if !slices.EqualFunc(h.Held, c.held, slices.Equal) || !slices.Equal(h.Missing, c.missing) || worth != c.worth || nearest != c.nearest {
			t.Errorf("%v of %v missing, %v held, board %d has %g; want %v, %v, board %d with %g",
				h.Missing, c.wanted, h.Held, nearest, worth, c.missing, c.held, c.nearest, c.worth)
		}
	}
	if got := p.KitWorth(0, value); got != 7 {
		t.Errorf("a kit is worth %g, want 7", got)
	}
}
