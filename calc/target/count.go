package target

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"

	"resawd/calc/fault"
)

// MaxLeaves is the most leaves that a count comes to.
const MaxLeaves = 10_000

// Limits of a share of good leaves and of a confidence.
const (
	minGood       = 0.01
	minConfidence = 0.5
	maxConfidence = 0.9999
)

// Order is what is wanted of the leaves.
type Order struct {
	Wanted     int     // good sets
	SetSize    int     // consecutive leaves of a set; 1: single leaves
	GoodRate   float64 // share of leaves that come out good
	Confidence float64 // that at least so many sets are good
}

// Count is what to saw.
type Count struct {
	Sets   int
	Leaves int
	Chance float64 // that at least the wanted sets are good
}

// SetRate gives the share of sets of which every leaf is good.
//
// Source: definition, for leaves that are good independently of each other.
// Valid: as for [LeafCount].
func (o Order) SetRate() float64 { return math.Pow(o.GoodRate, float64(o.SetSize)) }

// LeafCount gives the fewest leaves of which, with the confidence asked for, at
// least as many sets as wanted are good.
//
// Source: the binomial distribution, exact.
// Valid: 1 <= wanted sets, 1 <= set size, wanted leaves <= [MaxLeaves], 0.01 <=
// good rate <= 1, 0.5 <= confidence <= 0.9999. Where that takes more than
// [MaxLeaves] leaves, a *[fault.NoSolution] of the wanted sets.
func LeafCount(o Order) (Count, error) {
	if err := fault.First(
		fault.Within("set size", o.SetSize, 1, MaxLeaves),
		fault.Within("good rate", o.GoodRate, minGood, 1),
		fault.Within("confidence", o.Confidence, minConfidence, maxConfidence),
	); err != nil {
		return Count{}, err
	}
	most := MaxLeaves / o.SetSize
	if err := fault.Within("wanted", o.Wanted, 1, most); err != nil {
		return Count{}, err
	}
	if o.chance(most) < o.Confidence {
		return Count{}, &fault.NoSolution{Quantity: "wanted", Value: o.Wanted, Needed: o.mostWanted(most), Why: "at most, as 10 000 leaves give no more at that rate and confidence"}
	}
	sets := sort.Search(most, func(sets int) bool { return sets >= o.Wanted && o.chance(sets) >= o.Confidence })
	return Count{Sets: sets, Leaves: sets * o.SetSize, Chance: o.chance(sets)}, nil
}

// mostWanted is how many good sets so many sets give with the confidence.
func (o Order) mostWanted(sets int) int {
	return sort.Search(o.Wanted, func(wanted int) bool {
		o.Wanted = wanted + 1
		return o.chance(sets) < o.Confidence
	})
}

// chance is the probability that of so many sets at least those wanted are good.
func (o Order) chance(sets int) float64 {
	return distuv.Binomial{N: float64(sets), P: o.SetRate()}.Survival(float64(o.Wanted) - 1)
}
