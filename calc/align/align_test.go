package align

import (
	"errors"
	"math"
	"testing"

	"resawd/calc/fault"
	"resawd/calc/internal/refusal"
	"resawd/calc/length"
)

const (
	in   = length.Inch
	thou = length.Thou
	m    = length.Metre
)

var inchBlade = Blade{Width: in, Body: 25 * thou, Kerf: 45 * thou}

// TestGeometry places the body in a kerf by its coordinates: teeth at the origin,
// the travel along y, a viewer behind looking back along y, whose right is -x. The
// back edge of a body turned by an angle lies W sin(angle) to the right.
func TestGeometry(t *testing.T) {
	for _, degrees := range []float64{-0.5, -0.1, 0, 0.1, 0.5} {
		back := inchBlade.Width.In(1) * math.Sin(degrees*math.Pi/180)
		half := (inchBlade.Kerf - inchBlade.Body).In(2)
		g := Gaps{Left: length.Length(math.Round(half + back)), Right: length.Length(math.Round(half - back))}
		a, err := Align(inchBlade, g, 10*in)
		if err != nil || math.Abs(a.Degrees-degrees) > 1e-5 || a.Rubs {
			t.Fatalf("%v: %+v, %v", degrees, a, err)
		}
		want := None
		switch {
		case degrees > 0:
			want = Counterclockwise
		case degrees < 0:
			want = Clockwise
		}
		if a.Turn != want || a.GapAfter != 10*thou || a.KerfSeen != inchBlade.Kerf || a.KerfOff != 0 {
			t.Errorf("%v: %+v", degrees, a)
		}
		// An arc of 10 in.
		if arc := 10 * math.Abs(degrees) * math.Pi / 180; math.Abs(a.TurnDistance.In(in)-arc) > 1e-6 {
			t.Errorf("%v: %v in, not %v", degrees, a.TurnDistance.In(in), arc)
		}
	}
}

func TestRubs(t *testing.T) {
	for _, c := range []struct {
		name        string
		left, right length.Length
		rubs, fits  bool
		off         length.Length
	}{
		{"centred", 10 * thou, 10 * thou, false, true, 0},
		{"touching", 20 * thou, 0, true, true, 0},
		{"touching, right wider", 0, 20 * thou, true, true, 0},
		{"a nanometre left", 20*thou - 1, 1, false, true, 0},
		{"at the rub angle in a wider kerf", 25 * thou, 5 * thou, true, false, 10 * thou},
		{"just below the rub angle in a wider kerf", 25*thou - 1, 5 * thou, false, false, 10*thou - 1},
		{"a narrower kerf", 8 * thou, 8 * thou, false, false, -4 * thou},
		{"as near as can be told", 11 * thou, 11 * thou, false, true, 2 * thou},
		{"a nanometre more", 11 * thou, 11*thou + 1, false, false, 2*thou + 1},
		{"as near, narrower", 9 * thou, 9 * thou, false, true, -2 * thou},
		{"a nanometre narrower", 9 * thou, 9*thou - 1, false, false, -2*thou - 1},
	} {
		a, err := Align(inchBlade, Gaps{c.left, c.right}, 0)
		if err != nil || a.Rubs != c.rubs || a.KerfFits != c.fits || a.KerfOff != c.off || a.TurnDistance != 0 {
			t.Errorf("%s: %+v, %v", c.name, a, err)
		}
	}
}

// TestAngles: a sine and a tangent of 1/2, from tables: 30 and 26.565 degrees.
func TestAngles(t *testing.T) {
	b := Blade{Width: 10 * thou, Body: 10 * thou, Kerf: 20 * thou}
	if d, err := b.RubAngle(); err != nil || math.Abs(d-30) > 1e-9 {
		t.Errorf("%v, %v", d, err)
	}
	if d, err := (Readings{in, in / 2, in}).Degrees(); err != nil || math.Abs(d+26.565) > 5e-4 {
		t.Errorf("%v, %v", d, err)
	}
}

