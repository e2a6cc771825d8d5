package wood

import (
	"resawd/calc/fault"
	"resawd/calc/length"
)

// Direction is a direction across the grain.
type Direction int

// The directions across the grain.
const (
	Tangential Direction = iota // along the growth rings: the width of a flatsawn board
	Radial                      // across them: the width of a quartersawn one
)

// Saturation is the moisture content, in percent, above which wood no longer
// swells.
//
// Source: Wood Handbook chapter 13, FPL-GTR-190: shrinkage is taken to begin at 30
// percent. Others take 28, which changes results by 7 percent.
const Saturation = 30.0

// The moisture contents, in percent, between which the coefficients hold.
//
// Source: Wood Handbook table 13-5.
const (
	driest  = 6.0
	wettest = 14.0
)

// Limits: wood under water holds up to about 250 percent; no coefficient or
// shrinkage of a wood comes near a tenth for each percent, or half of its size.
const (
	maxMoisture    = 250.0
	maxCoefficient = 0.1
	maxShrinkage   = 50.0
)

// Method says which formula a movement comes from.
type Method int

// The formulas of movement.
const (
	NoFigure       Method = iota // the species has no figure for this direction
	ByCoefficient                // eq. 13-2
	ByShrinkage                  // eq. 13-3
	BeyondTheRange               // the coefficient does not hold there, and there is no shrinkage
)

// Moved is how much a size changes, and how that is known.
type Moved struct {
	Change length.Length // above 0 where the wood swells; 0 without a figure
	Method Method
	Figure Figure // what it rests on
}

// Movement gives how much a size across the grain changes between two moisture
// contents: by the coefficient where both lie from 6 to 14 percent, else by the
// shrinkage, above 30 percent as if it were 30.
//
// Source: [Coefficient.Change] and [Shrinkage.Change].
// Valid: 0 <= size <= length.Max, 0 <= moisture contents <= 250 percent.
// Accuracy: species means; single boards vary, and where the rings stand aslant
// the width moves less and the thickness more.
func (s Species) Movement(size length.Length, d Direction, fromPct, toPct float64) (Moved, error) {
	if err := fault.First(checkSize(size), checkMoistures(fromPct, toPct, maxMoisture), fault.Within("direction", int(d), int(Tangential), int(Radial))); err != nil {
		return Moved{}, err
	}
	coefficient, shrinkage := s.TangentialCoefficient, s.TangentialShrinkage
	if d == Radial {
		coefficient, shrinkage = s.RadialCoefficient, s.RadialShrinkage
	}
	inside := min(fromPct, toPct) >= driest && max(fromPct, toPct) <= wettest
	var change length.Length
	var err error
	switch {
	case inside && coefficient.Known():
		change, err = Coefficient(coefficient.Value).Change(size, fromPct, toPct)
		return Moved{change, ByCoefficient, coefficient}, err
	case shrinkage.Known():
		change, err = Shrinkage(shrinkage.Value).Change(size, min(fromPct, Saturation), min(toPct, Saturation))
		return Moved{change, ByShrinkage, shrinkage}, err
	case coefficient.Known():
		return Moved{Method: BeyondTheRange}, nil
	}
	return Moved{}, nil
}

// Coefficient is the share of a size that it changes by for each percent of moisture.
type Coefficient float64

// Change gives how much a size changes between two moisture contents: D C (M2 - M1).
//
// Source: Bergman, Wood Handbook chapter 13, FPL-GTR-190 (2010), eq. 13-2.
// Valid: 0 <= size <= length.Max, 0 <= C <= 0.1, 6 <= moisture contents <= 14.
// Accuracy: C is meant for the size at 10 percent, so that moving there and back
// misses the size by a share of (C (M2 - M1))^2: at most 0.14 percent for the woods of
// table 13-5.
func (c Coefficient) Change(size length.Length, fromPct, toPct float64) (length.Length, error) {
	if err := fault.First(
		checkSize(size), fault.Within("coefficient", float64(c), 0, maxCoefficient),
		fault.Within("moisture pct", fromPct, driest, wettest), fault.Within("to moisture pct", toPct, driest, wettest),
	); err != nil {
		return 0, err
	}
	return length.FromFloat(float64(size)*float64(c)*(toPct-fromPct), length.Nanometre)
}

// Shrinkage is the shrinkage of a size from green to ovendry, in percent.
type Shrinkage float64

// Change gives how much a size changes between two moisture contents:
// D (M2 - M1) / (30 * 100 / S - 30 + M1). Moving there and back returns the size.
//
// Source: Bergman, Wood Handbook chapter 13, FPL-GTR-190 (2010), eq. 13-3: that it
// exists and holds up to 30 percent was read there, its form in a transcription of the
// rules for the settling of log walls (ICC 400, by its name from memory). It follows
// from a shrinkage that grows evenly from 30 percent down.
// Valid: 0 <= size <= length.Max, 0 < S <= 50, 0 <= moisture contents <= 30.
func (s Shrinkage) Change(size length.Length, fromPct, toPct float64) (length.Length, error) {
	if err := fault.First(
		checkSize(size), fault.Above("shrinkage", float64(s), 0, maxShrinkage), checkMoistures(fromPct, toPct, Saturation),
	); err != nil {
		return 0, err
	}
	return length.FromFloat(float64(size)*(toPct-fromPct)/(Saturation*100/float64(s)-Saturation+fromPct), length.Nanometre)
}

func checkSize(size length.Length) error { return fault.Within("size", size, 0, length.Max) }

func checkMoistures(from, to, most float64) error {
	return fault.First(fault.Within("moisture pct", from, 0, most), fault.Within("to moisture pct", to, 0, most))
}
