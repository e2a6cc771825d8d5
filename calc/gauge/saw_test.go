package gauge

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"

	"resawd/calc/dial"
	"resawd/calc/length"
)

// saw makes leaves by the model: known kerf and scale, and faces with errors of a
// known standard deviation, the first of them already there.
type saw struct {
	random      *rand.Rand
	kerf, sd    length.Length
	scale, face float64
}

func newSaw(seed uint64) *saw {
	s := &saw{random: rand.New(rand.NewPCG(14, seed)), kerf: 45 * thou, sd: 2 * thou, scale: 1}
	s.face = s.random.NormFloat64()
	return s
}

// leaf saws one leaf.
func (s *saw) leaf(advance length.Length) length.Length {
	before := s.face
	s.face = s.random.NormFloat64()
	return nearest(float64(advance)*s.scale-float64(s.kerf)) + nearest((s.face-before)*float64(s.sd))
}

func (s *saw) leaves(advances []length.Length) []length.Length {
	all := make([]length.Length, len(advances))
	for i, a := range advances {
		all[i] = s.leaf(a)
	}
	return all
}

func alike(count int, advance length.Length) []length.Length {
	all := make([]length.Length, count)
	for i := range all {
		all[i] = advance
	}
	return all
}

const trials = 4000

// long skips a simulation of some thousand runs where short tests are wanted.
func long(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("a simulation")
	}
}

// share is how often something was so, and its standard error.
func share(count int) (share, standardError float64) {
	p := float64(count) / trials
	return p, math.Sqrt(p * (1 - p) / trials)
}

// TestKerfInterval: of 4000 series, the stated share holds the true kerf; the
// interval of independent leaves holds it far too often, being far too wide.
func TestKerfInterval(t *testing.T) {
	long(t)
	for _, c := range []struct {
		leaves     int
		confidence float64
	}{{2, 0.95}, {3, 0.95}, {5, 0.9}, {8, 0.95}, {20, 0.95}, {20, 0.5}} {
		held, independent, alternating := 0, 0, 0
		var width, wide float64
		for trial := range trials {
			s := newSaw(uint64(trial))
			series := Series{Advances: alike(c.leaves, 95*thou), Confidence: c.confidence}
			series.Leaves = s.leaves(series.Advances)
			f, err := Faces(series)
			if err != nil {
				t.Fatal(err)
			}
			if f.Alternating {
				alternating++
			}
			if f.Kerf.Low <= s.kerf && s.kerf <= f.Kerf.High {
				held++
			}
			d := series.errors()
			margin := student(c.confidence, float64(c.leaves-1)) * stat.StdDev(d, nil) / math.Sqrt(float64(c.leaves))
			if math.Abs(stat.Mean(d, nil)+float64(series.Leaves[0]-50*thou)) <= margin {
				independent++
			}
			width, wide = width+float64(f.Kerf.High-f.Kerf.Low), wide+2*margin
		}
		p, se := share(held)
		q, _ := share(independent)
		a, _ := share(alternating)
		t.Logf("%2d leaves, stated %.2f: held %.4f (+/- %.4f); as independent leaves %.4f, %.2f times as wide; taken for alternating %.3f", c.leaves, c.confidence, p, se, q, wide/width, a)
		// One series in ten does not alternate, by chance, and gets the wide interval, so
		// that somewhat more than stated is held; never less.
		if p < c.confidence-3*se || p > c.confidence+3*se+0.03 {
			t.Errorf("%d leaves: %v", c.leaves, p)
		}
	}
}

