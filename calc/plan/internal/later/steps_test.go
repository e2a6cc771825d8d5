package later_test

import (
	"slices"
	"testing"

	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/later"
)

// billet is a billet of a length and width that gives so many leaves of one part.
type billet struct {
	from, length, width length.Length
	part, leaves        int
}

// layout lays billets on a board of a kind; those that begin at one place lie side by side.
func layout(p *board.Problem, kind int, billets ...billet) board.Use {
	use := board.Use{Layout: board.Layout{Kind: kind}, Copies: 1}
	for i, b := range billets {
		l, w := slices.Index(p.Lens, b.length), slices.Index(p.Wids, b.width)
		if i == 0 || b.from != billets[i-1].from {
			use.Strips = append(use.Strips, board.Strip{Piece: board.Piece{L: l, From: b.from}})
		}
		st := &use.Strips[len(use.Strips)-1]
		st.Billets = append(st.Billets, board.Billet{W: w, Stacks: p.Add(nil, b.part, b.leaves, l, w)})
	}
	return use
}

// TestSteps: for each kind of step a plan by hand, in nanometres and without kerfs, that no
// other kind makes better.
func TestSteps(t *testing.T) {
	for _, c := range []struct {
		name   string
		boards []plan.Board
		parts  []plan.Part
		skim   length.Length
		cuts   func(p *board.Problem) []board.Use
		want   worth
	}{
		// Two billets side by side with a leaf each: both leaves come from one of them, with
		// one truing pass less, and 10 x 6 x 10 stay beside it.
		{"leaves to another billet", []plan.Board{{Thickness: 10, Width: 10, Length: 10, Quantity: 1, Price: 1}},
			[]plan.Part{{Thickness: 2, Width: 4, Length: 10, Quantity: 2}}, 1,
			func(p *board.Problem) []board.Use {
				return []board.Use{layout(p, 0, billet{0, 10, 4, 0, 1}, billet{0, 10, 4, 0, 1})}
			}, worth{1, 1, 3, 600}},
		// Both leaves of the first board find room beside that of the second: either alone
		// would better nothing, for what stays of the third, of ash, is larger than all else.
		{"a board emptied", []plan.Board{{Species: "oak", Thickness: 10, Width: 10, Length: 10, Quantity: 2, Price: 1}, {Species: "ash", Thickness: 10, Width: 10, Length: 100, Quantity: 1, Price: 1}},
			[]plan.Part{{Species: "oak", Thickness: 2, Width: 4, Length: 10, Quantity: 2}, {Species: "oak", Thickness: 4, Width: 5, Length: 10, Quantity: 1}, {Species: "ash", Thickness: 10, Width: 10, Length: 20, Quantity: 1}}, 0,
			func(p *board.Problem) []board.Use {
				return []board.Use{layout(p, 0, billet{0, 10, 4, 0, 1}, billet{0, 10, 4, 0, 1}), layout(p, 0, billet{0, 10, 5, 1, 1}), layout(p, 1, billet{0, 20, 10, 2, 1})}
			}, worth{2, 2, 4, 8000}},
		// Nothing stays on the fence; a length of 4 goes behind that of 5 on the other board.
		{"a length to another board", []plan.Board{{Thickness: 3, Width: 10, Length: 10, Quantity: 2, Price: 1}},
			[]plan.Part{{Thickness: 3, Width: 10, Length: 4, Quantity: 1}, {Thickness: 3, Width: 10, Length: 5, Quantity: 1}}, 0,
			func(p *board.Problem) []board.Use {
				return []board.Use{layout(p, 0, billet{0, 4, 10, 0, 1}), layout(p, 0, billet{0, 5, 10, 1, 1})}
			}, worth{1, 1, 2, 30}},
		// A billet of 4 by 4 goes beside one of 10 by 6, where no length is free.
		{"a billet beside another", []plan.Board{{Thickness: 3, Width: 10, Length: 10, Quantity: 2, Price: 1}},
			[]plan.Part{{Thickness: 3, Width: 4, Length: 4, Quantity: 1}, {Thickness: 3, Width: 6, Length: 10, Quantity: 1}}, 0,
			func(p *board.Problem) []board.Use {
				return []board.Use{layout(p, 0, billet{0, 4, 4, 0, 1}), layout(p, 0, billet{0, 10, 6, 1, 1})}
			}, worth{1, 1, 2, 0}},
		// Before a defect from 8 to 9 a length of 8 leaves the 11 behind it whole.
		{"a length to another stretch", []plan.Board{{Thickness: 3, Width: 10, Length: 20, Quantity: 1, Price: 1, Defects: []plan.Defect{{From: 8, To: 9}}}},
			[]plan.Part{{Thickness: 3, Width: 10, Length: 8, Quantity: 1}}, 0,
			func(p *board.Problem) []board.Use { return []board.Use{layout(p, 0, billet{9, 8, 10, 0, 1})} },
			worth{1, 1, 1, 330}},
	} {
		p := board.Prepare(plan.Order{Boards: c.boards, Parts: c.parts, Skim: c.skim})
		if got := worthOf(p, p.Trim(later.Improve(p, c.cuts(p)), p.Possible())); got != c.want {
			t.Errorf("%s: %+v, not %+v; before %+v", c.name, got, c.want, worthOf(p, c.cuts(p)))
		}
	}
}
