package gauge

import (
	"math"
	"testing"

	"resawd/calc/dial"
	"resawd/calc/length"
)

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
