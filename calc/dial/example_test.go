package dial_test

import (
	"fmt"

	"resawd/calc/dial"
	"resawd/calc/length"
)

var screw = dial.Screw{Lead: length.Inch / 20, DivisionsPerTurn: 50}

// The worked value of the trade's dial of 0.050 in: an advance of 0.095 in is
// 1.9 turns, 1 turn and 45 divisions.
func ExampleSchedule() {
	table, _ := dial.Schedule(dial.Job{
		Setting:       dial.Setting{Screw: screw, Kerf: 45 * length.Thou},
		LeafThickness: 50 * length.Thou,
		LeafCount:     2,
	})
	fmt.Println(screw.Turns(table.Advance))
	for _, step := range table.Steps {
		turns, divisions := screw.Split(step.Divisions)
		fmt.Println(step.Cut, turns, divisions, step.Reading, step.Position.Decimal(length.Inch))
	}
	// Output:
	// 1.9
	// 1 1 45 45 0.095
	// 2 1 45 40 0.19
}

func ExampleSteps() {
	steps, _ := dial.Steps(
		dial.Setting{Screw: screw, Kerf: 45 * length.Thou},
		[]dial.Pass{{Purpose: dial.Leaf, Thickness: 50 * length.Thou}, {Purpose: dial.Leaf, Thickness: 80 * length.Thou}},
	)
	fmt.Println(steps[0].Divisions, steps[1].Divisions)
	// Output: 95 125
}

func ExampleApproach() {
	moves, _ := dial.Approach(screw, 102*length.Thou, 100*length.Thou, 4*length.Thou)
	for _, move := range moves {
		fmt.Println(move.Back, move.Distance.Decimal(length.Inch), move.Reading)
	}
	// Output:
	// true 0.05 2
	// false 0.048 0
}

func ExampleScrew_Turns() {
	fmt.Println(screw.Turns(95 * length.Thou))
	// Output: 1.9
}

func ExampleScrew_Divisions() {
	fmt.Println(screw.Divisions(783 * length.Thou / 10))
	// Output: 78
}

func ExampleScrew_DivisionsUp() {
	fmt.Println(screw.DivisionsUp(30*length.Thou), screw.DivisionsUp(30*length.Thou+1))
	// Output: 30 31
}

func ExampleScrew_Distance() {
	fmt.Println(screw.Distance(78).Decimal(length.Inch))
	// Output: 0.078
}

func ExampleScrew_Split() {
	fmt.Println(screw.Split(95))
	// Output: 1 45
}

func ExampleScrew_Reading() {
	fmt.Println(screw.Reading(45, 95))
	// Output: 40
}

// Differences of 4, 5 and 6 thou.
func ExampleEstimateBacklash() {
	e, _ := dial.EstimateBacklash([]dial.Pair{
		{Forward: 104 * length.Thou, Back: 100 * length.Thou},
		{Forward: 205 * length.Thou, Back: 200 * length.Thou},
		{Forward: 306 * length.Thou, Back: 300 * length.Thou},
	}, 0.95)
	fmt.Println(e.Backlash.Decimal(length.Inch), "from", e.Low.Fixed(length.Inch, 4), "to", e.High.Fixed(length.Inch, 4))
	// Output: 0.005 from 0.0025 to 0.0075
}
