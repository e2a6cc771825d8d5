package run_test

import (
	"fmt"

	"resawd/calc/blade"
	"resawd/calc/dial"
	"resawd/calc/feed"
	"resawd/calc/length"
	"resawd/calc/run"
)

const thou = length.Thou

// demo is a board of 1/2 in on a dial of 0.100 in and 100 divisions, with a kerf
// of 0.045 in and a truing cut of 0.050 in.
func demo() run.Input {
	return run.Input{
		Board:  run.Board{Name: "A", Thickness: 500 * thou, Width: 6 * length.Inch, Length: 36 * length.Inch},
		Leaves: []run.Entry{{Name: "back", Thickness: 50 * thou, Count: 2, Matched: 2}, {Name: "binding", Thickness: 50 * thou}},
		Setting: dial.Setting{
			Screw: dial.Screw{Lead: 100 * thou, DivisionsPerTurn: 100}, Kerf: 45 * thou,
		},
		Skim: 50 * thou,
		Saw: run.Saw{
			CuttingHeight: 12 * length.Inch, RailLength: 104 * length.Inch, BladeSpeed: feed.BladeSpeed(3000 * length.Foot),
		},
		Feed:  feed.Speed(10 * length.Inch),
		Blade: blade.Blade{Width: length.Inch / 2, BodyThickness: 25 * thou, Kerf: 45 * thou, TPI: 6},
	}
}

// The truing cut and four leaves, each 95 divisions on; 0.025 in stays, and
// five cuts of 216 s.
func ExampleCompose() {
	sheet, _ := run.Compose(demo())
	for _, c := range sheet.Cuts {
		fmt.Printf("%d %q: %d turns %d, at %d, tally %d, left %s\n",
			c.Cut, c.Name, c.WholeTurns, c.Divisions, c.Reading, c.TurnTally, c.BoardLeft.Decimal(length.Inch))
	}
	s := sheet.Summary
	fmt.Println(s.LeafCount, "leaves,", s.TotalSeconds, "s, recovery", s.Recovery)
	// Output:
	// 1 "": 0 turns 95, at 95, tally 0, left 0.405
	// 2 "back": 0 turns 95, at 90, tally 1, left 0.31
	// 3 "back": 0 turns 95, at 85, tally 2, left 0.215
	// 4 "binding": 0 turns 95, at 80, tally 3, left 0.12
	// 5 "binding": 0 turns 95, at 75, tally 4, left 0.025
	// 4 leaves, 1080 s, recovery 0.4
}

// Three of 0.145 in and the truing cut do not fit into 1/2 in:
// 0.095 + 3*0.190 = 0.665, and 0.475 for two.
func ExampleCompose_refused() {
	in := demo()
	in.Leaves = []run.Entry{{Thickness: 145 * thou, Count: 3}}
	_, err := run.Compose(in)
	fmt.Println(err)
	in.Leaves[0].Count, in.Leaves[0].Thickness = 2, 200*thou
	_, err = run.Compose(in)
	fmt.Println(err)
	in.Leaves[0].Count, in.Leaves[0].Thickness = 1, 410*thou
	_, err = run.Compose(in)
	fmt.Println(err)
	in.Leaves = []run.Entry{{Thickness: 145 * thou, Count: 3, Matched: 2}}
	_, err = run.Compose(in)
	fmt.Println(err)
	// Output:
	// board thickness is 12.7 mm: 16.891 mm is needed for the 3 leaves that are listed (the board gives 2)
	// board thickness is 12.7 mm: 14.859 mm is needed for the 2 leaves that are listed (the board gives 1)
	// board thickness is 12.7 mm: 13.97 mm is needed for the leaf that is listed
	// entry 1 of leaves: count is 3: 4 is needed for whole matched sets
}
