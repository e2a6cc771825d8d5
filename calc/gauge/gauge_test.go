package gauge

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"resawd/calc/dial"
	"resawd/calc/internal/refusal"
	"resawd/calc/length"
)

const (
	in   = length.Inch
	mm   = length.Millimetre
	thou = length.Thou
)

// inches gives readings that were published in inches.
func inches(t *testing.T, rows ...[]float64) Readings {
	t.Helper()
	r := make(Readings, len(rows))
	for i, row := range rows {
		for _, x := range row {
			l, err := length.FromFloat(x, in)
			if err != nil {
				t.Fatal(err)
			}
			r[i] = append(r[i], l)
		}
	}
	return r
}

// brown is Table 3 of Brown 2000: eight boards, four points each, in inches.
func brown(t *testing.T) Readings {
	t.Helper()
	return inches(t,
		[]float64{1.700, 1.730, 1.710, 1.720}, []float64{1.670, 1.720, 1.700, 1.710},
		[]float64{1.690, 1.720, 1.700, 1.680}, []float64{1.740, 1.730, 1.750, 1.720},
		[]float64{1.700, 1.680, 1.660, 1.670}, []float64{1.710, 1.720, 1.720, 1.740},
		[]float64{1.660, 1.690, 1.680, 1.680}, []float64{1.710, 1.750, 1.740, 1.720},
	)
}

// near tells whether a length rounds to a published number of units.
func near(l length.Length, published, half float64, unit length.Length) bool {
	return math.Abs(l.In(unit)-published) <= half
}

// TestBrown: the means and figures of Brown 2000, Table 3 and page 22, to all the
// digits printed; means there have four decimals.
func TestBrown(t *testing.T) {
	r := brown(t)
	leaves, err := r.Leaves()
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{1.7150, 1.7000, 1.6975, 1.7350, 1.6775, 1.7225, 1.6775, 1.7300} {
		if !near(leaves[i].Mean, want, 1e-9, in) {
			t.Errorf("mean of board %d is %v", i+1, leaves[i].Mean.Decimal(in))
		}
	}
	d, err := Brown(r)
	if err != nil || !near(d.Within, 0.01594, 5e-6, in) || !near(d.Between, 0.02235, 5e-6, in) || !near(d.Total, 0.02546, 5e-6, in) {
		t.Errorf("%s, %s, %s, %v", d.Within.Decimal(in), d.Between.Decimal(in), d.Total.Decimal(in), err)
	}
	// 54.620 / 32.
	if m, err := r.Mean(); err != nil || !near(m, 1.706875, 1e-9, in) {
		t.Errorf("mean %v, %v", m, err)
	}
}

// TestComponents: the other definitions from the same data, computed by another
// program from the expected mean squares.
func TestComponents(t *testing.T) {
	r := brown(t)
	d, clamped, err := Components(r)
	if err != nil || clamped || !near(d.Within, 0.015943, 5e-7, in) || !near(d.Between, 0.020881, 5e-7, in) || !near(d.Total, 0.026271, 5e-7, in) {
		t.Errorf("%s, %s, %s, %v", d.Within.Decimal(in), d.Between.Decimal(in), d.Total.Decimal(in), err)
	}
	// An independent path: sums of squares in whole thousandths.
	var sum, squares, within int64
	for _, leaf := range r {
		var of, ofSquares int64
		for _, x := range leaf {
			n := int64(x / thou)
			of, ofSquares = of+n, ofSquares+n*n
		}
		sum, squares, within = sum+of, squares+ofSquares, within+4*ofSquares-of*of // a quarter of it is a sum of squares
	}
	total := math.Sqrt((float64(squares) - float64(sum*sum)/32) / 31)
	if b, _ := Brown(r); !near(b.Total, total, 2.1e-5, thou) || !near(b.Within, math.Sqrt(float64(within)/4/24), 2.1e-5, thou) {
		t.Errorf("%v, %v", b, total)
	}
	// A variance of half a square nanometre between is some.
	if _, clamped, err := Components(Readings{{10, 10}, {11, 11}}); err != nil || clamped {
		t.Errorf("%v, %v", clamped, err)
	}
	// Leaves alike, readings not: nothing is left between.
	d, clamped, err = Components(inches(t, []float64{1, 2}, []float64{1, 2}))
	if err != nil || !clamped || d.Between != 0 || d.Within != d.Total || !near(d.Within, math.Sqrt(0.5), 1e-7, in) {
		t.Errorf("%v, %v, %v", d, clamped, err)
	}
}

// TestBatches: e-Handbook 7.4.4: three readings of each of five batches, mean squares
// 36.935 between batches and 1.799 within, printed from rounded sums of squares: 0.002 is
// let pass. The first is the expectation of within + 3 between.
func TestBatches(t *testing.T) {
	var r Readings
	for _, batch := range [][]length.Length{{74, 76, 75}, {68, 71, 72}, {75, 77, 77}, {72, 74, 73}, {79, 81, 79}} {
		r = append(r, []length.Length{batch[0] * mm, batch[1] * mm, batch[2] * mm})
	}
	d, clamped, err := Components(r)
	within, between := d.Within.In(mm)*d.Within.In(mm), d.Between.In(mm)*d.Between.In(mm)
	if err != nil || clamped || math.Abs(within-1.799) > 0.002 || math.Abs(within+3*between-36.935) > 0.002 {
		t.Errorf("%v, %v, %v", within, within+3*between, err)
	}
}

