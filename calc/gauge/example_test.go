package gauge_test

import (
	"fmt"

	"resawd/calc/dial"
	"resawd/calc/gauge"
	"resawd/calc/length"
)

const (
	in   = length.Inch
	mm   = length.Millimetre
	thou = length.Thou
)

// table3 is the data set of Brown 2000, in thousandths of an inch.
func table3() gauge.Readings {
	var r gauge.Readings
	for _, row := range [][]length.Length{
		{1700, 1730, 1710, 1720}, {1670, 1720, 1700, 1710}, {1690, 1720, 1700, 1680}, {1740, 1730, 1750, 1720},
		{1700, 1680, 1660, 1670}, {1710, 1720, 1720, 1740}, {1660, 1690, 1680, 1680}, {1710, 1750, 1740, 1720},
	} {
		var leaf []length.Length
		for _, x := range row {
			leaf = append(leaf, x*thou)
		}
		r = append(r, leaf)
	}
	return r
}

func ExampleAround() {
	l := gauge.Around(50*thou, 3*thou)
	fmt.Println(l.Lower.Decimal(in), l.Upper.Decimal(in))
	// Output: 0.047 0.053
}

func ExampleMeasure() {
	leaf, _ := gauge.Measure([]length.Length{49 * thou, 50 * thou, 54 * thou})
	fmt.Println(leaf.Mean.Decimal(in))
	_, err := gauge.Measure([]length.Length{0})
	fmt.Println(err)
	// Output:
	// 0.051
	// reading is 0 mm: it must be above 0 mm and at most 1000 mm
}

func ExampleLeaf_Range() {
	leaf, _ := gauge.Measure([]length.Length{49 * thou, 50 * thou, 54 * thou})
	fmt.Println(leaf.Range().Decimal(in))
	// Output: 0.005
}

// A leaf of the right mean that is thin at one place is thin.
func ExampleLeaf_Verdict() {
	leaf, _ := gauge.Measure([]length.Length{46 * thou, 52 * thou, 52 * thou})
	fmt.Println(leaf.Mean == 50*thou, leaf.Verdict(gauge.Around(50*thou, 3*thou)) == gauge.Thin)
	// Output: true true
}

func ExampleReadings_Leaves() {
	leaves, _ := table3().Leaves()
	fmt.Println(leaves[0].Mean.Decimal(in), leaves[7].Mean.Decimal(in))
	// Output: 1.715 1.73
}

func ExampleReadings_Mean() {
	m, _ := table3().Mean()
	fmt.Println(m.Decimal(in))
	// Output: 1.706875
}

// Brown 2000, page 22: 0.01594, 0.02235 and 0.02546 in.
func ExampleBrown() {
	d, _ := gauge.Brown(table3())
	fmt.Println(d.Within.Fixed(in, 5), d.Between.Fixed(in, 5), d.Total.Fixed(in, 5))
	// Output: 0.01594 0.02235 0.02546
}

// The same readings as variance components.
func ExampleComponents() {
	d, clamped, _ := gauge.Components(table3())
	fmt.Println(d.Within.Fixed(in, 6), d.Between.Fixed(in, 6), d.Total.Fixed(in, 6), clamped)
	// Output: 0.015943 0.020881 0.026271 false
}

// e-Handbook 6.3.2.2: ten flow rates; limits 45.8159 and 55.8041 about 50.81.
func ExampleNewChart() {
	var r gauge.Readings
	for _, tenths := range []length.Length{496, 476, 499, 513, 478, 512, 526, 524, 536, 521} {
		r = append(r, []length.Length{tenths * mm / 10})
	}
	c, _ := gauge.NewChart(r)
	fmt.Println(c.Centre.Fixed(mm, 2), c.RangeCentre.Fixed(mm, 4), c.Lower.Fixed(mm, 4), c.Upper.Fixed(mm, 4))
	// Output: 50.81 1.8778 45.8159 55.8041
}

// e-Handbook 6.1.6: Cp 1.0 and Cpk 0.6667.
func ExampleNewCapability() {
	c, _ := gauge.NewCapability(gauge.Process{
		Mean: 16 * mm, SD: 2 * mm, Limits: gauge.Limits{Lower: 8 * mm, Upper: 20 * mm},
		Count: 51, Degrees: 50, Confidence: 0.95,
	})
	fmt.Printf("%.1f, %.4f\n", c.Cp.Estimate, c.Cpk.Estimate)
	// Output: 1.0, 0.6667
}

func ExampleSawDegrees() {
	fmt.Println(gauge.SawDegrees(10))
	// Output: 6
}

// The cut between the second and the third leaf strayed: what one has too much at
// its top, the other lacks.
func ExampleShape() {
	found, _ := gauge.Shape(gauge.Readings{
		{50 * thou, 50 * thou, 50 * thou},
		{54 * thou, 50 * thou, 46 * thou},
		{46 * thou, 50 * thou, 54 * thou},
	}, []gauge.Spot{{Place: gauge.Top}, {Place: gauge.Middle}, {Place: gauge.Bottom}}, 3*thou)
	fmt.Println(len(found), found[0].Finding == gauge.Wedge, found[0].Pair, found[0].Leaf, found[0].By.Decimal(in))
	// Output: 1 true true 2 0.008
}

// series is three leaves sawn with an advance of 0.095 in.
var series = gauge.Series{
	Leaves:     []length.Length{50 * thou, 53 * thou, 50 * thou},
	Advances:   []length.Length{95 * thou, 95 * thou, 95 * thou},
	Confidence: 0.95,
}

// By hand: the faces lie at 0, -45, -87 and -132 thou beside the dial; the line of
// least squares falls by 43.8 a cut.
func ExampleFaces() {
	f, _ := gauge.Faces(series)
	fmt.Println(f.Kerf.Estimate.Decimal(in), "from", f.Kerf.Low.Fixed(in, 5), "to", f.Kerf.High.Fixed(in, 5))
	fmt.Println(f.Scale == nil, f.NoScale == gauge.AdvancesAlike)
	// Output:
	// 0.0438 from 0.04197 to 0.04563
	// true true
}

func ExampleFit_Limits() {
	f, _ := gauge.Faces(series)
	l := f.Limits(51 * thou)
	fmt.Println(l.Lower.Fixed(in, 4), l.Upper.Fixed(in, 4))
	// Output: 0.0470 0.0550
}

// The bias of 1.2 thou against a target of 50 may be noise; that of 2.8 against 54
// is not, and is undone by 3 whole divisions.
func ExampleFit_Next() {
	f, _ := gauge.Faces(series)
	screw := dial.Screw{Lead: 100 * thou, DivisionsPerTurn: 100}
	for _, target := range []length.Length{50 * thou, 54 * thou} {
		a, _ := f.Next(target, screw)
		fmt.Printf("%v %s in, %.0f %% sure\n", a.Move, a.Advance.Decimal(in), 100*a.Confidence)
	}
	// Output:
	// false 0.095 in, 89 % sure
	// true 0.098 in, 98 % sure
}

func ExampleLimits_Middle() {
	fmt.Println(gauge.Limits{Lower: 47 * thou, Upper: 52 * thou}.Middle().Decimal(in))
	// Output: 0.0495
}
