package target

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"resawd/calc/fault"
	"resawd/calc/length"
)

// Limits: thicker than any leaf, a shrinkage beyond that of any wood, and an
// undersize from one in ten thousand to half of the leaves.
const (
	maxThickness = length.Metre
	maxShrinkage = 0.5
	minUndersize = 1e-4
	maxUndersize = 0.5
	maxZ         = 6.0
)

// Finish is what stands between a sawn leaf and the part.
type Finish struct {
	Finished  length.Length // thickness of the part
	Sanding   length.Length // off each face
	Shrinkage float64       // share of the size before drying
}

// Critical gives the thinnest leaf that still comes out right:
// (F + 2 P) / (1 - Sh).
//
// Source: Brown 2000, page 12; the place of the shrinkage is from memory (package
// comment).
// Valid: 0 < finished <= 1 m, 0 <= sanding <= 1 m, 0 <= shrinkage <= 0.5.
// Accuracy: rounded up to a nanometre.
func Critical(f Finish) (length.Length, error) {
	if err := fault.First(
		fault.Above("finished", f.Finished, 0, maxThickness),
		fault.Within("sanding", f.Sanding, 0, maxThickness),
		fault.Within("shrinkage", f.Shrinkage, 0, maxShrinkage),
	); err != nil {
		return 0, err
	}
	return length.Length(math.Ceil(float64(f.Finished+2*f.Sanding) / (1 - f.Shrinkage))), nil
}

// Z gives how many standard deviations above the critical size to aim so that no
// more than a share of the readings comes out below it, one-sided.
//
// Source: the normal distribution; Brown 2000, Table 2, whose 0 % means 0.1 %.
// Valid: 0.0001 <= undersize <= 0.5.
func Z(undersize float64) (float64, error) {
	if err := fault.Within("undersize", undersize, minUndersize, maxUndersize); err != nil {
		return 0, err
	}
	return distuv.UnitNormal.Quantile(1 - undersize), nil
}

// GoodRate gives the share of readings that come out at the critical size or above
// when aiming z standard deviations above it: what [Z] undoes.
//
// Source: the normal distribution.
// Valid: 0 <= z <= 6.
func GoodRate(z float64) (float64, error) {
	if err := fault.Within("z", z, 0, maxZ); err != nil {
		return 0, err
	}
	return distuv.UnitNormal.CDF(z), nil
}

// Aim gives the thickness to saw to: critical + Z S.
//
// Source: Brown 2000, target size.
// Valid: 0 < critical <= 6 m, 0 <= z <= 6, 0 <= sawing deviation <= 1 m.
// Accuracy: rounded up to a nanometre.
func Aim(critical length.Length, z float64, sawingSD length.Length) (length.Length, error) {
	if err := fault.First(
		fault.Above("critical", critical, 0, 6*maxThickness),
		fault.Within("z", z, 0, maxZ),
		fault.Within("sawing deviation", sawingSD, 0, maxThickness),
	); err != nil {
		return 0, err
	}
	return critical + length.Length(math.Ceil(z*float64(sawingSD))), nil
}