func TestVerdict(t *testing.T) {
	limits := Around(50*thou, 3*thou)
	for _, c := range []struct {
		name     string
		readings []length.Length
		want     Verdict
		mean     length.Length
	}{
		{"at both limits", []length.Length{47 * thou, 53 * thou}, In, 50 * thou},
		{"a nanometre thin", []length.Length{47*thou - 1, 50 * thou, 50*thou + 1}, Thin, 49 * thou},
		{"a nanometre thick", []length.Length{53*thou + 1}, Thick, 53*thou + 1},
		{"good on average, thin at one place", []length.Length{46 * thou, 52 * thou}, Thin, 49 * thou},
		{"both", []length.Length{46 * thou, 54 * thou}, Thin, 50 * thou},
	} {
		leaf, err := Measure(c.readings)
		if err != nil || leaf.Verdict(limits) != c.want || leaf.Mean != c.mean {
			t.Errorf("%s: %+v is %v, %v", c.name, leaf, leaf.Verdict(limits), err)
		}
	}
	if m := limits.Middle(); m != 50*thou {
		t.Errorf("%v", m)
	}
	if leaf, _ := Measure([]length.Length{3, 10, 5}); leaf != (Leaf{6, 3, 10}) || leaf.Range() != 7 {
		t.Errorf("%+v", leaf)
	}
}

// flow is e-Handbook 6.3.2.2: ten batches, here in millimetres.
func flow() Readings {
	var r Readings
	for _, tenths := range []length.Length{496, 476, 499, 513, 478, 512, 526, 524, 536, 521} {
		r = append(r, []length.Length{tenths * mm / 10})
	}
	return r
}

// TestIndividuals: e-Handbook 6.3.2.2: centre 50.81, mean moving range 1.8778,
// limits 45.8159 and 55.8041. Its upper limit for ranges is 3.267 * 1.8778 = 6.13;
// the factor here is 1 + 3 * 0.853 / 1.128 = 3.2686.
func TestIndividuals(t *testing.T) {
	c, err := NewChart(flow())
	if err != nil || c.Kind != Individuals || c.Centre != 50810*mm/1000 ||
		!near(c.RangeCentre, 1.8778, 5e-5, mm) || !near(c.Lower, 45.8159, 5e-5, mm) || !near(c.Upper, 55.8041, 5e-5, mm) ||
		!near(c.RangeUpper, 6.13, 0.01, mm) || c.RangeLower != 0 || len(c.Signals) != 0 {
		t.Errorf("%+v, %v", c, err)
	}
}

// TestFactors: those that the printed tables add, from d2 and d3, to the digits
// printed: A2 = 3/(d2 sqrt n), D3 and D4 = 1 -+ 3 d3/d2; and d2 by another path:
// the expected range of n normal values, integrated.
func TestFactors(t *testing.T) {
	printed := []struct{ n, a2, d3, d4 float64 }{
		{2, 1.880, 0, 3.267}, {3, 1.023, 0, 2.574}, {4, .729, 0, 2.282}, {5, .577, 0, 2.114},
		{6, .483, 0, 2.004}, {7, .419, .076, 1.924}, {8, .373, .136, 1.864}, {9, .337, .184, 1.816},
		{10, .308, .223, 1.777},
	}
	if len(factors) != len(printed) || MaxReadings != len(printed)+1 {
		t.Fatalf("%d factors", len(factors))
	}
	for _, p := range printed {
		f := factors[int(p.n)]
		a2, low, high := 3/(f.d2*math.Sqrt(p.n)), max(0, 1-3*f.d3/f.d2), 1+3*f.d3/f.d2
		// d2 and d3 have three decimals, so these may be 0.002 off.
		if math.Abs(a2-p.a2) > 0.0015 || math.Abs(low-p.d3) > 0.002 || math.Abs(high-p.d4) > 0.002 {
			t.Errorf("n %v: %v, %v, %v", p.n, a2, low, high)
		}
		d2, d3 := rangeOf(p.n)
		if math.Abs(f.d2-d2) > 0.00051 || math.Abs(f.d3-d3) > 0.00051 {
			t.Errorf("n %v: d2 %v, d3 %v", p.n, d2, d3)
		}
	}
}

// rangeOf integrates the mean and the standard deviation of the range of n normal
// values: E[w] = integral of 1 - F^n - (1-F)^n, and E[w^2] = 2 times that of
// 1 - F(y)^n - (1-F(x))^n + (F(y)-F(x))^n over x < y (Tippett 1925).
func rangeOf(n float64) (mean, sd float64) {
	const step = 0.025
	var below, top, bottom []float64 // F, F^n, (1-F)^n
	for x := -6.0; x <= 6; x += step {
		f := distuv.UnitNormal.CDF(x)
		below, top, bottom = append(below, f), append(top, math.Pow(f, n)), append(bottom, math.Pow(1-f, n))
	}
	var square float64
	for i := range below {
		mean += step * (1 - top[i] - bottom[i])
		square += step * step * (1 - top[i] - bottom[i])
		for j := i + 1; j < len(below); j++ {
			square += 2 * step * step * (1 - top[j] - bottom[i] + math.Pow(below[j]-below[i], n))
		}
	}
	return mean, math.Sqrt(square - mean*mean)
}