// TestScaleInterval: with advances that can carry it, kerf and scale are both held
// at the stated rate, and a scale is told.
func TestScaleInterval(t *testing.T) {
	long(t)
	kerf, scale, leaf, told := 0, 0, 0, 0
	advances := append(alike(8, 95*thou), alike(8, 300*thou)...)
	for trial := range trials {
		s := newSaw(uint64(trial))
		s.scale = 1.004
		f, err := Faces(Series{Leaves: s.leaves(advances), Advances: advances, Confidence: 0.95})
		if err != nil {
			t.Fatal(err)
		}
		if f.Scale == nil {
			continue
		}
		told++
		if f.Kerf.Low <= s.kerf && s.kerf <= f.Kerf.High {
			kerf++
		}
		if truth := nearest(float64(300*thou)*s.scale) - s.kerf; f.Leaf.Low <= truth && truth <= f.Leaf.High {
			leaf++
		}
		if f.Scale.Low <= s.scale && s.scale <= f.Scale.High {
			scale++
		}
	}
	p, se := share(scale)
	q, _ := share(kerf)
	r, _ := share(leaf)
	t.Logf("told in %d of %d; scale held %.4f, kerf %.4f, leaf %.4f (+/- %.4f)", told, trials, p, q, r, se)
	if told != trials || math.Abs(p-0.95) > 3*se || r < 0.95-3*se || r > 0.98 || q < 0.95-3*se || q > 0.98 {
		t.Errorf("%d, %v, %v", told, p, q)
	}
}

// TestCapabilityInterval: with the degrees of freedom of a saw, the interval of Cp
// holds the true one at the stated rate; with those of independent leaves it does not.
func TestCapabilityInterval(t *testing.T) {
	long(t)
	const leaves = 20
	held, independent := 0, 0
	limits := Around(50*thou, 6*thou)
	for trial := range trials {
		s := newSaw(uint64(trial))
		truth := limits.Upper - limits.Lower
		cp := truth.In(6*s.sd) / math.Sqrt2
		d := from(0, s.leaves(alike(leaves, 95*thou)))
		mean, sd := stat.MeanStdDev(d, nil)
		p := Process{Mean: nearest(mean), SD: nearest(sd), Limits: limits, Count: leaves, Degrees: SawDegrees(leaves), Confidence: 0.95}
		c, err := NewCapability(p)
		p.Degrees = leaves - 1
		c2, err2 := NewCapability(p)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		if c.Cp.Low <= cp && cp <= c.Cp.High {
			held++
		}
		if c2.Cp.Low <= cp && cp <= c2.Cp.High {
			independent++
		}
	}
	p, se := share(held)
	q, _ := share(independent)
	t.Logf("Cp held %.4f (+/- %.4f); with n - 1 degrees %.4f", p, se, q)
	if math.Abs(p-0.95) > 0.012 || q > 0.93 {
		t.Errorf("%v, %v", p, q)
	}
}

// TestMovingRange: sigma by moving ranges is sqrt(3/2) too large for leaves of a
// saw; by faces it is right.
func TestMovingRange(t *testing.T) {
	long(t)
	var ranges, faces float64
	for trial := range trials {
		s := newSaw(uint64(trial))
		series := Series{Leaves: s.leaves(alike(20, 95*thou)), Confidence: 0.95}
		r := Readings{}
		for _, l := range series.Leaves {
			r = append(r, []length.Length{l})
		}
		c, err := NewChart(r)
		f, err2 := Faces(series)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		ranges += float64(c.Upper-c.Centre) / 3 / trials
		faces += float64(f.LeafSD) * float64(f.LeafSD) / trials
	}
	truth := 2 * thou.In(1) * math.Sqrt2
	t.Logf("moving ranges %.4f, faces %.4f of the true deviation", ranges/truth, math.Sqrt(faces)/truth)
	if math.Abs(ranges/truth-math.Sqrt(1.5)) > 0.01 || math.Abs(math.Sqrt(faces)/truth-1) > 0.01 {
		t.Errorf("%v, %v", ranges/truth, math.Sqrt(faces)/truth)
	}
}

// rms saws some leaves, corrects as told, saws 12 more, and gives the root mean
// square error of those against 50 thou.
func rms(t *testing.T, kerf length.Length, correct func(*testing.T, Series) length.Length) (root float64, moved int) {
	t.Helper()
	var squares float64
	for trial := range trials {
		s := newSaw(uint64(trial))
		s.kerf = kerf
		series := Series{Advances: alike(8, 95*thou), Confidence: 0.95}
		series.Leaves = s.leaves(series.Advances)
		next := correct(t, series)
		if next != 95*thou {
			moved++
		}
		for _, l := range s.leaves(alike(12, next)) {
			squares += math.Pow((l-50*thou).In(thou), 2) / trials / 12
		}
	}
	return math.Sqrt(squares), moved
}

func leaveAlone(*testing.T, Series) length.Length { return 95 * thou }

