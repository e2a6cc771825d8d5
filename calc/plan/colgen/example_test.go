package colgen_test

import (
	"fmt"

	"resawd/calc/plan/colgen"
)

// rolls is a problem of boards of 10 from which two pieces of 6 are wanted.
func rolls() colgen.Problem {
	return colgen.Problem{Kinds: []colgen.Kind{{Cost: 3, Quantity: 5}}, Capacity: []int64{10}, Size: []int64{6}, Demand: []int{2}}
}

func ExampleProblem_Validate() {
	p := rolls()
	fmt.Println(p.Validate())
	p.Size[0] = 0
	fmt.Println(p.Validate())
	p.Capacity = nil
	fmt.Println(p.Validate())
	// Output:
	// <nil>
	// colgen: size 0 is 0; possible are 1 to 1125899906842624
	// colgen: number of capacities is 0; possible are 1 to 1
}

// Two pieces of 6 do not fit a board of 10.
func ExampleProblem_CheckPattern() {
	p := rolls()
	fmt.Println(p.CheckPattern(colgen.Pattern{Kind: 0, Pieces: []colgen.Piece{{Item: 0, Count: 2}}}))
	// Output: the pieces are longer than a board of kind 0
}

func ExampleProblem_CheckPlan() {
	p := rolls()
	one := colgen.Pattern{Kind: 0, Pieces: []colgen.Piece{{Item: 0, Count: 1}}}
	fmt.Println(p.CheckPlan([]colgen.Use{{Pattern: one, Copies: 2}}))
	fmt.Println(p.CheckPlan([]colgen.Use{{Pattern: one, Copies: 1}}))
	// Output:
	// 6 <nil>
	// 0 1 copies of item 0 are cut, 2 are wanted
}

func ExampleGap() {
	fmt.Println(colgen.Gap(100, 90), colgen.Gap(0, 0))
	// Output: 0.1 0
}