// TestXbarR: Brown's data on a chart: the ranges are 30, 50, 40, 30, 40, 30, 30 and
// 40 thou, mean 36.25; limits 1.706875 -+ 3 * 0.03625 / (2.059 * 2); ranges up to
// 0.03625 * (1 + 3 * 0.880 / 2.059).
func TestXbarR(t *testing.T) {
	c, err := NewChart(brown(t))
	if err != nil || c.Kind != XbarR || !near(c.RangeCentre, 0.03625, 1e-9, in) ||
		!near(c.Lower, 1.680467, 1e-6, in) || !near(c.Upper, 1.733283, 1e-6, in) || !near(c.RangeUpper, 0.082729, 1e-6, in) {
		t.Errorf("%+v, %v", c, err)
	}
	// Boards 4, at 1.7350, and 5 and 7, at 1.6775, lie beyond.
	var beyond []int
	for _, s := range c.Signals {
		if s.Rule == BeyondLimits {
			beyond = append(beyond, s.Leaf)
		}
	}
	if !slices.Equal(beyond, []int{4, 5, 7}) {
		t.Errorf("%+v", c.Signals)
	}
}

// TestSignals: each test of Western Electric met and just missed, centre 0, sigma 1.
func TestSignals(t *testing.T) {
	for _, c := range []struct {
		name string
		x    []float64
		want []Signal
	}{
		{"at three sigma", []float64{3, -3}, nil},
		{"beyond three", []float64{3.1}, []Signal{{1, BeyondLimits, true, false}}},
		{"beyond three below", []float64{0, -3.1}, []Signal{{2, BeyondLimits, false, false}}},
		{"two of three", []float64{2.1, 0, 2.1}, []Signal{{3, TwoOfThree, true, false}}},
		{"two of four", []float64{2.1, 0, 0, 2.1}, nil},
		{"two, one a side", []float64{2.1, 0, -2.1}, nil},
		{"two, the third within", []float64{-2.1, -2.1, -0.5}, []Signal{{2, TwoOfThree, false, false}}},
		{"two at two sigma", []float64{2, 2, 0}, nil},
		{"four of five", []float64{1.1, 1.1, 0, 1.1, 1.1}, []Signal{{5, FourOfFive, true, false}}},
		{"four of six", []float64{1.1, 1.1, 0, 0, 1.1, 1.1}, nil},
		{"three of five", []float64{1.1, 1.1, 0, 0, 1.1}, nil},
		{"four at one sigma", []float64{1, 1, 1, 1, 1}, nil},
		{"eight in a row", []float64{.1, .1, .1, .1, .1, .1, .1, .1}, []Signal{{8, EightInARow, true, false}}},
		{"seven in a row", []float64{.1, .1, .1, .1, .1, .1, .1}, nil},
		{"eight, one at the centre", []float64{.1, .1, .1, .1, 0, .1, .1, .1, .1}, nil},
	} {
		if got := signals(c.x, 0, 1); !slices.Equal(got, c.want) {
			t.Errorf("%s: %+v", c.name, got)
		}
		moved := slices.Clone(c.x)
		for i := range moved {
			moved[i] = 10 + 2*moved[i]
		}
		if got := signals(moved, 10, 2); len(got) != len(c.want) && c.name != "at three sigma" {
			t.Errorf("%s, moved: %+v", c.name, got)
		}
	}
	// A range above its limit: with ranges 1, 1, 1, 1, 1, 1, 9 of two the mean is
	// 15/7, the limit 3.2686 times that: 7.004.
	r := Readings{}
	for _, wide := range []length.Length{1, 1, 1, 1, 1, 1, 9} {
		r = append(r, []length.Length{100 * mm, (100 + wide) * mm})
	}
	c, err := NewChart(r)
	if want := (Signal{7, BeyondLimits, true, true}); err != nil || c.Signals[0] != want || !near(c.RangeUpper, 7.004, 5e-4, mm) {
		t.Errorf("%+v, %v", c, err)
	}
	// A moving range belongs to the later leaf.
	alone := Readings{}
	for _, x := range []length.Length{100, 101, 100, 101, 100, 101, 100, 130} {
		alone = append(alone, []length.Length{x * mm})
	}
	c, err = NewChart(alone)
	if want := (Signal{8, BeyondLimits, true, true}); err != nil || c.Signals[0] != want {
		t.Errorf("%+v, %v", c, err)
	}
	// Ranges of 7 readings have a lower limit: 1 - 3 * 0.833/2.704 = 0.0758 of the mean.
	seven := []length.Length{100 * mm, 101 * mm, 102 * mm, 103 * mm, 104 * mm, 105 * mm, 110 * mm}
	if c, err := NewChart(Readings{seven, seven}); err != nil || !near(c.RangeLower, 0.758, 5e-4, mm) {
		t.Errorf("%+v, %v", c, err)
	}
}

// TestCapability: e-Handbook 6.1.6: limits 8 and 20, mean 16, s 2: Cp 1.0, Cpk
// 0.6667. With 51 values at 95 %: chi-square(50) is 32.357 at 0.025 and 71.420 at
// 0.975 (printed tables), so Cp from 0.8045 to 1.1952; Cpk -+ 1.96 times the root
// of 1/459 + 0.4444/100.
func TestCapability(t *testing.T) {
	c, err := NewCapability(Process{Mean: 16 * mm, SD: 2 * mm, Limits: Limits{8 * mm, 20 * mm}, Count: 51, Degrees: 50, Confidence: 0.95})
	if err != nil {
		t.Fatal(err)
	}
	margin := 1.959964 * math.Sqrt(1.0/459+4.0/900)
	for _, v := range []struct{ got, want, off float64 }{
		{c.Cp.Estimate, 1, 1e-12}, {c.Cpk.Estimate, 0.6667, 5e-5},
		{c.Cp.Low, math.Sqrt(32.357 / 50), 1e-5}, {c.Cp.High, math.Sqrt(71.420 / 50), 1e-5},
		{c.Cpk.Low, 2.0/3 - margin, 1e-6}, {c.Cpk.High, 2.0/3 + margin, 1e-6},
	} {
		if math.Abs(v.got-v.want) > v.off {
			t.Errorf("%v, not %v", v.got, v.want)
		}
	}
	// The mirror image is as capable.
	m, err := NewCapability(Process{Mean: 12 * mm, SD: 2 * mm, Limits: Limits{8 * mm, 20 * mm}, Count: 51, Degrees: 50, Confidence: 0.95})
	if err != nil || m.Cpk != c.Cpk {
		t.Errorf("%+v, %v", m, err)
	}
}

