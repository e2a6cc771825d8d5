package gauge

import (
	"slices"

	"resawd/calc/fault"
	"resawd/calc/length"
)

// Limits of what is read: thicker than any leaf, as many leaves as the longest run
// has, and readings as far as the table of chart constants goes.
const (
	maxThickness = length.Metre
	MaxLeaves    = 10_000
	MaxReadings  = 10
	maxValues    = MaxLeaves * MaxReadings
)

// Verdict says where a leaf lies.
type Verdict int

// The verdicts.
const (
	In Verdict = iota
	Thin
	Thick
)

// Limits are the thinnest and the thickest that a leaf may be at any place.
type Limits struct{ Lower, Upper length.Length }

// Around gives the limits of a tolerance either side of a target.
//
// Source: definition.
func Around(target, tolerance length.Length) Limits {
	return Limits{target - tolerance, target + tolerance}
}

// Middle is the target that limits imply.
//
// Source: definition.
// Accuracy: rounded down to a nanometre.
func (l Limits) Middle() length.Length { return l.Lower + (l.Upper-l.Lower)/2 }

func (l Limits) check() error {
	return fault.First(
		fault.Within("lower", l.Lower, 0, maxThickness),
		fault.Above("upper", l.Upper, l.Lower, maxThickness),
	)
}

// Leaf is a leaf as it was measured.
type Leaf struct{ Mean, Minimum, Maximum length.Length }

// Measure sums up the readings of one leaf.
//
// Source: definition.
// Valid: 1 to [MaxReadings] readings, each 0 < reading <= 1 m.
// Accuracy: the mean is rounded to the nearest nanometre, halves up.
func Measure(readings []length.Length) (Leaf, error) {
	if err := fault.Within("readings", len(readings), 1, MaxReadings); err != nil {
		return Leaf{}, err
	}
	var sum length.Length
	for _, r := range readings {
		if err := fault.Above("reading", r, 0, maxThickness); err != nil {
			return Leaf{}, err
		}
		sum += r
	}
	return Leaf{Mean: sum.Scale(1, int64(len(readings))), Minimum: slices.Min(readings), Maximum: slices.Max(readings)}, nil
}

// Range is what the thickest place has over the thinnest.
//
// Source: definition.
func (l Leaf) Range() length.Length { return l.Maximum - l.Minimum }

// Verdict judges a leaf by its worst reading. A leaf that is both thin and thick
// is thin: what is thick can still be sanded.
//
// Source: common practice.
func (l Leaf) Verdict(limits Limits) Verdict {
	switch {
	case l.Minimum < limits.Lower:
		return Thin
	case l.Maximum > limits.Upper:
		return Thick
	}
	return In
}
