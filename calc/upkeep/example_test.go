package upkeep_test

import (
	"fmt"

	"resawd/calc/upkeep"
)

// Clean every 8 cuts or 40 hours: after 7 cuts and 10 hours it is soon due.
func ExampleRemaining() {
	left, _ := upkeep.Remaining(upkeep.Count{Cuts: 8, Hours: 40}, upkeep.Count{Cuts: 7, Hours: 10})
	fmt.Println(left.State == upkeep.Soon, left.Cuts, left.Hours)
	// Output: true 1 30
}

func ExampleCount_Plus() {
	fmt.Println(upkeep.Count{Cuts: 3, Hours: 1}.Plus(upkeep.Count{Cuts: 5, AreaMM2: 100}))
	// Output: {8 100 1}
}

func ExampleSymptoms() {
	fmt.Println(upkeep.Symptoms()[0])
	// Output: the board is hard to feed
}

func ExampleCauses() {
	first := upkeep.Causes("the carriage jerks")[0]
	fmt.Printf("%s: %s, %s\n", first.Cause, first.Check, first.Remedy)
	// Output: dust on the carriage wheels: turn each wheel by hand, brush wheels and rail
}

// A kerf measured when the blade had sawn 12 000 mm2, of 20 000 by now.
func ExampleSinceMeasured() {
	fmt.Println(upkeep.SinceMeasured(20_000, 12_000))
	// Output: 8000 <nil>
}