// places gives spots of which only the height is known.
func places(of ...Place) []Spot {
	all := make([]Spot, len(of))
	for i, p := range of {
		all[i].Place = p
	}
	return all
}

// TestShape: places in any order; more than allowed, and just allowed.
func TestShape(t *testing.T) {
	const u = thou
	unseen := Shaped{Finding: MidUnseen}
	first, last := Spot{End: FirstEnd}, Spot{End: LastEnd}
	both := []Spot{{Top, FirstEnd}, {Bottom, FirstEnd}, {Top, LastEnd}, {Bottom, LastEnd}}
	for _, c := range []struct {
		name     string
		readings Readings
		spots    []Spot
		allowed  length.Length
		want     []Shaped
	}{
		{"top, bottom, middle", Readings{
			{50 * u, 50 * u, 52 * u}, {55 * u, 50 * u, 52 * u}, {50 * u, 55 * u, 52 * u}, {55 * u, 50 * u, 52 * u}, {54 * u, 50 * u, 52 * u}, {50 * u, 50 * u, 55 * u},
		}, places(Top, Bottom, Middle), 4 * u, []Shaped{{Wedge, 2, 5 * u, true}, {Wedge, 4, 5 * u, false}, {Barrel, 6, 5 * u, false}}},
		{"the same way twice, and a hollow", Readings{{9, 1, 5}, {9, 1, 1}}, places(Top, Bottom, Middle), 3,
			[]Shaped{{Wedge, 1, 8, false}, {Wedge, 2, 8, false}, {Barrel, 2, -4, false}}},
		{"the other way first", Readings{{1, 9}, {9, 1}}, places(Top, Bottom), 3, []Shaped{unseen, {Wedge, 1, -8, true}}},
		{"the middle first", Readings{{6, 2, 2}, {4, 7, 1}, {2, 2, 2}, {4, 1, 7}}, places(Middle, Top, Bottom), 3,
			[]Shaped{{Wedge, 2, 6, false}, {Wedge, 4, -6, false}, {Barrel, 1, 4, false}}},
		{"a nanometre", Readings{{2, 1}, {1, 2}}, places(Bottom, Top), 0, []Shaped{unseen, {Wedge, 1, -1, true}}},
		{"a nanometre the other way", Readings{{1, 2}, {2, 1}}, places(Bottom, Top), 0, []Shaped{unseen, {Wedge, 1, 1, true}}},
		{"the middle between", Readings{{1, 5, 1}}, places(Bottom, Middle, Top), 3, []Shaped{{Barrel, 1, 4, false}}},
		{"two barrels are no pair", Readings{{1, 5, 1}, {5, 1, 5}}, places(Bottom, Middle, Top), 3, []Shaped{{Barrel, 1, 4, false}, {Barrel, 2, -4, false}}},
		{"anywhere", Readings{{1, 9}}, places(Anywhere, Anywhere), 0, []Shaped{unseen}},
		{"top alone", Readings{{9}}, places(Top), 0, []Shaped{unseen}},
		{"bottom alone", Readings{{9}}, places(Bottom), 0, []Shaped{unseen}},
		{"middle alone", Readings{{9}}, places(Middle), 0, []Shaped{}},
		{"tapers", Readings{{9, 1}, {1, 9}, {1, 9}}, []Spot{first, last}, 3, []Shaped{unseen, {Taper, 1, 8, true}, {Taper, 3, -8, false}}},
		{"one end", Readings{{9, 1}}, []Spot{first, first}, 3, []Shaped{unseen}},
		{"the other end", Readings{{9, 1}}, []Spot{last, last}, 3, []Shaped{unseen}},
		// Means: top (10 + 4)/2 = 7, bottom (6 + 2)/2 = 4; first (10 + 6)/2 = 8, last 3.
		{"both", Readings{{10, 6, 4, 2}}, both, 2, []Shaped{unseen, {Wedge, 1, 3, false}, {Taper, 1, 5, false}}},
	} {
		if got, err := Shape(c.readings, c.spots, c.allowed); err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%s: %+v, %v", c.name, got, err)
		}
	}
}

