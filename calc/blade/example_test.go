package blade_test

import (
	"fmt"

	"resawd/calc/blade"
	"resawd/calc/feed"
	"resawd/calc/length"
)

const in = length.Inch

// The practice table at 3 in, at the slow feed and by hand.
func ExampleTeethPerInch() {
	fmt.Println(blade.TeethPerInch(3*in, blade.Resaw, blade.LowGum, feed.Speed(10*in)))
	fmt.Println(blade.TeethPerInch(3*in, blade.Resaw, blade.LowGum, feed.Speed(30*in)))
	_, err := blade.TeethPerInch(0, blade.Resaw, blade.LowGum, feed.Speed(10*in))
	fmt.Println(err)
	// Output:
	// {8 8} <nil>
	// {6 6} <nil>
	// stock height is 0 mm: it must be above 0 mm and at most 100000 mm
}

// Stock of 6 in at slow feed wants 6 teeth and a width of 1/2 in. For recovery
// the narrow blade has 1/2 and (1 + 1 + 1 + 50/95)/8, the wide one, whose 8 teeth
// clog, (6/8 + 1 + 1 + 50/105)/8.
func ExampleRank() {
	ranking, _ := blade.Rank([]blade.Blade{
		{Name: "wide", Width: in * 3 / 4, BodyThickness: in * 35 / 1000, Kerf: in * 55 / 1000, TPI: 8},
		{Name: "narrow", Width: in / 2, BodyThickness: in * 25 / 1000, Kerf: in * 45 / 1000, TPI: 6},
	}, blade.Cut{
		StockHeight: 6 * in, LeafThickness: in * 50 / 1000,
		Feed: feed.Speed(10 * in), Goal: blade.Recovery,
	})
	for _, r := range ranking {
		fmt.Printf("%s: suits %v, score %.4f, loss %.4f\n", r.Name, r.Suits, r.Score, r.Loss)
	}
	// Output:
	// narrow: suits true, score 0.9408, loss 0.4737
	// wide: suits false, score 0.4033, loss 0.5238
}

// Above 8 in a blade of 1/2 in wanders: 2/3 of the width that is wanted, and its
// 4 teeth are 4/6 of the finest of the row.
func ExampleJudge() {
	r, _ := blade.Judge(
		blade.Blade{Width: in / 2, BodyThickness: in * 25 / 1000, Kerf: in * 45 / 1000, TPI: 4},
		blade.Cut{StockHeight: 9 * in, LeafThickness: in * 50 / 1000, Feed: feed.Speed(10 * in)},
	)
	fmt.Printf("suits %v, score %.4f, too narrow %v\n", r.Suits, r.Score, r.Reasons[1].Kind == blade.WidthTooSmall)
	// Output: suits false, score 0.4167, too narrow true
}

func ExampleKind_Forbids() {
	fmt.Println(blade.TeethTooFine.Forbids(), blade.TeethCoarse.Forbids())
	// Output: true false
}

func ExampleKind_Against() {
	fmt.Println(blade.TeethTooFine.Against(), blade.TeethRight.Against())
	// Output: true false
}

// 45 of 95.
func ExampleKerfLoss() {
	fmt.Printf("%.4f\n", blade.KerfLoss(in*45/1000, in*50/1000))
	// Output: 0.4737
}
