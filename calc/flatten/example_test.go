package flatten_test

import (
	"fmt"

	"resawd/calc/flatten"
	"resawd/calc/length"
)

const in = length.Inch

// A bow of 1/4 in costs 1/4 in at the front and 1/4 in at the back; in two pieces it
// is a quarter of that.
func ExampleChoose() {
	p, _ := flatten.Choose(
		flatten.Board{Thickness: 2 * in, Width: 8 * in, Length: 48 * in, Bow: in / 4},
		flatten.Setup{Kerf: in / 20, HoldBack: in / 8},
	)
	fmt.Println(p.MountedThickness.Decimal(in), p.Skim.Decimal(in), p.HoldBack.Decimal(in), p.ThicknessLeft.Decimal(in))
	fmt.Println(p.Shorter[0].Length.Decimal(in), p.Shorter[0].Skim.Decimal(in), p.Shorter[0].ThicknessLeft.Decimal(in))
	// Output:
	// 2.25 0.25 0.375 1.575
	// 24 0.0625 1.7625
}

// Published: a radius of 10 and a chord of 12 rise by 2.
func ExampleSagitta() {
	s, _ := flatten.Sagitta(10, 12*length.Metre)
	fmt.Println(s)
	// Output: 2000 mm
}

func ExampleFixing_Holds() {
	tape := flatten.Fixing{Longest: 10 * in}
	screws := flatten.Fixing{Metal: true}
	fmt.Println(tape.Holds(8*in, 0), tape.Holds(8*in, in/16), screws.Holds(24*in, in/16))
	// Output: true false true
}