// TestFacesByHand: three leaves of 50, 53 and 50 thou from advances of 95. The
// faces less the dial lie at 0, -45, -87, -132, so by least squares over -1.5, -0.5,
// 0.5, 1.5 the slope is (-1.5*0 + 0.5*45 - 0.5*87 - 1.5*132)/5 = -43.8: a kerf of
// 43.8 and leaves of 51.2.
func TestFacesByHand(t *testing.T) {
	s := Series{Leaves: []length.Length{50 * thou, 53 * thou, 50 * thou}, Advances: []length.Length{95 * thou, 95 * thou, 95 * thou}, Confidence: 0.95}
	f, err := Faces(s)
	if err != nil {
		t.Fatal(err)
	}
	// Mean place -66; fitted -66 -+ 43.8 * (1.5, 0.5) = -0.3, -44.1, -87.9, -131.7;
	// residuals 0.3, -0.9, 0.9, -0.3: squares add up to 1.8, over 2 is 0.9. The slope's
	// standard error is sqrt(0.9/5) = 0.42426, t(0.975, 2) = 4.30265: margin 1.82545.
	if f.Kerf == nil || f.Kerf.Estimate != 43800*thou/1000 || f.Leaf.Estimate != 51200*thou/1000 ||
		!near(f.FaceSD, math.Sqrt(0.9), 1e-4, thou) || !near(f.LeafSD, math.Sqrt(1.8), 1e-4, thou) ||
		!near(f.Kerf.Low, 43.8-1.82545, 1e-4, thou) || !near(f.Kerf.High, 43.8+1.82545, 1e-4, thou) ||
		!near(f.Leaf.Low, 51.2-1.82545, 1e-4, thou) || !near(f.Leaf.High, 51.2+1.82545, 1e-4, thou) {
		t.Errorf("%+v, %+v", f, f.Kerf)
	}
	if f.Scale != nil || f.NoScale != AdvancesAlike || f.Last != 95*thou || !f.Alternating {
		t.Errorf("%+v", f)
	}
	// Limits: 3 sqrt(1.8) = 4.0249.
	if l := f.Limits(51 * thou); !near(l.Lower, 51-4.0249, 1e-3, thou) || !near(l.Upper, 51+4.0249, 1e-3, thou) {
		t.Errorf("%+v", l)
	}
	// A caliper that steps by 1 thou: the margin's square grows by t^2/12*6/15.
	s.Step = thou
	f, err = Faces(s)
	if margin := 4.30265 * math.Sqrt(0.18+1.0/12*6/15); err != nil || !near(f.Kerf.High, 43.8+margin, 1e-4, thou) {
		t.Errorf("%+v, %v", f.Kerf, err)
	}
	// Without advances the leaves alone.
	s.Step, s.Advances = 0, nil
	f, err = Faces(s)
	if err != nil || f.Kerf != nil || f.NoScale != NoAdvances || f.Leaf.Estimate != 51200*thou/1000 || !near(f.Leaf.High, 51.2+1.82545, 1e-4, thou) {
		t.Errorf("%+v, %v", f, err)
	}
}

// TestScale: leaves without errors, sawn with a kerf of 40 thou and a screw that
// travels 1.01 of its dial.
func TestScale(t *testing.T) {
	s := Series{Confidence: 0.95}
	for _, a := range []length.Length{100, 100, 200, 300} {
		s.Advances = append(s.Advances, a*thou)
		s.Leaves = append(s.Leaves, a*thou*101/100-40*thou)
	}
	f, err := Faces(s)
	if err != nil || f.Scale == nil || f.NoScale != ScaleTold || math.Abs(f.Scale.Estimate-1.01) > 1e-6 || f.Kerf.Estimate != 40*thou || f.Leaf.Estimate != 263*thou {
		t.Fatalf("%+v, %+v, %v", f.Scale, f.Kerf, err)
	}
	// Leaves of 61 are wanted: (61 + 40)/1.01 = 100.
	a, err := f.Next(61*thou, dial.Screw{})
	if err != nil || !a.Move || a.Advance != 100*thou || a.Change != -200*thou {
		t.Errorf("%+v, %v", a, err)
	}
	// Three leaves whose advances hardly differ carry no scale.
	f, err = Faces(Series{Leaves: []length.Length{50 * thou, 53 * thou, 51 * thou}, Advances: []length.Length{95 * thou, 96 * thou, 95 * thou}, Confidence: 0.95})
	if err != nil || f.Scale != nil || f.NoScale != ScaleUnsure || !(f.ScaleWithin > 1) {
		t.Errorf("%+v, %v", f, err)
	}
	f, err = Faces(Series{Leaves: s.Leaves[1:3], Advances: s.Advances[1:3], Confidence: 0.95})
	if err != nil || f.Scale != nil || f.NoScale != FewLeaves {
		t.Errorf("%+v, %v", f, err)
	}
}

// TestAbsurdScale: leaves without errors that no screw makes of these advances are
// taken for leaves with errors, and the advice is an advance that can be set.
func TestAbsurdScale(t *testing.T) {
	for _, c := range []struct {
		scale float64
		kerf  length.Length // in thousandths
		told  bool
	}{
		{1, 0, true}, {0.9, 1, true}, {0.9, -1, false},
		{0.501, 20, true}, {0.499, 20, false}, {0, -50, false}, {-0.1, -90, false},
		{1.999, 400, true}, {2.001, 400, false},
	} {
		s := Series{Confidence: 0.95}
		for _, a := range []length.Length{220, 220, 270, 320, 390} {
			s.Advances = append(s.Advances, a*thou)
			s.Leaves = append(s.Leaves, nearest(c.scale*float64(a*thou))-c.kerf*thou)
		}
		f, err := Faces(s)
		if err != nil {
			t.Fatalf("%+v: %v", c, err)
		}
		if (f.Scale != nil) != c.told || (f.NoScale == ScaleAbsurd) == c.told {
			t.Errorf("%+v: %+v", c, f)
		}
		a, err := f.Next(10*mm, dial.Screw{Lead: 100 * thou, DivisionsPerTurn: 100})
		if err != nil || a.Advance <= 0 {
			t.Errorf("%+v: %+v, %v", c, a, err)
		}
	}
}

