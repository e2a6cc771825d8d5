package rail

import (
	"math"

	"resawd/calc/fault"
	"resawd/calc/length"
)

// Support is how a rail is held.
type Support int

// The ways a rail is held.
const (
	Ends       Support = iota // on a support at each end
	Cantilever                // held fast at one end
	Overhang                  // on two supports, each an inset from its end
)

// gravity is the standard acceleration of free fall, m/s2.
//
// Source: ISO 80000-3; adopted in 1901.
const gravity = 9.80665

// Limits: a bar thinner than a hair, and one as stiff and heavy as a ship's keel.
const (
	minStiffness = 1e-9
	maxStiffness = 1e12
	minMass      = 1e-6
	maxMass      = 1e5
	maxLoad      = 1e6
)

// deepest is the share of the length up to which formulas for small deflections
// hold.
//
// Source: common practice.
const deepest = 10

// Rail is a rail as it is held and loaded.
type Rail struct {
	Bar
	Length  length.Length
	Support Support
	Inset   length.Length // of each support from its end, for Overhang
	LoadN   float64       // the carriage with its board, where it bends the rail most
}

// Sag is how far a rail sags below its supports; negative is above them.
type Sag struct {
	Middle length.Length // by its own weight; 0 for a cantilever
	End    length.Length // by its own weight, at a free end; 0 on both ends
	Load   length.Length // what the load adds where it bends the rail most
	Worst  length.Length // the most that any place sags, load included
}

// Deflection gives how far a rail sags.
//
// Source: the beam formulas of the package comment.
// Valid: 0 < length <= length.Max; 0 <= inset <= length/2; 0 <= load <= 1 MN;
// 1e-9 <= stiffness <= 1e12 N m2; 1e-6 <= mass <= 1e5 kg/m; a sag of at most a
// tenth of the length, or else a *[fault.NoSolution].
// Accuracy: that of the small deflections that the formulas suppose.
func Deflection(r Rail) (Sag, error) {
	if err := r.check(); err != nil {
		return Sag{}, err
	}
	middle, end := r.bySelf()
	loadedMiddle, loadedEnd := r.byLoad()
	return r.lengths(middle, end, max(loadedMiddle, loadedEnd), max(middle+loadedMiddle, end+loadedEnd))
}

// bySelf gives what the rail's own weight does at its middle and at its free
// end, in metres.
func (r Rail) bySelf() (middle, end float64) {
	w, ei := r.MassKGPerM*gravity, r.StiffnessNM2
	l, a, s := r.spans()
	if r.Support == Cantilever {
		return 0, w * math.Pow(l, 4) / (8 * ei)
	}
	middle = 5*w*math.Pow(s, 4)/(384*ei) - w*a*a*s*s/(16*ei)
	return middle, w * a * (3*a*a*a + 6*a*a*s - s*s*s) / (24 * ei)
}

// byLoad gives what the load does below itself, in the middle and at a free end.
func (r Rail) byLoad() (middle, end float64) {
	l, a, s := r.spans()
	if r.Support == Cantilever {
		return 0, r.LoadN * l * l * l / (3 * r.StiffnessNM2)
	}
	return r.LoadN * s * s * s / (48 * r.StiffnessNM2), r.LoadN * a * a * (s + a) / (3 * r.StiffnessNM2)
}

// spans gives length, inset and distance of the supports in metres.
func (r Rail) spans() (l, a, s float64) {
	l = r.Length.In(length.Metre)
	if r.Support == Overhang {
		a = r.Inset.In(length.Metre)
	}
	return l, a, l - 2*a
}

// lengths turns metres into lengths, within what the formulas hold for.
func (r Rail) lengths(middle, end, load, worst float64) (s Sag, err error) {
	if !r.stiffEnough() {
		return Sag{}, &fault.NoSolution{
			Quantity: "length", Value: r.Length, Needed: r.longest(), Why: "for the sag to stay within a tenth of it, as far as the formulas hold",
		}
	}
	for _, f := range []struct {
		to *length.Length
		m  float64
	}{{&s.Middle, middle}, {&s.End, end}, {&s.Load, load}, {&s.Worst, worst}} {
		if *f.to, err = length.FromFloat(f.m, length.Metre); err != nil {
			return Sag{}, err
		}
	}
	return s, nil
}

// stiffEnough reports whether no place sags more than a tenth of the length.
func (r Rail) stiffEnough() bool {
	middle, end := r.bySelf()
	loadedMiddle, loadedEnd := r.byLoad()
	return max(middle+loadedMiddle, end+loadedEnd) <= r.Length.In(length.Metre)/deepest
}

// longest gives how long a rail of this kind may be, its supports in proportion.
func (r Rail) longest() length.Length {
	share := r.Inset.In(r.Length)
	return longest(func(l length.Length) bool {
		r.Length, r.Inset = l, length.Length(share*float64(l))
		return r.stiffEnough()
	})
}

// longest finds the greatest length, up to length.Max, that fits.
func longest(fits func(length.Length) bool) length.Length {
	var low length.Length
	high := length.Max + 1
	for high-low > 1 {
		if middle := low + (high-low)/2; fits(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}

func (r Rail) check() error {
	if err := fault.First(
		fault.Within("stiffness nm2", r.StiffnessNM2, minStiffness, maxStiffness),
		fault.Within("mass kg per m", r.MassKGPerM, minMass, maxMass),
		fault.Above("length", r.Length, 0, length.Max),
		fault.Within("support", int(r.Support), int(Ends), int(Overhang)),
		fault.Within("load n", r.LoadN, 0, maxLoad),
	); err != nil || r.Support != Overhang {
		return err
	}
	return fault.Because(fault.Within("inset", r.Inset, 0, r.Length/2), "half of the length")
}

// LongestSpan gives how far apart the supports of a rail may stand, one at each
// end, for it to sag no more than allowed under its weight and its load; length,
// support and inset of the rail are not looked at.
//
// Source: the beam formulas of the package comment, solved for L by halving.
// Valid: 0 < allowed sag <= 1 m; otherwise as [Deflection].
// Accuracy: to the nanometre below what is allowed; at most length.Max.
func LongestSpan(r Rail, allowedSag length.Length) (length.Length, error) {
	r.Support, r.Length = Ends, length.Max
	if err := fault.First(r.check(), fault.Above("allowed sag", allowedSag, 0, length.Metre)); err != nil {
		return 0, err
	}
	return longest(func(l length.Length) bool {
		r.Length = l
		self, _ := r.bySelf()
		load, _ := r.byLoad()
		return self+load <= allowedSag.In(length.Metre)
	}), nil
}