func advised(t *testing.T, s Series) length.Length {
	t.Helper()
	f, err := Faces(s)
	if err != nil {
		t.Fatal(err)
	}
	a, err := f.Next(50*thou, dial.Screw{Lead: 100 * thou, DivisionsPerTurn: 100})
	if err != nil {
		t.Fatal(err)
	}
	return a.Advance
}

// TestCorrection: the run corrected once, after 8 leaves, is better than the run
// left alone where the kerf differs from what was thought, and as good where it does
// not. There the advice moves the dial in some runs, since an interval of 95 % is
// wrong in 5 %; what that costs is bounded here by half a percent.
func TestCorrection(t *testing.T) {
	long(t)
	for _, bias := range []length.Length{-3 * thou, -2 * thou, -thou, 0, thou, 2 * thou, 3 * thou} {
		alone, _ := rms(t, 45*thou-bias, leaveAlone)
		corrected, moved := rms(t, 45*thou-bias, advised)
		t.Logf("bias %5s in: alone %.4f, corrected %.4f thou; moved in %d of %d", bias.Decimal(in), alone, corrected, moved, trials)
		if bias != 0 && corrected >= alone || bias == 0 && (corrected > 1.005*alone || moved > trials*6/100) {
			t.Errorf("bias %v: %v, %v", bias, alone, corrected)
		}
	}
}

// TestChasing: to correct after every leaf by its error makes the leaves vary
// sqrt(3) times as much.
func TestChasing(t *testing.T) {
	var alone, chased float64
	s := newSaw(1)
	advance := 95 * thou
	for range trials {
		off := s.leaf(advance) - 50*thou
		chased += off.In(thou) * off.In(thou) / trials
		advance -= off
		off = newSaw(s.random.Uint64()).leaf(95*thou) - 50*thou
		alone += off.In(thou) * off.In(thou) / trials
	}
	if ratio := math.Sqrt(chased / alone); math.Abs(ratio-math.Sqrt(3)) > 0.06 {
		t.Errorf("%v", ratio)
	} else {
		t.Logf("%.3f times", ratio)
	}
}

// FuzzFaces: whatever the leaves, results are finite and in order, a mean told
// thicker by a constant moves the estimate by that constant, and the kerf is what
// the last advance has over the leaf.
func FuzzFaces(f *testing.F) {
	f.Add(uint64(1), 8, int64(2*thou), int64(thou), int64(0))
	f.Add(uint64(2), 2, int64(0), int64(1), int64(12700))
	f.Fuzz(func(t *testing.T, seed uint64, count int, sd, more, step int64) {
		count, sd, more, step = 2+int(uint(count)%60), sd%int64(10*thou), more%int64(10*thou), step%int64(in)
		s := newSaw(seed)
		s.sd = length.Length(max(sd, -sd) / 10)
		series := Series{Advances: alike(count, 95*thou), Confidence: 0.95, Step: length.Length(max(step, -step))}
		series.Leaves = s.leaves(series.Advances)
		fit, err := Faces(series)
		if err != nil {
			return // a leaf of nothing
		}
		if fit.Leaf.Low > fit.Leaf.Estimate || fit.Leaf.Estimate > fit.Leaf.High || fit.FaceSD < 0 || math.IsNaN(fit.LagOne) {
			t.Fatalf("%+v", fit)
		}
		if off := fit.Leaf.Estimate + fit.Kerf.Estimate - 95*thou; max(off, -off) > 1 {
			t.Fatalf("%+v, %+v", fit.Leaf, fit.Kerf)
		}
		for i := range series.Leaves {
			series.Leaves[i] += length.Length(more)
		}
		moved, err := Faces(series)
		if err != nil {
			return
		}
		if off := moved.Leaf.Estimate - fit.Leaf.Estimate - length.Length(more); max(off, -off) > 1 {
			t.Fatalf("%+v moved by %d: %+v", fit.Leaf, more, moved.Leaf)
		}
		if a, err := fit.Next(50*thou, dial.Screw{}); err != nil || a.Confidence < 0 || a.Confidence > 1 || a.Move != (a.Reason == Bias) {
			t.Fatalf("%+v, %v", a, err)
		}
	})
}
