package gauge

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"resawd/calc/length"
)

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
