package gauge

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"resawd/calc/dial"
	"resawd/calc/fault"
	"resawd/calc/length"
)

// Reason says why the dial is moved or left.
type Reason int

// The reasons.
const (
	Bias          Reason = iota // the bias is larger than its own uncertainty: move
	Noise                       // it is not: leave
	BelowDivision               // it is, but no division of the dial is nearer: leave
)

// Advice is what to do with the dial.
type Advice struct {
	Move       bool
	Reason     Reason
	Bias       Interval      // of a leaf, in the long run: too thick is positive
	Confidence float64       // that there is a bias of this sign at all
	Change     length.Length // of the advance; 0 where it is left
	Advance    length.Length // the next one; 0 where the advances are not known
}

// Next reports whether to change the advance so that the leaves come to a target,
// and by how much. It does so only for a bias that the fit's confidence interval
// tells from 0, and by whole divisions of the screw's dial where a screw is given.
//
// Source: definition; Student's t.
// Valid: a fit of [Faces]; 0 < target <= 1 m; the zero screw, or one with a lead
// and divisions.
func (f Fit) Next(target length.Length, screw dial.Screw) (Advice, error) {
	if err := fault.Above("target", target, 0, maxThickness); err != nil {
		return Advice{}, err
	}
	a := Advice{Reason: Noise, Advance: f.Last, Bias: Interval{f.Leaf.Estimate - target, f.Leaf.Low - target, f.Leaf.High - target}}
	a.Confidence = f.sureness(float64(a.Bias.Estimate))
	if a.Bias.Low <= 0 && a.Bias.High >= 0 {
		return a, nil
	}
	a.Change = f.change(a.Bias.Estimate, screw)
	a.Reason, a.Move = Bias, a.Change != 0
	if !a.Move {
		a.Reason = BelowDivision
	}
	if f.Last > 0 {
		a.Advance = f.Last + a.Change
	}
	return a, nil
}

// sureness is one less the two-sided level at which a bias would just be told.
func (f Fit) sureness(bias float64) float64 {
	if bias == 0 {
		return 0
	}
	t := math.Abs(bias) / f.standardError // +Inf for leaves that are all alike, read without steps
	return 1 - 2*distuv.StudentsT{Sigma: 1, Nu: f.degrees}.Survival(t)
}

// change is what undoes a bias, on the dial.
func (f Fit) change(bias length.Length, screw dial.Screw) length.Length {
	scale := 1.0
	if f.Scale != nil {
		scale = f.Scale.Estimate
	}
	c := nearest(-float64(bias) / scale)
	switch {
	case screw.Lead == 0:
		return c
	case f.Last > 0:
		last := screw.Divisions(f.Last)
		next := screw.Divisions(f.Last + c)
		if next == last {
			return 0
		}
		return screw.Distance(next) - f.Last
	}
	size := screw.Distance(screw.Divisions(max(c, -c)))
	return length.Length(math.Copysign(float64(size), float64(c)))
}
