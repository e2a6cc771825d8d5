package laminate_test

import (
	"fmt"

	"resawd/calc/laminate"
	"resawd/calc/length"
)

const in = length.Inch

// Common practice: of a rise of 3 in, 4 leaves lose 3/16 in and 8 leaves 3/64 in.
func ExampleSpringback() {
	for _, n := range []int{4, 8} {
		text, _ := length.Length(3 * laminate.Springback(n) * float64(in)).Fraction()
		fmt.Println(text)
	}
	// Output:
	// 3/16 in
	// 3/64 in
}

// Five leaves of 2 mm bent to an inner radius of 495 mm: the centre line of 500 mm
// needs one of 500 (1 - 1/25) = 480 mm, and the form's face lies 5 mm inside it. A
// quarter turn at 496 mm is 779.1 mm long.
func ExampleDesign() {
	const mm = length.Millimetre
	s, _ := laminate.Design(laminate.Part{Thickness: 10 * mm, LeafCount: 5, Radius: 495 * mm, ArcDegrees: 90})
	fmt.Println(s.LeafThickness, s.FormRadius, s.FormDegrees, s.Plies[0].Fixed(mm, 1))
	// Output: 2 mm 475 mm 93.75 779.1
}
