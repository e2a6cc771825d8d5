package gauge

import (
	"resawd/calc/fault"
	"resawd/calc/length"
)

// Place is where on a leaf a reading was taken, by the height in the blade.
type Place int

// The places.
const (
	Anywhere Place = iota
	Top
	Middle
	Bottom
)

// End is where on a leaf a reading was taken, by the length.
type End int

// The ends, in the order of sawing.
const (
	AnyEnd End = iota
	FirstEnd
	LastEnd
)

// Spot is where on a leaf a reading was taken.
type Spot struct {
	Place Place
	End   End
}

// Finding is something in the shape of the leaves that the dial cannot mend.
type Finding int

// The findings.
const (
	Wedge     Finding = iota // top and bottom of a leaf differ
	Taper                    // its ends differ
	Barrel                   // the middle differs from top and bottom: the blade bows
	MidUnseen                // no reading at mid-height: a barrel would go unseen
)

// Shaped is a finding at a leaf. A wedge or a taper means that something changed
// between two cuts. Two neighbours that are so the opposite way are a Pair: the one
// cut between them strayed.
type Shaped struct {
	Finding Finding
	Leaf    int           // ordinal; of a pair the earlier one; 0 for the run as a whole
	By      length.Length // top less bottom, first less last end, or middle less the mean of top and bottom
	Pair    bool
}

// contrast is a difference between groups of readings that should be none.
type contrast struct {
	finding     Finding
	plus, minus func(Spot) bool
}

var contrasts = []contrast{
	{Wedge, at(Top), at(Bottom)},
	{Taper, func(s Spot) bool { return s.End == FirstEnd }, func(s Spot) bool { return s.End == LastEnd }},
	{Barrel, at(Middle), func(s Spot) bool { return s.Place == Top || s.Place == Bottom }},
}

func at(p Place) func(Spot) bool { return func(s Spot) bool { return s.Place == p } }

// Shape finds wedges, tapers and barrels of more than an allowed amount. Every leaf
// has a reading for each spot, in the order of spots; readings at like spots are
// averaged.
//
// Source: definition; what a wedge or a taper means follows from (1) of the package
// comment: an error that repeats at every cut cancels.
// Valid: readings as for [Readings.Leaves], a spot for each reading of a leaf, 0 <=
// allowed <= 1 m.
// Accuracy: rounded to a nanometre.
func Shape(r Readings, spots []Spot, allowed length.Length) ([]Shaped, error) {
	if err := fault.First(r.check(1), fault.Within("allowed", allowed, 0, maxThickness)); err != nil {
		return nil, err
	}
	if len(spots) != r.perLeaf() {
		return nil, &fault.NoSolution{Quantity: "spots", Value: len(spots), Needed: r.perLeaf(), Why: "one for each reading of a leaf"}
	}
	found := []Shaped{}
	seen := false
	for _, s := range spots {
		if err := fault.First(
			fault.Within("place", int(s.Place), int(Anywhere), int(Bottom)),
			fault.Within("end", int(s.End), int(AnyEnd), int(LastEnd)),
		); err != nil {
			return nil, err
		}
		seen = seen || s.Place == Middle
	}
	if !seen {
		found = append(found, Shaped{Finding: MidUnseen})
	}
	for _, c := range contrasts {
		found = append(found, r.contrasted(c, spots, allowed)...)
	}
	return found, nil
}

// contrasted finds the leaves that show a contrast; of neighbours the opposite way
// round it makes one finding, unless it is a barrel.
func (r Readings) contrasted(c contrast, spots []Spot, allowed length.Length) []Shaped {
	var found []Shaped
	for i := 0; i < len(r); i++ {
		by := c.of(r[i], spots)
		if max(by, -by) <= allowed {
			continue
		}
		s := Shaped{Finding: c.finding, Leaf: i + 1, By: by}
		if i+1 < len(r) && c.finding != Barrel {
			next := c.of(r[i+1], spots)
			s.Pair = max(next, -next) > allowed && (next > 0) != (by > 0)
		}
		if s.Pair {
			i++
		}
		found = append(found, s)
	}
	return found
}

// of gives the contrast of a leaf, 0 where a group has no reading.
func (c contrast) of(leaf []length.Length, spots []Spot) length.Length {
	plus, ok := averaged(leaf, spots, c.plus)
	minus, ok2 := averaged(leaf, spots, c.minus)
	if !ok || !ok2 {
		return 0 // digitswap: a nanometre is below any allowance
	}
	return plus - minus
}

// averaged gives the mean of the readings at some spots, if there are any.
func averaged(leaf []length.Length, spots []Spot, in func(Spot) bool) (mean length.Length, ok bool) {
	var sum length.Length
	count := 0
	for i, s := range spots {
		if in(s) {
			sum += leaf[i]
			count++
		}
	}
	if count == 0 {
		return 0, false
	}
	return sum.Scale(1, int64(count)), true
}
