package price

import (
	"resawd/calc/fault"
	"resawd/calc/length"
)

// Board is a board as it is sold.
type Board struct {
	Thickness, Width, Length length.Length
}

// BoardFeet gives the exact volume of a board in board feet of 144 cubic inches.
//
// Source: definition: 1 ft x 1 ft x 1 in (NIST Special Publication 811: 0.002359737
// m3).
// Valid: 0 < each size <= length.Max.
func BoardFeet(b Board) (float64, error) {
	if err := b.check(); err != nil {
		return 0, err
	}
	return b.Thickness.In(length.Inch) * b.Width.In(length.Foot) * b.Length.In(length.Foot), nil
}

// Tally gives the board feet that the trade counts: whole feet of length, the surface
// measure rounded to a whole number, halves up, times the thickness in inches, which
// counts as one where it is less.
//
// Source: National Hardwood Lumber Association, as in
// americanhardwood.org/en/american-hardwood/grading-sawn-lumber/measurement; thin
// stock: goodwoodcorp.com/HardWoodTerminology.asp. Halves are rounded up and down in
// turn, the first up (G. Wengert in woodweb.com, Rounding Numbers when Figuring
// Board Feet); a single board is the first.
// Valid: 0 < each size <= length.Max.
// Accuracy: the surface measure is exact.
func Tally(b Board) (float64, error) {
	if err := b.check(); err != nil {
		return 0, err
	}
	const squareFoot = int64(length.Foot) // of width, for each foot of length
	surface := b.Width.Scale(int64(b.Length/length.Foot), squareFoot)
	return float64(surface) * max(1, b.Thickness.In(length.Inch)), nil
}

func (b Board) check() error {
	return fault.First(
		fault.Above("board thickness", b.Thickness, 0, length.Max),
		fault.Above("board width", b.Width, 0, length.Max),
		fault.Above("board length", b.Length, 0, length.Max),
	)
}
