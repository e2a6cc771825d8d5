package run

import (
	"math"

	"resawd/calc/length"
)

// Stop is what must be done before a cut.
type Stop int

// The stops before a cut.
const (
	Clean  Stop = iota // clean the blade, the carriage wheels and the rail
	Rezero             // wind the screw back
)

// everyCuts gives after how many cuts of a board cleaning is due, or 0 for never.
// Areas are compared in whole square micrometres.
func (c Care) everyCuts(b Board) int {
	every := c.AfterCuts
	if limit := int64(math.Round(c.AfterAreaMM2 * 1e6)); limit > 0 {
		each := max(1, int64(b.Width.Scale(int64(b.Length), 1_000_000)))
		byArea := int(min((limit+each-1)/each, math.MaxInt32))
		if every == 0 || byArea < every {
			every = byArea
		}
	}
	return every
}

// cleanings tells before which tasks to clean, when it is due after every so
// many cuts: never within a matched set. So many cuts were made since the last.
func cleanings(tasks []task, every, since int) []bool {
	stops := make([]bool, len(tasks))
	for i, t := range tasks {
		last := since + max(t.Together, 1) - 1 // cuts made before the last of the set
		if every > 0 && since > 0 && t.inSet <= 1 && last >= every {
			stops[i], since = true, 0
		}
		since++
	}
	return stops
}

// areaMM2 gives the area that one cut saws.
func (b Board) areaMM2() float64 {
	return b.Length.In(length.Millimetre) * b.Width.In(length.Millimetre)
}
