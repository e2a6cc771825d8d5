package gauge

import (
	"math"

	"gonum.org/v1/gonum/stat"

	"resawd/calc/fault"
	"resawd/calc/length"
)

// Deviations are standard deviations: within leaves, between them, and of all.
type Deviations struct{ Within, Between, Total length.Length }

// Readings are those of each leaf, the same number of each.
type Readings [][]length.Length

// perLeaf is how many readings each leaf has, where there is a leaf.
func (r Readings) perLeaf() int { return len(r[0]) }

// check wants at least so many leaves, each with as many readings.
func (r Readings) check(fewest int) error {
	if err := fault.Within("leaf count", len(r), fewest, MaxLeaves); err != nil {
		return err
	}
	for i, leaf := range r {
		_, err := Measure(leaf)
		if err == nil && len(leaf) != r.perLeaf() {
			err = &fault.NoSolution{Quantity: "readings", Value: len(leaf), Needed: r.perLeaf(), Why: "as of the first leaf"}
		}
		if err != nil {
			return &fault.Entry{List: "readings", Index: i, Err: err}
		}
	}
	return nil
}

// Leaves sums up each leaf.
//
// Source: definition.
// Valid: 1 to [MaxLeaves] leaves, each with as many readings as the first, as for
// [Measure]; a fault of one leaf is a *[fault.Entry].
func (r Readings) Leaves() ([]Leaf, error) {
	if err := r.check(1); err != nil {
		return nil, err
	}
	leaves := make([]Leaf, len(r))
	for i := range r {
		leaves[i], _ = Measure(r[i])
	}
	return leaves, nil
}

// Mean gives the mean of all readings.
//
// Source: definition.
// Valid: as for [Readings.Leaves].
func (r Readings) Mean() (length.Length, error) {
	if err := r.check(1); err != nil {
		return 0, err
	}
	return r.origin() + nearest(r.moments().mean), nil
}

// Brown gives the three figures of size control in sawmills: within, the root of
// the mean of the leaves' variances; between, the standard deviation of the
// leaves' means; total, that of all readings. Between contains a share of within,
// and total is not the root of the sum of their squares. With one reading a leaf
// within is 0 and says nothing.
//
// Source: Brown 2000, page 22.
// Valid: at least 2 leaves, otherwise as for [Readings.Leaves].
func Brown(r Readings) (Deviations, error) {
	if err := r.check(2); err != nil {
		return Deviations{}, err
	}
	m := r.moments()
	return Deviations{rooted(m.within), rooted(m.between), rooted(m.total)}, nil
}

// Components gives the variance components of a one-way random model, as standard
// deviations: within as in [Brown]; between, what the leaves differ by beyond what
// the readings of each explain; total, the root of the sum of their squares. Where
// the leaves differ by less than that, between is 0 and clamped is true.
//
// Source: e-Handbook 7.4.4, by the expected mean squares of a one-way random model.
// Valid: at least 2 leaves of at least 2 readings, otherwise as for [Readings.Leaves].
func Components(r Readings) (d Deviations, clamped bool, err error) {
	if err := r.check(2); err != nil {
		return Deviations{}, false, err
	}
	if err := fault.Within("readings", r.perLeaf(), 2, MaxReadings); err != nil {
		return Deviations{}, false, err
	}
	m := r.moments()
	between := m.between - m.within/float64(r.perLeaf())
	clamped = between < 0
	between = max(0, between)
	return Deviations{rooted(m.within), rooted(between), rooted(m.within + between)}, clamped, nil
}

// moments are a mean, counted from the first reading of all, and variances, in
// nanometres.
type moments struct{ mean, within, between, total float64 }

// origin is the first reading of all, where there is one.
func (r Readings) origin() length.Length { return r[0][0] }

// moments takes every reading from the first one, in whole nanometres, so that no
// offset can spoil a digit.
func (r Readings) moments() moments {
	var all, means []float64
	var m moments
	for _, leaf := range r {
		x := from(r.origin(), leaf)
		mean, variance := stat.MeanVariance(x, nil)
		means, all = append(means, mean), append(all, x...)
		if len(x) > 1 {
			m.within += variance / float64(len(r))
		}
	}
	m.between = stat.Variance(means, nil)
	m.mean, m.total = stat.MeanVariance(all, nil)
	return m
}

// from gives lengths as nanometres from an origin.
func from(origin length.Length, lengths []length.Length) []float64 {
	x := make([]float64, len(lengths))
	for i, l := range lengths {
		x[i] = float64(l - origin)
	}
	return x
}

func nearest(nm float64) length.Length { return length.Length(math.Round(nm)) }

func rooted(variance float64) length.Length { return nearest(math.Sqrt(variance)) }

// lagOne gives the autocorrelation one apart: NIST StRD's r(1).
func lagOne(x []float64) float64 {
	mean := stat.Mean(x, nil)
	var top, bottom float64
	for i, v := range x {
		bottom += (v - mean) * (v - mean)
		if i > 0 {
			top += (v - mean) * (x[i-1] - mean)
		}
	}
	if bottom == 0 {
		return 0
	}
	return top / bottom
}
