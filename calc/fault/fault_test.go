package fault_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"resawd/calc/fault"
	"resawd/calc/length"
)

func TestLimits(t *testing.T) {
	for _, c := range []struct {
		name string
		err  error
		ok   bool
	}{
		{"within, at the low end", fault.Within("x", 1, 1, 3), true},
		{"within, at the high end", fault.Within("x", 3, 1, 3), true},
		{"within, below", fault.Within("x", 0, 1, 3), false},
		{"within, beyond", fault.Within("x", 4, 1, 3), false},
		{"within, NaN", fault.Within("x", math.NaN(), 1, 3), false},
		{"above, at the low end", fault.Above("x", 1.0, 1, 3), false},
		{"above, just above", fault.Above("x", math.Nextafter(1, 2), 1, 3), true},
		{"above, at the high end", fault.Above("x", 3.0, 1, 3), true},
		{"above, beyond", fault.Above("x", 3.1, 1, 3), false},
		{"above, infinite", fault.Above("x", math.Inf(1), 1, math.MaxFloat64), false},
	} {
		var out *fault.OutOfRange
		if (c.err == nil) != c.ok || !c.ok && !errors.As(c.err, &out) {
			t.Errorf("%s: %v", c.name, c.err)
		}
	}
}

func ExampleWithin() {
	fmt.Println(fault.Within("leaf count", 0, 1, 10_000))
	// Output: leaf count is 0: it must be from 1 to 10000
}

func ExampleAbove() {
	fmt.Println(fault.Above("lead", 0, 0, 25*length.Millimetre))
	// Output: lead is 0 mm: it must be above 0 mm and at most 25 mm
}

func ExampleBecause() {
	var out *fault.OutOfRange
	errors.As(fault.Because(fault.Within("board width", 13, 0, 12), "the cutting height"), &out)
	fmt.Println(out.High, out.Why)
	// Output: 12 the cutting height
}

func ExampleFirst() {
	fmt.Println(fault.First(nil, fault.Within("rpm", 0.5, 1, 2), fault.Within("rpm", 3.5, 1, 2)))
	// Output: rpm is 0.5: it must be from 1 to 2
}

func ExampleEntry() {
	err := error(&fault.Entry{List: "leaves", Index: 2, Err: fault.Within("count", -1, 0, 10)})
	fmt.Println(err)
	var out *fault.OutOfRange
	fmt.Println(errors.As(err, &out))
	// Output:
	// entry 3 of leaves: count is -1: it must be from 0 to 10
	// true
}

func ExampleNoSolution() {
	fmt.Println(&fault.NoSolution{
		Quantity: "board thickness", Value: length.Millimetre, Needed: 3 * length.Millimetre,
		Why: "for one leaf and its kerf",
	})
	// Output: board thickness is 1 mm: 3 mm is needed for one leaf and its kerf
}
