package gauge

import (
	"math"
	"testing"

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

// near reports whether a length rounds to a published number of units.
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
