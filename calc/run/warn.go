package run

import (
	"resawd/calc/blade"
	"resawd/calc/length"
)

// NominalKerfError is how far off a kerf as the blade is sold may be.
//
// Source: common practice: a kerf sold as 0.045 in came to 0.050 in.
const NominalKerfError = 5 * length.Thou

// Kind is the kind of a warning.
type Kind int

// The kinds of a warning, with its Value and its Limit.
const (
	BelowSmallestLeaf Kind = iota // thickness of the entry, smallest leaf
	NearMetal                     // wood between the last cut and metal, clearance
	KerfUnsure                    // error of a nominal kerf, tolerance
	NoHoldBack                    // -, -
	DialOverrun                   // how far rounding cuts into the hold-back, half a division
	NoLeafOfEntry                 // leaves of the entry without a count (int), one set (int)
	SetOutlastsClean              // cuts of a matched set (int), cuts between cleanings (int)
	TeethTooFine                  // teeth per inch, the most that suit (float64)
	TeethTooCoarse                // teeth per inch, the fewest that suit (float64)
)

// Warning is something that is allowed but wants a look. Values are lengths
// where the kind says nothing else.
type Warning struct {
	Kind         Kind
	Entry        int // index into Input.Leaves; -1 where it is of the whole run
	Value, Limit any
}

// warnings gives the warnings of a run, by kind and then by entry.
func (in Input) warnings(s Sheet, teeth blade.Teeth) []Warning {
	all := []Warning{}
	whole := func(k Kind, value, limit any) { all = append(all, Warning{k, -1, value, limit}) }
	for i, e := range in.Leaves {
		if e.Thickness < in.Saw.SmallestLeaf {
			all = append(all, Warning{BelowSmallestLeaf, i, e.Thickness, in.Saw.SmallestLeaf})
		}
	}
	if gap := s.Summary.LeftOnFence - in.Metal; in.Metal > 0 && gap < in.Saw.Clearance {
		whole(NearMetal, gap, in.Saw.Clearance)
	}
	if in.NominalKerf && NominalKerfError > in.Tolerance {
		whole(KerfUnsure, NominalKerfError, in.Tolerance)
	}
	if in.HoldBack == 0 {
		whole(NoHoldBack, nil, nil)
	}
	if over := s.Cuts[len(s.Cuts)-1].Position + in.HoldBack - in.Board.Thickness; over > 0 {
		whole(DialOverrun, over, in.halfDivision())
	}
	return append(append(all, in.entryWarnings(s)...), teethWarnings(in.TPI, teeth)...)
}

func (in Input) entryWarnings(s Sheet) (all []Warning) {
	last := len(in.Leaves) - 1
	if s.Summary.Counts[last] == 0 {
		all = append(all, Warning{NoLeafOfEntry, last, 0, in.Leaves[last].set()})
	}
	every := in.Care.everyCuts(in.Board)
	for i, e := range in.Leaves {
		if every > 0 && s.Summary.Counts[i] >= e.set() && e.set() > every {
			all = append(all, Warning{SetOutlastsClean, i, e.set(), every})
		}
	}
	return all
}

func teethWarnings(tpi float64, teeth blade.Teeth) []Warning {
	switch {
	case tpi > teeth.High:
		return []Warning{{TeethTooFine, -1, tpi, teeth.High}}
	case tpi < teeth.Low:
		return []Warning{{TeethTooCoarse, -1, tpi, teeth.Low}}
	}
	return nil
}
