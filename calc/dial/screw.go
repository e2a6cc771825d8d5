package dial

import (
	"resawd/calc/fault"
	"resawd/calc/length"
)

// Limits of a screw: longer leads and finer dials than any carriage has.
const (
	maxLead      = length.Metre
	maxDivisions = 10_000
)

// Screw is a lead screw with its dial.
type Screw struct {
	Lead             length.Length // travel of one turn
	DivisionsPerTurn int           // marks around the dial
}

func (s Screw) check() error {
	return fault.First(
		fault.Above("lead", s.Lead, 0, maxLead),
		fault.Within("divisions per turn", s.DivisionsPerTurn, 1, maxDivisions),
	)
}

// Turns gives a distance in turns of the screw.
//
// Source: definition of the lead: axial travel = lead x turns.
// Valid: a screw with a lead above zero.
// Accuracy: the nearest float64 to the exact quotient for distances below 2^53 nm, some
// 9000 km.
func (s Screw) Turns(distance length.Length) float64 { return distance.In(s.Lead) }

// Divisions gives the whole divisions nearest to a distance, halves up.
//
// Source: definition of the lead: a division = lead / divisions of a turn.
// Valid: distance >= 0 and a screw with a lead above zero.
func (s Screw) Divisions(distance length.Length) int64 {
	return int64(distance.Scale(int64(s.DivisionsPerTurn), int64(s.Lead)))
}

// DivisionsUp gives the fewest whole divisions that make at least a distance.
//
// Source: definition of the lead: a division = lead / divisions of a turn.
// Valid: distance >= 0 and a screw with a lead above zero.
func (s Screw) DivisionsUp(distance length.Length) int64 { return s.above(distance, 1) }

// Distance gives the travel of a number of divisions, to the nearest nanometre.
//
// Source: definition of the lead: a division = lead / divisions of a turn.
// Valid: divisions >= 0 and a screw with divisions above zero.
func (s Screw) Distance(divisions int64) length.Length {
	return s.Lead.Scale(divisions, int64(s.DivisionsPerTurn))
}

// Split gives divisions as whole turns and the divisions left, both with the
// sign of what is split.
//
// Source: definition.
// Valid: a screw with divisions above zero.
func (s Screw) Split(divisions int64) (wholeTurns, rest int) {
	n := int64(s.DivisionsPerTurn)
	return int(divisions / n), int(divisions % n)
}

// Reading gives the mark that the dial stands at after so many divisions forward
// from a starting mark; a negative number is back.
//
// Source: definition.
// Valid: a screw with divisions above zero.
func (s Screw) Reading(start int, divisions int64) int {
	n := int64(s.DivisionsPerTurn)
	return int(((int64(start)+divisions)%n + n) % n)
}

// above gives the divisions of the fewest whole steps, each of so many divisions,
// that make at least a distance.
func (s Screw) above(distance length.Length, divisions int) int64 {
	top, bottom := int64(distance)*int64(s.DivisionsPerTurn), int64(s.Lead)*int64(divisions)
	return (top + bottom - 1) / bottom * int64(divisions)
}
