package colgen_test

import (
	"context"
	"fmt"

	"resawd/calc/plan/colgen"
)

// Two leaves of 6 and two of 4 come from two boards of 10.
func ExampleSolve() {
	pricer, _ := colgen.NewKnapsack([]int64{10}, []int64{6, 4})
	r, _ := colgen.Solve(context.Background(), colgen.Problem{
		Kinds:  []colgen.Kind{{Cost: 1, Quantity: colgen.Unlimited}},
		Demand: []int{2, 2},
		Pricer: pricer,
	}, colgen.Options{})
	fmt.Println(r.Cost)
	// Output: 2
}

func ExampleNewKnapsack() {
	_, err := colgen.NewKnapsack([]int64{10}, []int64{0})
	fmt.Println(err)
	// Output: colgen: size 0 is 0; possible are 1 to 1125899906842624
}
