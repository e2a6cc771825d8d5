package dial

import (
	"resawd/calc/fault"
	"resawd/calc/length"
)

// Move is one motion of the dial between two stands.
type Move struct {
	Back      bool          // away from the blade
	Distance  length.Length // dial travel as asked, always positive
	Divisions int64         // whole divisions turned; 0 for a step ahead that is finer than the dial
	Reading   int           // after the move, where zero reads zero
}

// Span is where the dial stands and where it must come.
type Span struct{ From, To length.Length }

// Approach gives the moves from one position to another that end forward, so
// that the backlash is out: one forward move to a target ahead; for a target
// behind, back by the smallest whole number of turns that exceeds the distance,
// as asked and as the dial sets it, and the backlash together, then forward onto
// the target. There is no move where the positions are the same.
//
// Source: common practice.
// Valid: positions from 0 to 100 m, a backlash from 0 to 1 m.
func Approach(screw Screw, span Span, backlash length.Length) ([]Move, error) {
	from, to := span.From, span.To
	if err := fault.First(
		screw.check(),
		fault.Within("from", from, 0, length.Max),
		fault.Within("to", to, 0, length.Max),
		fault.Within("backlash", backlash, 0, maxLead),
	); err != nil {
		return nil, err
	}
	start, target := screw.Divisions(from), screw.Divisions(to)
	switch {
	case to == from:
		return []Move{}, nil
	case to > from:
		return []Move{{Distance: to - from, Divisions: target - start, Reading: screw.Reading(0, target)}}, nil
	}
	behind := max(from-to, screw.Distance(start-target))
	turns := (behind+backlash)/screw.Lead + 1
	back := turns * screw.Lead
	divisions := int64(turns) * int64(screw.DivisionsPerTurn)
	return []Move{
		{Back: true, Distance: back, Divisions: divisions, Reading: screw.Reading(0, start)},
		{Distance: back - (from - to), Divisions: divisions - (start - target), Reading: screw.Reading(0, target)},
	}, nil
}
