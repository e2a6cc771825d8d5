package lp_test

import (
	"fmt"

	"resawd/calc/lp"
)

// rolls is the linear program of Chvatal's paper rolls with three patterns of a
// roll of 100 in each: 97 rolls of 45 in and 610 of 36 in are wanted, of which a
// pattern gives two of 45, two of 36, or one of each.
func rolls() *lp.Program {
	p := lp.New([]float64{-1, -1}, []float64{97, 610}, 1000) // at least
	for _, give := range [][]float64{{2, 0}, {0, 2}, {1, 1}} {
		p.AddColumn(lp.Column{Cost: 1, Rows: []int32{0, 1}, Vals: give})
	}
	return p
}

// Half of what is wanted, as each pattern gives two.
func ExampleProgram_Primal() {
	p := rolls()
	err := p.Primal()
	fmt.Println(err, p.Value())
	// Output: <nil> 353.5
}

// Without columns nothing is met.
func ExampleNew() {
	p := lp.New([]float64{-1}, []float64{5}, 1000)
	fmt.Println(p.Primal(), p.Unmet())
	// Output: <nil> 5
}

func ExampleProgram_AddColumn() {
	p := lp.New([]float64{-1}, []float64{5}, 1000)
	p.AddColumn(lp.Column{Cost: 3, Rows: []int32{0}, Vals: []float64{2}})
	fmt.Println(p.Primal(), p.Value())
	// Output: <nil> 7.5
}

// Six pieces from columns of two each cost three; when the cheap one may be taken
// twice only, the dear one gives the rest.
func ExampleProgram_AddRow() {
	p := lp.New([]float64{-1}, []float64{6}, 1000)
	p.AddColumn(lp.Column{Cost: 1, Rows: []int32{0}, Vals: []float64{2}})
	p.AddColumn(lp.Column{Cost: 2, Rows: []int32{0}, Vals: []float64{2}})
	fmt.Println(p.Primal(), p.Value())
	first := &p.Cols[0]
	first.Rows, first.Vals = append(first.Rows, 1), append(first.Vals, 1)
	p.AddRow(1, 2) // at most two of the first
	p.Rebuild()
	fmt.Println(p.Primal(), p.Value())
	// Output:
	// <nil> 3
	// <nil> 4
}

// One board more is wanted of the first size: the dual method goes on from where
// the primal one ended.
func ExampleProgram_SetRHS() {
	p := rolls()
	fmt.Println(p.Primal(), p.Value())
	p.SetRHS([]float64{98, 610})
	fmt.Println(p.Dual(), p.Value())
	// Output:
	// <nil> 353.5
	// <nil> 354
}

func ExampleProgram_Dual() {
	p := rolls()
	_ = p.Primal()
	p.SetRHS([]float64{0, 610})
	fmt.Println(p.Dual(), p.Value())
	// Output: <nil> 305
}

func ExampleProgram_Value() {
	fmt.Println(rolls().Value() > 1000) // nothing is cut yet
	// Output: true
}

func ExampleProgram_Unmet() {
	p := rolls()
	fmt.Println(p.Unmet())
	_ = p.Primal()
	fmt.Println(p.Unmet())
	// Output:
	// 707
	// 0
}

// A copy goes its own way.
func ExampleProgram_Clone() {
	p := rolls()
	_ = p.Primal()
	q := p.Clone()
	q.SetRHS([]float64{0, 0})
	fmt.Println(q.Dual(), q.Value(), p.Value())
	// Output: <nil> 0 353.5
}

// A basis of the columns there are, whether or not they suffice.
func ExampleProgram_Crash() {
	p := rolls()
	p.Crash()
	fmt.Println(p.Primal(), p.Value())
	// Output: <nil> 353.5
}

func ExampleProgram_Rebuild() {
	p := rolls()
	_ = p.Primal()
	p.Rebuild()
	fmt.Println(p.Value())
	// Output: 353.5
}

// What a further piece would cost: half a roll.
func ExampleProgram_SolvePrices() {
	p := rolls()
	_ = p.Primal()
	p.SolvePrices()
	fmt.Println(p.Y)
	// Output: [0.5 0.5]
}
