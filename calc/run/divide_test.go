package run_test

import (
	"errors"
	"fmt"
	"testing"

	"resawd/calc/fault"
	"resawd/calc/length"
	"resawd/calc/run"
)

// Four bindings of 3/8 in with three kerfs of 0.045 in take 1.635 in of a leaf, and
// the fourth begins at 3 x 0.42.
func ExampleDivision_Fits() {
	d := run.Division{EndToEnd: 1, SideBySide: 4, Length: 32 * length.Inch, Width: 375 * thou, Kerf: 45 * thou}
	fmt.Println(d.Fits(32*length.Inch, 1635*thou))
	fmt.Println(d.Fits(32*length.Inch, 1634*thou))
	// Output:
	// <nil>
	// side by side is 4: it must be from 1 to 3
}

func ExampleDivision_Corner() {
	d := run.Division{EndToEnd: 2, SideBySide: 4, Length: 32 * length.Inch, Width: 375 * thou, Kerf: 45 * thou}
	from, down := d.Corner(1, 3)
	fmt.Println(from.Decimal(length.Inch), down.Decimal(length.Inch))
	// Output: 32.045 1.26
}

// TestDivisionFits: one thing is wrong in each row with a quantity. Three copies of
// 10 with two kerfs of 2 take 34, four copies of 5 with three take 26.
func TestDivisionFits(t *testing.T) {
	const most = length.Max
	for _, c := range []struct {
		name, quantity string
		long, wide     length.Length
		d              run.Division
	}{
		{"full", "", 34, 26, run.Division{EndToEnd: 3, SideBySide: 4, Length: 10, Width: 5, Kerf: 2}},
		{"one whole", "", 10, 5, run.Division{EndToEnd: 1, SideBySide: 1, Length: 10, Width: 5, Kerf: 2}},
		{"no kerf", "", 30, 20, run.Division{EndToEnd: 3, SideBySide: 4, Length: 10, Width: 5}},
		{"the largest", "", most, most, run.Division{EndToEnd: 1, SideBySide: 1, Length: most, Width: most, Kerf: length.Metre}},
		{"the most", "", 10_000, 10_000, run.Division{EndToEnd: 10_000, SideBySide: 10_000, Length: 1, Width: 1}},
		{"a nanometre too short", "end to end", 33, 26, run.Division{EndToEnd: 3, SideBySide: 4, Length: 10, Width: 5, Kerf: 2}},
		{"a nanometre too narrow", "side by side", 34, 25, run.Division{EndToEnd: 3, SideBySide: 4, Length: 10, Width: 5, Kerf: 2}},
		{"none end to end", "end to end", 34, 26, run.Division{SideBySide: 4, Length: 10, Width: 5, Kerf: 2}},
		{"none side by side", "side by side", 34, 26, run.Division{EndToEnd: 3, Length: 10, Width: 5, Kerf: 2}},
		{"more than any", "end to end", 10_001, 1, run.Division{EndToEnd: 10_001, SideBySide: 1, Length: 1, Width: 1}},
		{"more than any across", "side by side", 1, 10_001, run.Division{EndToEnd: 1, SideBySide: 10_001, Length: 1, Width: 1}},
		{"no length", "length", 34, 26, run.Division{EndToEnd: 1, SideBySide: 1, Width: 5}},
		{"longer than the leaf", "length", 9, 5, run.Division{EndToEnd: 1, SideBySide: 1, Length: 10, Width: 5}},
		{"no width", "width", 34, 26, run.Division{EndToEnd: 1, SideBySide: 1, Length: 10}},
		{"wider than the leaf", "width", 10, 4, run.Division{EndToEnd: 1, SideBySide: 1, Length: 10, Width: 5}},
		{"less than no kerf", "kerf", 34, 26, run.Division{EndToEnd: 1, SideBySide: 1, Length: 10, Width: 5, Kerf: -1}},
		{"more than any kerf", "kerf", 34, 26, run.Division{EndToEnd: 1, SideBySide: 1, Length: 10, Width: 5, Kerf: length.Metre + 1}},
		{"no leaf", "leaf length", 0, 26, run.Division{EndToEnd: 1, SideBySide: 1, Length: 10, Width: 5}},
		{"a leaf beyond", "leaf length", most + 1, 26, run.Division{EndToEnd: 1, SideBySide: 1, Length: 10, Width: 5}},
		{"no leaf across", "leaf width", 34, 0, run.Division{EndToEnd: 1, SideBySide: 1, Length: 10, Width: 5}},
		{"a leaf beyond across", "leaf width", 34, most + 1, run.Division{EndToEnd: 1, SideBySide: 1, Length: 10, Width: 5}},
	} {
		err := c.d.Fits(c.long, c.wide)
		var out *fault.OutOfRange
		switch errors.As(err, &out); {
		case c.quantity == "" && err != nil, c.quantity != "" && (out == nil || out.Quantity != c.quantity):
			t.Errorf("%s: %v, want a fault of %q", c.name, err, c.quantity)
		}
	}
}
