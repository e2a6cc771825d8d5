package gauge

import (
	"resawd/calc/fault"
	"resawd/calc/length"
)

// Place is where on a leaf a reading was taken, by the height in the blade.
type Place int

// The places.
const (
	Top Place = iota
	Middle
	Bottom
)

// Finding is something in the shape of the leaves that the dial cannot mend.
type Finding int

// The findings.
const (
	Wedge     Finding = iota // top and bottom of a leaf differ: something changed between two cuts
	BadCut                   // two neighbours are wedges the opposite way: the cut between them strayed
	Barrel                   // the middle differs from top and bottom: the blade bows
	MidUnseen                // no reading at mid-height: a barrel would go unseen
)

// Shaped is a finding at a leaf.
type Shaped struct {
	Finding Finding
	Leaf    int           // ordinal; of a BadCut the earlier of the two; 0 for the run as a whole
	By      length.Length // how much: top less bottom, or middle less the mean of both
}

// Shape finds wedges, cuts that strayed and barrels of more than an allowed
// amount. Every leaf has a reading for each place, in the order of places.
//
// Source: definition; what a wedge means follows from (1) of the package comment:
// an error that repeats at every cut cancels.
// Valid: readings as for [Readings.Leaves], a place for each reading, no
// place twice, 0 <= allowed <= 1 m.
func Shape(r Readings, places []Place, allowed length.Length) ([]Shaped, error) {
	if err := fault.First(r.check(1), fault.Within("allowed", allowed, 0, maxThickness)); err != nil {
		return nil, err
	}
	if len(places) != len(r[0]) {
		return nil, &fault.NoSolution{Quantity: "places", Value: len(places), Needed: len(r[0]), Why: "one for each reading of a leaf"}
	}
	at, err := where(places)
	if err != nil {
		return nil, err
	}
	found := []Shaped{}
	if at[Middle] < 0 {
		found = append(found, Shaped{Finding: MidUnseen})
	}
	if at[Top] >= 0 && at[Bottom] >= 0 {
		found = append(found, r.wedges(at, allowed)...)
	}
	if at[Top] >= 0 && at[Bottom] >= 0 && at[Middle] >= 0 {
		found = append(found, r.barrels(at, allowed)...)
	}
	return found, nil
}

// absent is the index of a place that is not read.
const absent = -1 // digitswap: any number below 0 says so

// where gives the index of each place among a leaf's readings.
func where(places []Place) ([3]int, error) {
	at := [3]int{absent, absent, absent}
	for i, p := range places {
		if err := fault.Within("place", int(p), int(Top), int(Bottom)); err != nil {
			return at, err
		}
		if at[p] >= 0 {
			return at, &fault.NoSolution{Quantity: "places", Value: len(places), Needed: i, Why: "with no place twice"}
		}
		at[p] = i
	}
	return at, nil
}

// wedges finds leaves whose top and bottom differ; of neighbours the opposite way
// round it makes one finding.
func (r Readings) wedges(at [3]int, allowed length.Length) []Shaped {
	var found []Shaped
	for i := 0; i < len(r); i++ {
		by := r[i][at[Top]] - r[i][at[Bottom]]
		if max(by, -by) <= allowed {
			continue
		}
		s := Shaped{Finding: Wedge, Leaf: i + 1, By: by}
		if i+1 < len(r) {
			next := r[i+1][at[Top]] - r[i+1][at[Bottom]]
			if max(next, -next) > allowed && (next > 0) != (by > 0) {
				s.Finding = BadCut
				i++
			}
		}
		found = append(found, s)
	}
	return found
}

func (r Readings) barrels(at [3]int, allowed length.Length) []Shaped {
	var found []Shaped
	for i, leaf := range r {
		by := leaf[at[Middle]] - (leaf[at[Top]]+leaf[at[Bottom]])/2
		if max(by, -by) > allowed {
			found = append(found, Shaped{Finding: Barrel, Leaf: i + 1, By: by})
		}
	}
	return found
}
