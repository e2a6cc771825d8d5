package yield_test

import (
	"fmt"

	"resawd/calc/length"
	"resawd/calc/yield"
)

const in = length.Inch

// A board of 1/2 in, leaves of 0.050 in, a kerf of 0.045 in and a skim of
// 0.050 in: 0.500 - 0.095 = 0.405 is 4 advances of 0.095 and 0.025 over. The
// last leaf of the rest is 0.405 - 3*0.095.
func ExampleLeaves() {
	board := yield.Input{
		BoardThickness: in / 2, LeafThickness: in * 50 / 1000, Kerf: in * 45 / 1000, Skim: in * 50 / 1000,
	}
	fence, _ := yield.Leaves(board)
	fmt.Println(fence.LeafCount, "leaves, left on the fence", fence.LeftOnFence.Decimal(in))

	board.LastLeaf = yield.Rest
	rest, _ := yield.Leaves(board)
	fmt.Println(rest.LeafCount, "leaves, the last", rest.LastLeafThickness.Decimal(in))

	board.BoardThickness = in / 8
	_, err := yield.Leaves(board)
	fmt.Println(err)
	// Output:
	// 4 leaves, left on the fence 0.025
	// 4 leaves, the last 0.12
	// board thickness is 3.175 mm: 3.683 mm is needed for one leaf
}

// Three leaves of 2 mm with kerfs of 1 mm and no truing cut.
func ExampleNeeded() {
	board := yield.Input{LeafThickness: 2 * length.Millimetre, Kerf: length.Millimetre}
	fmt.Println(yield.Needed(board, 3))
	board.LastLeaf = yield.Rest
	fmt.Println(yield.Needed(board, 3))
	// Output:
	// 9 mm
	// 8 mm
}

// Four leaves of a board of 1/2 in with kerfs of 0.045 in: 0.500 / 4 - 0.045, and with
// kerfs of 0.050 in 0.500 / 4 - 0.050.
func ExampleThickestLeaf() {
	board := yield.Input{BoardThickness: in / 2, LeafThickness: in / 20, Kerf: in * 45 / 1000, KerfMargin: in * 5 / 1000}
	nominal, least := yield.ThickestLeaf(board, 4)
	fmt.Println(nominal.Decimal(in), least.Decimal(in))
	// Output: 0.08 0.075
}

func ExampleSkimLoss() {
	fmt.Println(yield.SkimLoss(in*50/1000, in*45/1000).Decimal(in), yield.SkimLoss(0, in*45/1000))
	// Output: 0.095 0 mm
}
