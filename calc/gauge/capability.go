package gauge

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"resawd/calc/fault"
	"resawd/calc/length"
)

// Process is what the capability of a saw is computed from.
type Process struct {
	Mean, SD   length.Length
	Limits     Limits
	Count      int     // of independent values
	Degrees    float64 // of freedom of SD
	Confidence float64
}

// Capability is how a tolerance compares with the spread.
type Capability struct {
	Cp  Ratio // the tolerance over six standard deviations
	Cpk Ratio // the distance of the mean from the nearer limit over three
}

// NewCapability gives Cp and Cpk with their confidence intervals: that of Cp by
// chi-square, that of Cpk by a normal approximation.
//
// Source: e-Handbook 6.1.6.
// Valid: 0 <= lower < upper <= 1 m, 0 <= mean <= 1 m, 0 < standard deviation <= 1 m, 2
// to 100 000 values, 0 < degrees of freedom <= 100 000, 0.5 <= confidence <= 0.9999.
func NewCapability(p Process) (Capability, error) {
	if err := fault.First(
		p.Limits.check(),
		fault.Within("mean", p.Mean, 0, maxThickness),
		fault.Above("standard deviation", p.SD, 0, maxThickness),
		fault.Within("count", p.Count, 2, maxValues),
		fault.Above("degrees of freedom", p.Degrees, 0, maxValues),
		checkConfidence(p.Confidence),
	); err != nil {
		return Capability{}, err
	}
	upper, lower := p.Limits.Upper-p.Mean, p.Mean-p.Limits.Lower
	cp := (upper + lower).In(6 * p.SD)
	cpk := min(upper, lower).In(3 * p.SD)
	tail := (1 - p.Confidence) / 2
	chi := distuv.ChiSquared{K: p.Degrees}
	z := distuv.UnitNormal.Quantile(1 - tail)
	margin := z * math.Sqrt(1/(9*float64(p.Count))+cpk*cpk/(2*p.Degrees))
	return Capability{
		Cp:  Ratio{cp, cp * math.Sqrt(chi.Quantile(tail)/p.Degrees), cp * math.Sqrt(chi.Quantile(1-tail)/p.Degrees)},
		Cpk: Ratio{cpk, cpk - margin, cpk + margin},
	}, nil
}

// SawDegrees gives the degrees of freedom of the standard deviation of leaves that
// alternate: two thirds of those of as many independent ones. The variance of a
// sample variance grows by 1 + 2 r^2, with r = -1/2 by half.
//
// Source: Bartlett's formula for the variance of a sample variance of a moving
// average, from memory; a simulation in the tests.
// Valid: at least 2 leaves.
func SawDegrees(leaves int) float64 { return float64(leaves-1) / 1.5 }
