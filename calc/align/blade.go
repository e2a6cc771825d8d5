package align

import (
	"math"

	"resawd/calc/fault"
	"resawd/calc/length"
)

// Limits: wider blades than the largest resaw takes, and thicker bodies than any. Where
// the clearance is more than the width, it is not a blade.
const (
	maxWidth  = length.Metre
	maxRadius = 10 * length.Metre
)

// Blade is a bandsaw blade in its kerf.
type Blade struct {
	Width length.Length // from the tips to the back edge
	Body  length.Length // thickness of the band
	Kerf  length.Length
}

func (b Blade) check() error {
	if err := fault.First(
		fault.Above("blade width", b.Width, 0, maxWidth),
		fault.Above("body thickness", b.Body, 0, maxWidth),
	); err != nil {
		return err
	}
	return fault.First(
		fault.Because(fault.Above("kerf", b.Kerf, b.Body, maxWidth), "the body must pass"),
		fault.Because(fault.Above("kerf", b.Kerf, b.Body, b.Body+2*b.Width), "the blade's body and twice its width"),
	)
}

// Clearance gives the room beside the body in its kerf, on each side: (K - B) / 2.
//
// Source: definition (package comment).
// Valid: 0 < width, body <= 1 m; body < kerf <= 1 m and body + 2 widths.
// Accuracy: rounded down to a nanometre.
func (b Blade) Clearance() (length.Length, error) {
	if err := b.check(); err != nil {
		return 0, err
	}
	return (b.Kerf - b.Body) / 2, nil
}

// RubAngle gives the angle, in degrees, at which the back edge touches a wall of the
// kerf: asin(clearance / W).
//
// Source: definition (package comment).
// Valid: as for [Blade.Clearance].
func (b Blade) RubAngle() (degrees float64, err error) {
	if err := b.check(); err != nil {
		return 0, err
	}
	return arcsine((b.Kerf - b.Body).In(2 * b.Width)), nil
}

// RubSlope gives how far travel and blade may part over a distance before the back
// edge touches: what an indicator or a straightedge may show at most.
//
// Source: definition (package comment); similar triangles.
// Valid: as for [Blade.Clearance]; 0 < distance <= 10 m.
// Accuracy: rounded to a nanometre.
func (b Blade) RubSlope(distance length.Length) (length.Length, error) {
	if err := fault.First(b.check(), fault.Above("distance", distance, 0, maxRadius)); err != nil {
		return 0, err
	}
	return distance.Scale(int64(b.Kerf-b.Body), int64(2*b.Width)), nil
}

// Turn is which way the travel is to be turned, seen from above.
type Turn int

// The turns.
const (
	None Turn = iota
	Clockwise
	Counterclockwise
)

// Gaps is what is seen behind the blade.
type Gaps struct{ Left, Right length.Length }

// Alignment is how the body stands in its kerf.
type Alignment struct {
	Degrees      float64       // of the body to the travel; above 0: the left gap is wider
	Rubs         bool          // a gap is closed, or the angle is the rub angle or more
	Turn         Turn          // of the travel
	TurnDistance length.Length // at the bolts
	GapAfter     length.Length // on either side once it is turned
	KerfSeen     length.Length // body and gaps together
	KerfOff      length.Length // that less the kerf
	KerfFits     bool          // as near as gaps can be told
}

// gapError is how near two gaps together can be told: a feeler gauge tells each to
// 0.001 in (common practice).
const gapError = 2 * length.Thou

// Align reads the gaps behind the blade. The travel turns about a pivot; the bolts
// that clamp it lie at a radius from it, 0 where that is not known.
//
// Source: plane geometry (package comment).
// Valid: a blade as for [Blade.Clearance]; 0 <= gaps, their difference at most twice
// the width; 0 <= bolt radius <= 10 m.
// Accuracy: lengths are rounded to a nanometre.
func Align(b Blade, g Gaps, boltRadius length.Length) (Alignment, error) {
	if err := fault.First(
		b.check(),
		fault.Within("gap left", g.Left, 0, maxWidth),
		fault.Within("gap right", g.Right, 0, maxWidth),
		fault.Because(fault.Within("gap left", g.Left, max(0, g.Right-2*b.Width), g.Right+2*b.Width), "what the blade's width lets the gaps differ"),
		fault.Within("bolt radius", boltRadius, 0, maxRadius),
	); err != nil {
		return Alignment{}, err
	}
	a := Alignment{
		Degrees:  arcsine((g.Left - g.Right).In(2 * b.Width)),
		GapAfter: (g.Left + g.Right) / 2,
		KerfSeen: b.Body + g.Left + g.Right,
	}
	rub, _ := b.RubAngle()
	a.Rubs = min(g.Left, g.Right) == 0 || math.Abs(a.Degrees) >= rub
	a.KerfOff = a.KerfSeen - b.Kerf
	a.KerfFits = max(a.KerfOff, -a.KerfOff) <= gapError
	a.TurnDistance = length.Length(math.Round(float64(boltRadius) * math.Abs(a.Degrees) * math.Pi / 180))
	switch {
	case g.Left > g.Right:
		a.Turn = Counterclockwise
	case g.Left < g.Right:
		a.Turn = Clockwise
	}
	return a, nil
}

func arcsine(x float64) (degrees float64) { return math.Asin(x) * 180 / math.Pi }