func TestRefusals(t *testing.T) {
	clearance := func(width, body, kerf length.Length) error { return refusal.Only(Blade{width, body, kerf}.Clearance()) }
	aligned := func(left, right, radius length.Length) error {
		return refusal.Only(Align(inchBlade, Gaps{left, right}, radius))
	}
	tilt := func(first, second, distance length.Length) error {
		return refusal.Only(Readings{first, second, distance}.Degrees())
	}
	for _, c := range []struct {
		name, quantity string
		err            error
	}{
		{"no width", "blade width", clearance(0, 1, 2)},
		{"the least width", "", clearance(1, 1, 2)},
		{"the largest width", "", clearance(m, 1, 2)},
		{"width beyond", "blade width", clearance(m+1, 1, 2)},
		{"no body", "body thickness", clearance(in, 0, 2)},
		{"the least body", "", clearance(in, 1, 2)},
		{"a body as thick as can be", "", clearance(in, m-1, m)},
		{"a body of a metre", "kerf", clearance(in, m, m+1)},
		{"body beyond", "body thickness", clearance(in, m+1, m+2)},
		{"kerf of the body", "kerf", clearance(in, 2, 2)},
		{"kerf just above the body", "", clearance(in, 2, 3)},
		{"the largest kerf", "", clearance(m, 1, m)},
		{"kerf beyond", "kerf", clearance(m, 1, m+1)},
		{"clearance as wide as the blade", "", clearance(5, 1, 11)},
		{"clearance wider than the blade", "kerf", clearance(5, 1, 12)},
		{"rub angle of no blade", "blade width", refusal.Only(Blade{}.RubAngle())},
		{"slope of no blade", "blade width", refusal.Only(Blade{}.RubSlope(in))},
		{"slope over nothing", "distance", refusal.Only(inchBlade.RubSlope(0))},
		{"slope over the least", "", refusal.Only(inchBlade.RubSlope(1))},
		{"slope over the most", "", refusal.Only(inchBlade.RubSlope(10 * m))},
		{"slope beyond", "distance", refusal.Only(inchBlade.RubSlope(10*m + 1))},
		{"gaps of no blade", "blade width", refusal.Only(Align(Blade{}, Gaps{}, 0))},
		{"left below", "gap left", aligned(-1, 0, 0)},
		{"no gaps", "", aligned(0, 0, 0)},
		{"right below", "gap right", aligned(0, -1, 0)},
		{"left at its most", "", aligned(2*in, 0, 0)},
		{"left beyond", "gap left", aligned(2*in+1, 0, 0)},
		{"right at its most", "", aligned(0, 2*in, 0)},
		{"right beyond", "gap left", aligned(0, 2*in+1, 0)},
		{"both a metre", "", aligned(m, m, 0)},
		{"left beyond a metre", "gap left", aligned(m+1, m, 0)},
		{"right beyond a metre", "gap right", aligned(m, m+1, 0)},
		{"radius below", "bolt radius", aligned(0, 0, -1)},
		{"the largest radius", "", aligned(0, 0, 10*m)},
		{"radius beyond", "bolt radius", aligned(0, 0, 10*m+1)},
		{"first below", "readings", tilt(-m-1, 0, 2*m)},
		{"the least first", "", tilt(-m, 0, m)},
		{"the largest first", "", tilt(m, 0, m)},
		{"first beyond", "readings", tilt(m+1, 0, 2*m)},
		{"second below", "readings", tilt(0, -m-1, 2*m)},
		{"the least second", "", tilt(0, -m, m)},
		{"the largest second", "", tilt(0, m, m)},
		{"second beyond", "readings", tilt(0, m+1, 2*m)},
		{"no distance", "distance", tilt(0, 0, 0)},
		{"the least distance", "", tilt(0, 0, 1)},
		{"the largest distance", "", tilt(0, 0, 10*m)},
		{"distance beyond", "distance", tilt(0, 0, 10*m+1)},
		{"45 degrees up", "", tilt(5, 8, 3)},
		{"steeper up", "readings", tilt(5, 9, 3)},
		{"45 degrees down", "", tilt(5, 2, 3)},
		{"steeper down", "readings", tilt(5, 1, 3)},
	} {
		if refusal.Of(c.err) != c.quantity {
			t.Errorf("%s: %v", c.name, c.err)
		}
	}
}

// FuzzAlign: gaps swapped turn the other way by as much, and the body fits where it
// is said to stand.
func FuzzAlign(f *testing.F) {
	f.Add(int64(in), int64(25*thou), int64(45*thou), int64(14*thou), int64(6*thou), int64(10*in))
	f.Fuzz(func(t *testing.T, width, body, kerf, left, right, radius int64) {
		b := Blade{length.Length(width), length.Length(body), length.Length(kerf)}
		a, err := Align(b, Gaps{length.Length(left), length.Length(right)}, length.Length(radius))
		if err != nil {
			return
		}
		s, err := Align(b, Gaps{length.Length(right), length.Length(left)}, length.Length(radius))
		if err != nil || s.Degrees != -a.Degrees || s.Rubs != a.Rubs || s.TurnDistance != a.TurnDistance || s.GapAfter != a.GapAfter {
			t.Fatalf("%+v, swapped %+v, %v", a, s, err)
		}
		swing := 2 * float64(width) * math.Sin(a.Degrees*math.Pi/180)
		if math.IsNaN(a.Degrees) || math.Abs(swing-float64(left-right)) > 1e-6*float64(width)+1 {
			t.Fatalf("%+v: the gaps differ by %v", a, swing)
		}
	})
}

// TestGapLimits: the gaps of a blade an inch wide differ by two inches at most, and none
// is less than nothing.
func TestGapLimits(t *testing.T) {
	for _, c := range []struct{ left, right, low, high length.Length }{
		{2*in + 1, 0, 0, 2 * in}, {0, 3 * in, in, 5 * in},
	} {
		_, err := Align(inchBlade, Gaps{c.left, c.right}, 0)
		var out *fault.OutOfRange
		if !errors.As(err, &out) || out.Low != c.low || out.High != c.high {
			t.Errorf("%v and %v: %v", c.left, c.right, err)
		}
	}
}
