package solve_test

import (
	"context"
	"fmt"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/solve"
)

// Two leaves of 6 and two of 4 come from two boards of 10.
func ExampleSolve() {
	r, _ := solve.Solve(context.Background(), colgen.Problem{
		Kinds:    []colgen.Kind{{Cost: 1, Quantity: colgen.Unlimited}},
		Capacity: []int64{10},
		Size:     []int64{6, 4},
		Demand:   []int{2, 2},
	}, colgen.Options{})
	fmt.Println(r.Cost)
	// Output: 2
}

// At most one leaf of 6 worth 7 and two of 4 worth 5: both sizes fill the board
// of 10 and are worth 12; one of 9 gives a leaf of 6 at most.
func ExampleWorth() {
	p := colgen.Problem{Kinds: make([]colgen.Kind, 2), Capacity: []int64{10, 9}, Size: []int64{6, 4}, Demand: []int{1, 2}}
	worth, _, _ := solve.Worth(context.Background(), p, []int64{7, 5})
	fmt.Println(worth)
	// Output: [12 10]
}
