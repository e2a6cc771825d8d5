package blade

import (
	"resawd/calc/fault"
	"resawd/calc/feed"
	"resawd/calc/length"
)

// Operation is what the blade is to do.
type Operation int

// The operations. Rip is judged as Resaw is.
const (
	Resaw Operation = iota
	Rip
	Crosscut
)

// Gum is how gummy or resinous the wood is.
type Gum int

// The classes of gum.
const (
	LowGum Gum = iota
	MediumGum
	HighGum
	UnknownGum
)

// Teeth is a range of teeth per inch, from coarse to fine.
type Teeth struct{ Low, High float64 }

// rows is the practice table of the package comment, from fine to coarse.
//
// Source: common practice; the last row from memory.
var rows = [...]Teeth{{10, 10}, {8, 10}, {8, 8}, {6, 6}, {4, 6}, {3, 4}}

// Limits of the practice table and of the trade's slow feed.
//
// Source: common practice.
const (
	tenBelow  = 3 * length.Inch / 2
	eightFrom = 2 * length.Inch
	eightUpTo = 4 * length.Inch
	tall      = 8 * length.Inch // stock above it
	slowFeed  = feed.Speed(20 * length.Inch)
)

// TeethPerInch gives the teeth per inch that suit a stock height, an operation,
// a gum class and a feed.
//
// Source: common practice (package comment).
// Valid: 0 < stock height <= length.Max, 0 < feed <= 100 m/min.
func TeethPerInch(stockHeight length.Length, op Operation, gum Gum, f feed.Speed) (Teeth, error) {
	if err := fault.First(
		fault.Above("stock height", stockHeight, 0, length.Max),
		fault.Within("operation", int(op), int(Resaw), int(Crosscut)),
		fault.Within("gum", int(gum), int(LowGum), int(UnknownGum)),
		fault.Above("feed", f, 0, feed.MaxSpeed),
	); err != nil {
		return Teeth{}, err
	}
	i := row(stockHeight)
	if f > slowFeed {
		i++
	}
	if gum == HighGum {
		i++
	}
	if op == Crosscut {
		i--
	}
	teeth := rows[inTable(i)]
	if gum == MediumGum {
		teeth.Low = rows[inTable(i+1)].Low
	}
	return teeth, nil
}

func row(h length.Length) int {
	switch {
	case h > tall:
		return 4
	case h > eightUpTo:
		return 3
	case h >= eightFrom:
		return 2
	case h >= tenBelow:
		return 1
	}
	return 0
}

// inTable gives the nearest row that the table has.
func inTable(i int) int { return max(0, min(i, len(rows)-1)) }
