package dial_test

import (
	"fmt"

	"resawd/calc/dial"
	"resawd/calc/length"
)

var screw = dial.Screw{Lead: length.Inch / 10, DivisionsPerTurn: 100}

// On a dial of 0.100 in and 100 divisions an advance of 0.095 in is 0.95 turns,
// no whole turn and 95 divisions.
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
	// 0.95
	// 1 0 95 95 0.095
	// 2 0 95 90 0.19
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
	moves, _ := dial.Approach(screw, dial.Span{From: 202 * length.Thou, To: 200 * length.Thou}, 4*length.Thou)
	for _, move := range moves {
		fmt.Println(move.Back, move.Distance.Decimal(length.Inch), move.Reading)
	}
	// Output:
	// true 0.1 2
	// false 0.098 0
}

func ExampleScrew_Turns() {
	fmt.Println(screw.Turns(95 * length.Thou))
	// Output: 0.95
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
	fmt.Println(screw.Split(145))
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

func ExampleBackedOff() {
	fmt.Println(dial.BackedOff(30*length.Thou, 4*length.Thou).Decimal(length.Inch))
	fmt.Println(dial.BackedOff(3*length.Thou, 4*length.Thou).Decimal(length.Inch))
	// Output:
	// 0.026
	// 0
}

// An advance of 0.095 in rounded up to a turn of 0.100 in makes leaves of 0.055
// in, a tenth thicker and no more; one that is a nanometre less makes
// them thicker by more than that.
func ExampleTable_FarOff() {
	job := dial.Job{
		Setting:       dial.Setting{Screw: screw, Kerf: 45 * length.Thou, RoundUp: dial.ToTurn},
		LeafThickness: 50 * length.Thou, LeafCount: 1,
	}
	table, _ := dial.Schedule(job)
	fmt.Println(table.AdvanceSet.Decimal(length.Inch), table.FarOff(job.LeafThickness))
	job.LeafThickness--
	table, _ = dial.Schedule(job)
	fmt.Println(table.AdvanceSet.Decimal(length.Inch), table.FarOff(job.LeafThickness))
	// Output:
	// 0.1 false
	// 0.1 true
}
