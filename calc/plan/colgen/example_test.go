package colgen_test

import (
	"context"
	"fmt"

	"resawd/calc/plan/colgen"
)

// Two leaves of 6 and two of 4 come from two boards of 10.
func ExampleSolve() {
	knapsack, _ := colgen.NewKnapsack([]int64{10}, []int64{6, 4})
	r, _ := colgen.Solve(context.Background(), colgen.Problem{
		Kinds:    []colgen.Kind{{Cost: 1, Quantity: colgen.Unlimited}},
		Demand:   []int{2, 2},
		Knapsack: knapsack,
	}, colgen.Options{})
	fmt.Println(r.Cost)
	// Output: 2
}

func ExampleNewKnapsack() {
	_, err := colgen.NewKnapsack([]int64{10}, []int64{0})
	fmt.Println(err)
	// Output: colgen: size 0 is 0; possible are 1 to 1125899906842624
}

// Worth 7 and 5, at most one and two: 6 + 4 fill 10 and are worth 12.
func ExampleKnapsack_Price() {
	knapsack, _ := colgen.NewKnapsack([]int64{10}, []int64{6, 4})
	answers, _, _ := knapsack.Price(context.Background(), colgen.Query{
		Value: []int64{7, 5}, Limit: []int{1, 2}, Floor: []int64{0}, Many: 1, Exact: true,
	})
	fmt.Println(answers[0].Patterns[0], answers[0].Bound)
	// Output: [{0 1} {1 1}] 12
}

func ExampleKnapsack_Check() {
	knapsack, _ := colgen.NewKnapsack([]int64{10}, []int64{6, 4})
	fmt.Println(knapsack.Check(0, []colgen.Piece{{Item: 0, Count: 2}}) != nil)
	// Output: true
}
