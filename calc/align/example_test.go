package align_test

import (
	"fmt"

	"resawd/calc/align"
	"resawd/calc/length"
)

const (
	in   = length.Inch
	thou = length.Thou
)

// blade is an inch wide and 0.025 in thick, in a kerf of 0.045 in.
var blade = align.Blade{Width: in, Body: 25 * thou, Kerf: 45 * thou}

func ExampleBlade_Clearance() {
	c, _ := blade.Clearance()
	fmt.Println(c.Decimal(in))
	_, err := align.Blade{Width: in, Body: 25 * thou, Kerf: 25 * thou}.Clearance()
	fmt.Println(err)
	// Output:
	// 0.01
	// kerf is 0.635 mm: it must be above 0.635 mm and at most 1000 mm
}

// asin(0.010 / 1).
func ExampleBlade_RubAngle() {
	d, _ := blade.RubAngle()
	fmt.Printf("%.3f degrees\n", d)
	// Output: 0.573 degrees
}

// 0.010 over each inch of width is 0.120 over 12 in.
func ExampleBlade_RubSlope() {
	s, _ := blade.RubSlope(12 * in)
	fmt.Println(s.Decimal(in))
	// Output: 0.12
}

// A left gap of 14 and a right one of 6 thou: asin(0.008/2), turned at 10 in.
func ExampleAlign() {
	a, _ := align.Align(blade, align.Gaps{Left: 14 * thou, Right: 6 * thou}, 10*in)
	fmt.Printf("%.3f degrees, turn by %s in, then %s in a side\n", a.Degrees, a.TurnDistance.Fixed(in, 3), a.GapAfter.Decimal(in))
	fmt.Println(a.Turn == align.Counterclockwise, a.Rubs, a.KerfOff)
	// Output:
	// 0.229 degrees, turn by 0.040 in, then 0.01 in a side
	// true false 0 mm
}

// 3 thou in 12 in.
func ExampleReadings_Degrees() {
	d, _ := align.Readings{First: 0, Second: 3 * thou, Distance: 12 * in}.Degrees()
	fmt.Printf("%.4f\n", d)
	// Output: 0.0143
}