// TestWidestScale: noise that makes the scale's half-width just below and just above
// 2 %. The half-width grows as the noise does.
func TestWidestScale(t *testing.T) {
	fit := func(noise float64) Fit {
		var s Series
		s.Confidence = 0.95
		for i, up := range []float64{1, -1, -1, 1, 1, -1} {
			a := length.Length(1+i/3) * 10 * mm
			s.Advances = append(s.Advances, a)
			s.Leaves = append(s.Leaves, a-mm+nearest(up*noise))
		}
		f, err := Faces(s)
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	const noise = 20_000
	width := fit(noise).ScaleWithin
	for within, told := range map[float64]bool{0.0199: true, 0.0201: false} {
		if f := fit(noise * within / width); (f.Scale != nil) != told || math.Abs(f.ScaleWithin-within) > 1e-5 {
			t.Errorf("%v: %+v", within, f)
		}
	}
}

func TestNext(t *testing.T) {
	fit := func(leaves ...length.Length) Fit {
		s := Series{Confidence: 0.95}
		for _, l := range leaves {
			s.Leaves, s.Advances = append(s.Leaves, l*thou), append(s.Advances, 95*thou)
		}
		f, err := Faces(s)
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	screw := dial.Screw{Lead: 100 * thou, DivisionsPerTurn: 100}
	noisy, alike := fit(50, 53, 50), fit(54, 54, 54)
	for _, c := range []struct {
		name    string
		fit     Fit
		target  length.Length
		screw   dial.Screw
		move    bool
		reason  Reason
		change  length.Length
		advance length.Length
	}{
		{"within the uncertainty", noisy, 50 * thou, screw, false, Noise, 0, 95 * thou},
		{"just within", noisy, 51200*thou/1000 - 46366, screw, false, Noise, 0, 95 * thou},
		{"just beyond", noisy, 51200*thou/1000 - 46368, screw, true, Bias, -2 * thou, 93 * thou},
		{"too thin", noisy, 54 * thou, screw, true, Bias, 3 * thou, 98 * thou},
		{"too thin, no screw", noisy, 54 * thou, dial.Screw{}, true, Bias, 2800 * thou / 1000, 97800 * thou / 1000},
		{"alike", alike, 50 * thou, screw, true, Bias, -4 * thou, 91 * thou},
		{"alike and right", alike, 54 * thou, screw, false, Noise, 0, 95 * thou},
		{"below half a division", alike, 54*thou + thou/2 - 1, screw, false, BelowDivision, 0, 95 * thou},
		{"half a division", alike, 54*thou + thou/2, screw, true, Bias, thou, 96 * thou},
	} {
		a, err := c.fit.Next(c.target, c.screw)
		if err != nil || a.Move != c.move || a.Reason != c.reason || a.Change != c.change || a.Advance != c.advance {
			t.Errorf("%s: %+v, %v", c.name, a, err)
		}
	}
	// t = 1.2/0.42426 = 2.8284 with 2 degrees of freedom: two-sided 0.1056.
	if a, _ := noisy.Next(50*thou, screw); math.Abs(a.Confidence-0.8944) > 5e-5 {
		t.Errorf("%+v", a)
	}
	for target, want := range map[length.Length]float64{54 * thou: 0, 53 * thou: 1} {
		if a, _ := alike.Next(target, screw); a.Confidence != want {
			t.Errorf("%+v", a)
		}
	}
	if alike.LagOne != 0 || !alike.Alternating {
		t.Errorf("%+v", alike)
	}
	if a, err := alike.Next(54*thou-1, dial.Screw{}); err != nil || !a.Move || a.Change != -1 {
		t.Errorf("%+v, %v", a, err)
	}
	if a, err := alike.Next(54*thou+1, dial.Screw{}); err != nil || !a.Move || a.Change != 1 {
		t.Errorf("%+v, %v", a, err)
	}
	// Advances of a nanometre, and divisions of two: from 1 (of the first) to 6.
	tiny, err := Faces(Series{Leaves: []length.Length{1, 1}, Advances: []length.Length{1, 1}, Confidence: 0.95})
	if err != nil {
		t.Fatal(err)
	}
	for _, screw := range []dial.Screw{{}, {Lead: 4, DivisionsPerTurn: 2}} {
		if a, err := tiny.Next(6, screw); err != nil || a.Change != 5 || a.Advance != 6 {
			t.Errorf("%+v, %v", a, err)
		}
	}
	// A lead of a nanometre is a screw.
	if a, err := alike.Next(54*thou-1, dial.Screw{Lead: 1, DivisionsPerTurn: 1}); err != nil || a.Change != -1 {
		t.Errorf("%+v, %v", a, err)
	}
	// Without advances only the change is known; it is of whole divisions too.
	f, _ := Faces(Series{Leaves: []length.Length{54 * thou, 54 * thou}, Confidence: 0.95})
	for target, change := range map[length.Length]length.Length{50 * thou: -4 * thou, 52700 * thou / 1000: -thou, 56 * thou: 2 * thou, 54400 * thou / 1000: 0} {
		if a, err := f.Next(target, screw); err != nil || a.Change != change || a.Advance != 0 || a.Move != (change != 0) {
			t.Errorf("%+v, %v", a, err)
		}
	}
}

// TestAlternating: the bound -0.5 + 1.645 sqrt(0.5/n). Leaves that drift do not
// alternate, and get the wider interval of independent leaves.
func TestAlternating(t *testing.T) {
	s := Series{Confidence: 0.95}
	for _, l := range []length.Length{50, 51, 52, 53, 54, 55} {
		s.Leaves = append(s.Leaves, l*thou)
	}
	f, err := Faces(s)
	// Deviations -2.5 .. 2.5: sum of squares 17.5, of neighbours' products 8.75; s is
	// sqrt(3.5), over sqrt 6, times t(0.975, 5) = 2.570582.
	if err != nil || f.Alternating || math.Abs(f.LagOne-0.5) > 1e-12 || !near(f.Leaf.High-f.Leaf.Estimate, 2.570582*math.Sqrt(3.5/6), 1e-4, thou) {
		t.Errorf("%+v, %v", f, err)
	}
	// 1.645 is the normal quantile of 0.95; sqrt(0.5/50) = 0.1.
	for n, want := range map[int]float64{50: -0.3355, 5000: -0.48355} {
		if got := alternationBound(n); math.Abs(got-want) > 1e-12 {
			t.Errorf("%d: %v", n, got)
		}
	}
}

// attempt is a call whose one argument is at fault or just inside its limits.
type attempt struct {
	name     string
	quantity string // "" where the call is fine
	err      error
}

func checkRefusals(t *testing.T, rows []attempt) {
	t.Helper()
	for _, c := range rows {
		if strings.TrimPrefix(refusal.Of(c.err), "no ") != c.quantity {
			t.Errorf("%s: %v", c.name, c.err)
		}
	}
}

func errorOf[T any](_ T, err error) error { return err }

func TestRefusals(t *testing.T) {
	const m = length.Metre
	leaf := func(n int, l length.Length) []length.Length { return slices.Repeat([]length.Length{l}, n) }
	leaves := func(n int) Readings { return slices.Repeat(Readings{{mm, mm + 1}}, n) }
	series := func(change func(*Series)) error {
		s := Series{Leaves: leaf(3, mm), Advances: []length.Length{mm, mm, mm}, Confidence: 0.95}
		change(&s)
		return errorOf(Faces(s))
	}
	process := func(change func(*Process)) error {
		p := Process{Mean: mm, SD: 1000, Limits: Limits{0, 2 * mm}, Count: 5, Degrees: 4, Confidence: 0.95}
		change(&p)
		return errorOf(NewCapability(p))
	}
	shape := func(r Readings, allowed length.Length, of ...Place) error {
		return errorOf(Shape(r, places(of...), allowed))
	}
	ended := func(e End) error { return errorOf(Shape(leaves(1), []Spot{{}, {End: e}}, 0)) }
	next := func(target length.Length) error {
		f, err := Faces(Series{Leaves: leaf(3, mm), Confidence: 0.95})
		if err != nil {
			return err
		}
		return errorOf(f.Next(target, dial.Screw{}))
	}
	components := func(r Readings) error { _, _, err := Components(r); return err }
	checkRefusals(t, []attempt{
		{"no reading", "readings", errorOf(Measure(nil))},
		{"the most readings", "", errorOf(Measure(leaf(10, mm)))},
		{"readings beyond", "readings", errorOf(Measure(leaf(11, mm)))},
		{"a reading of nothing", "reading", errorOf(Measure(leaf(1, 0)))},
		{"the thinnest reading", "", errorOf(Measure(leaf(1, 1)))},
		{"the thickest reading", "", errorOf(Measure(leaf(1, m)))},
		{"a reading beyond", "reading", errorOf(Measure(leaf(1, m+1)))},

		{"no leaves", "leaf count", errorOf(Readings{}.Leaves())},
		{"one leaf", "", errorOf(leaves(1).Leaves())},
		{"the most leaves", "", errorOf(leaves(10_000).Leaves())},
		{"leaves beyond", "leaf count", errorOf(leaves(10_001).Leaves())},
		{"a reading missing", "readings", errorOf(Readings{{1, 2}, {1}}.Leaves())},
		{"a reading of nothing in a leaf", "reading", errorOf(Readings{{1, 2}, {1, 0}}.Leaves())},
		{"mean of none", "leaf count", errorOf(Readings{}.Mean())},
		{"mean of one", "", errorOf(leaves(1).Mean())},
		{"Brown of one leaf", "leaf count", errorOf(Brown(leaves(1)))},
		{"Brown of two", "", errorOf(Brown(leaves(2)))},
		{"Brown with one reading", "", errorOf(Brown(Readings{{1}, {2}}))},
		{"components of one leaf", "leaf count", components(leaves(1))},
		{"components of two", "", components(leaves(2))},
		{"components with one reading", "readings", components(Readings{{1}, {2}})},
		{"components with the most readings", "", components(Readings{leaf(10, 1), leaf(10, 2)})},
		{"chart of one leaf", "leaf count", errorOf(NewChart(leaves(1)))},
		{"chart of two", "", errorOf(NewChart(leaves(2)))},

		{"one leaf sawn", "leaf count", series(func(s *Series) { s.Leaves, s.Advances = s.Leaves[:1], nil })},
		{"two leaves sawn", "", series(func(s *Series) { s.Leaves, s.Advances = s.Leaves[:2], nil })},
		{"too many sawn", "leaf count", series(func(s *Series) { s.Leaves, s.Advances = leaf(10_001, mm), nil })},
		{"a leaf of nothing", "leaf thickness", series(func(s *Series) { s.Leaves[2] = 0 })},
		{"the thinnest leaf", "", series(func(s *Series) { s.Leaves[2] = 1 })},
		{"the thickest leaf", "", series(func(s *Series) { s.Leaves[2], s.Advances[2] = m, m })},
		{"a leaf beyond", "leaf thickness", series(func(s *Series) { s.Leaves[2] = m + 1 })},
		{"an advance missing", "advances", series(func(s *Series) { s.Advances = s.Advances[:2] })},
		{"no advances", "", series(func(s *Series) { s.Advances = nil })},
		{"an advance of nothing", "advance", series(func(s *Series) { s.Advances[0] = 0 })},
		{"the least advance", "", series(func(s *Series) { s.Leaves[0], s.Advances[0] = 1, 1 })},
		{"the largest advance", "", series(func(s *Series) { s.Advances[0] = m })},
		{"a leaf as thick as its advance", "", series(func(s *Series) { s.Advances[2] = mm })},
		{"a leaf above its advance", "leaf thickness", series(func(s *Series) { s.Advances[2] = mm - 1 })},
		{"an advance beyond", "advance", series(func(s *Series) { s.Advances[0] = m + 1 })},
		{"a step below", "step", series(func(s *Series) { s.Step = -1 })},
		{"the largest step", "", series(func(s *Series) { s.Step = m })},
		{"a step beyond", "step", series(func(s *Series) { s.Step = m + 1 })},
		{"unsure", "confidence", series(func(s *Series) { s.Confidence = 0.4999 })},
		{"a coin", "", series(func(s *Series) { s.Confidence = 0.5 })},
		{"as sure as can be", "", series(func(s *Series) { s.Confidence = 0.9999 })},
		{"surer", "confidence", series(func(s *Series) { s.Confidence = 0.99991 })},
		{"confidence NaN", "confidence", series(func(s *Series) { s.Confidence = math.NaN() })},

		{"no target", "target", next(0)},
		{"the thinnest target", "", next(1)},
		{"the thickest target", "", next(m)},
		{"a target beyond", "target", next(m + 1)},

		{"lower below", "lower", process(func(p *Process) { p.Limits.Lower = -1 })},
		{"the largest lower", "upper", process(func(p *Process) { p.Limits = Limits{m, m} })},
		{"lower beyond", "lower", process(func(p *Process) { p.Limits = Limits{m + 1, m + 2} })},
		{"upper at lower", "upper", process(func(p *Process) { p.Limits.Lower = 2 * mm })},
		{"upper just above", "", process(func(p *Process) { p.Limits.Lower = 2*mm - 1 })},
		{"the largest upper", "", process(func(p *Process) { p.Limits.Upper = m })},
		{"upper beyond", "upper", process(func(p *Process) { p.Limits.Upper = m + 1 })},
		{"a mean below", "mean", process(func(p *Process) { p.Mean = -1 })},
		{"a mean of nothing", "", process(func(p *Process) { p.Mean = 0 })},
		{"the largest mean", "", process(func(p *Process) { p.Mean = m })},
		{"a mean beyond", "mean", process(func(p *Process) { p.Mean = m + 1 })},
		{"no deviation", "standard deviation", process(func(p *Process) { p.SD = 0 })},
		{"the least deviation", "", process(func(p *Process) { p.SD = 1 })},
		{"the largest deviation", "", process(func(p *Process) { p.SD = m })},
		{"a deviation beyond", "standard deviation", process(func(p *Process) { p.SD = m + 1 })},
		{"one value", "count", process(func(p *Process) { p.Count = 1 })},
		{"two values", "", process(func(p *Process) { p.Count = 2 })},
		{"the most values", "", process(func(p *Process) { p.Count = 100_000 })},
		{"values beyond", "count", process(func(p *Process) { p.Count = 100_001 })},
		{"no freedom", "degrees of freedom", process(func(p *Process) { p.Degrees = 0 })},
		{"little freedom", "", process(func(p *Process) { p.Degrees = 0.5 })},
		{"the most freedom", "", process(func(p *Process) { p.Degrees = 100_000 })},
		{"freedom beyond", "degrees of freedom", process(func(p *Process) { p.Degrees = 100_000.1 })},
		{"capability, confidence", "confidence", process(func(p *Process) { p.Confidence = 1 })},

		{"a shape of no leaves", "leaf count", shape(Readings{}, 0, Top)},
		{"allowed below", "allowed", shape(leaves(1), -1, Top, Bottom)},
		{"the most allowed", "", shape(leaves(1), m, Top, Bottom)},
		{"allowed beyond", "allowed", shape(leaves(1), m+1, Top, Bottom)},
		{"a spot missing", "spots", shape(leaves(1), 0, Top)},
		{"a place twice", "", shape(leaves(1), 0, Top, Top)},
		{"a place below", "place", shape(leaves(1), 0, Top, -1)},
		{"a place beyond", "place", shape(leaves(1), 0, Top, 4)},
		{"an end below", "end", ended(-1)},
		{"an end beyond", "end", ended(3)},
	})
	var which *ReadingError
	if err := errorOf(Readings{{1, 2}, {3}}.Leaves()); !errors.As(err, &which) || which.Leaf != 1 {
		t.Errorf("%v", err)
	}
}

// TestOffset: a leaf as thick as a house changes no digit of the deviations.
func TestOffset(t *testing.T) {
	r := brown(t)
	plain, _ := Brown(r)
	for _, leaf := range r {
		for i := range leaf {
			leaf[i] += 900 * mm
		}
	}
	if moved, err := Brown(r); err != nil || moved != plain {
		t.Errorf("%v, %v", moved, err)
	}
}
