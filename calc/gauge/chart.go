package gauge

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/stat"

	"resawd/calc/length"
)

// Kind is a kind of control chart.
type Kind int

// The kinds.
const (
	XbarR       Kind = iota // means and ranges of leaves with several readings
	Individuals             // leaves with one reading, and the ranges between neighbours
)

// Rule is one of the four tests of Western Electric.
type Rule int

// The tests. Each is met on one side of the centre.
const (
	BeyondLimits Rule = iota // one beyond three sigma
	TwoOfThree               // two of three in a row beyond two sigma
	FourOfFive               // four of five in a row beyond one sigma
	EightInARow              // eight in a row on one side
)

// Signal is a leaf at which a test is met.
type Signal struct {
	Leaf  int // ordinal
	Rule  Rule
	Above bool // on the side of thick leaves
	Range bool // by its range, not its mean; only above
}

// Chart is a control chart of leaves in the order of sawing.
type Chart struct {
	Kind                    Kind
	Centre, Lower, Upper    length.Length // of the leaves' means
	RangeCentre, RangeUpper length.Length
	RangeLower              length.Length
	Signals                 []Signal
}

// NewChart makes the textbook's chart of leaves: of means and ranges where there
// are several readings a leaf, otherwise of individuals and moving ranges of two.
// Its limits stand three sigma from the centre, sigma being the mean range over
// d2. For a saw they are not the best ones: see the package comment, and
// [Fit.Limits].
//
// Source: e-Handbook 6.3.2.1 and 6.3.2.2; tests: Western Electric 1956.
// Valid: at least 2 leaves, otherwise as for [Readings.Leaves].
func NewChart(r Readings) (Chart, error) {
	if err := r.check(2); err != nil {
		return Chart{}, err
	}
	leaves, _ := r.Leaves()
	c := Chart{Kind: XbarR}
	means, ranges := make([]float64, len(leaves)), make([]float64, len(leaves))
	for i, l := range leaves {
		means[i], ranges[i] = float64(l.Mean), float64(l.Range())
	}
	n, size := r.perLeaf(), float64(r.perLeaf())
	if n == 1 {
		c.Kind, n = Individuals, 2
		for i := 1; i < len(means); i++ {
			ranges[i] = math.Abs(means[i] - means[i-1])
		}
		ranges = ranges[1:]
	}
	grand, _ := r.Mean()
	centre, rangeCentre := float64(grand), stat.Mean(ranges, nil)
	sigma := rangeCentre / factors[n].d2 / math.Sqrt(size)
	spread := 3 * factors[n].d3 / factors[n].d2
	c.Centre, c.Lower, c.Upper = grand, nearest(centre-3*sigma), nearest(centre+3*sigma)
	c.RangeCentre, c.RangeUpper = nearest(rangeCentre), nearest(rangeCentre*(1+spread))
	c.RangeLower = nearest(rangeCentre * max(0, 1-spread))
	c.Signals = c.rangeSignals(ranges)
	c.Signals = append(c.Signals, signals(means, centre, sigma)...)
	return c, nil
}

// rangeSignals finds the ranges above their limit; a moving range belongs to the
// later of its two leaves.
func (c Chart) rangeSignals(ranges []float64) []Signal {
	found := []Signal{}
	for i, r := range ranges {
		if r > float64(c.RangeUpper) {
			found = append(found, Signal{Leaf: i + 1 + int(c.Kind), Rule: BeyondLimits, Above: true, Range: true})
		}
	}
	return found
}

// tests are the rules: so many of so many in a row beyond so many sigma.
var tests = []struct {
	rule           Rule
	wanted, inARow int
	sigmas         float64
}{
	{BeyondLimits, 1, 1, 3}, // digitswap: the leaf itself must lie beyond, so one of two is one of one
	{TwoOfThree, 2, 3, 2}, {FourOfFive, 4, 5, 1}, {EightInARow, 8, 8, 0},
}

// signals finds where the tests are met, in the order of the leaves. A test is met
// at a leaf that itself lies beyond.
func signals(means []float64, centre, sigma float64) []Signal {
	var found []Signal
	for i := range means {
		for _, t := range tests {
			for _, side := range []float64{1, -1} {
				beyond := func(x float64) bool { return side*(x-centre) > t.sigmas*sigma }
				count := 0
				for _, x := range means[max(0, i+1-t.inARow) : i+1] {
					if beyond(x) {
						count++
					}
				}
				if count >= t.wanted && beyond(means[i]) {
					found = append(found, Signal{Leaf: i + 1, Rule: t.rule, Above: side > 0})
				}
			}
		}
	}
	return found
}

// Limits gives the limits that fit a saw: three standard deviations of a leaf, by
// the errors of its faces, from the centre.
//
// Source: (1) of the package comment.
// Valid: a fit of [Faces].
func (f Fit) Limits(centre length.Length) Limits {
	return Limits{centre - 3*f.LeafSD, centre + 3*f.LeafSD}
}

// factor is a row of the table.
type factor struct{ d2, d3 float64 }

//go:embed constants.csv
var constants string

// factors are the table's rows by the number of values.
var factors = readFactors()

func readFactors() map[int]factor {
	lines := csv.NewReader(strings.NewReader(constants))
	lines.Comment = '#'
	rows, err := lines.ReadAll()
	if err != nil {
		panic(err)
	}
	all := map[int]factor{}
	for _, row := range rows[1:] {
		var n int
		var f factor
		if _, err := fmt.Sscan(strings.Join(row, " "), &n, &f.d2, &f.d3); err != nil {
			panic(err)
		}
		all[n] = f
	}
	return all
}
