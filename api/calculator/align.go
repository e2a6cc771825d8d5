package calculator

import (
	"errors"
	"fmt"

	"resawd/api/endpoint"
	"resawd/calc/align"
	"resawd/calc/fault"
	"resawd/calc/length"
)

// AlignRequest asks whether blade, travel and face stand parallel and square.
type AlignRequest struct {
	Settings
	// Width of the blade from the tips of the teeth to the back edge; the blade's by default
	BladeWidth *length.Length `json:"blade_width,omitzero" validate:"omitempty,gt=0,within=..1m"`
	// Thickness of the band; the blade's by default
	BodyThickness *length.Length `json:"body_thickness,omitzero" validate:"omitempty,gt=0,within=..1m"`
	// Wood turned to dust by one pass; the blade's by default
	Kerf *length.Length `json:"kerf,omitzero" validate:"omitempty,gt=0,within=..1m"`
	// Gap between the body's back edge and the left wall of the kerf, as seen from behind the blade, where the board comes
	// out
	GapLeft *length.Length `json:"gap_left,omitzero" validate:"required_with=GapRight,omitempty,gte=0,within=..1m"`
	// Gap to the right wall, seen in the same way
	GapRight *length.Length `json:"gap_right,omitzero" validate:"required_with=GapLeft,omitempty,gte=0,within=..1m"`
	// Distance from the pivot that the travel turns about to the bolts that clamp it; without it the answer gives the
	// turn as an angle only
	BoltRadius *length.Length `json:"bolt_radius,omitzero" validate:"excluded_without=GapLeft,omitempty,gt=0,within=..10m"`
	// Two readings of an indicator against the carriage's face, first and second along the travel
	TravelReadings []length.Length `json:"travel_readings,omitzero" validate:"required_with=TravelDistance,omitempty,min=2,max=2,dive,within=-1m..1m"`
	// Distance between the places of the two readings
	TravelDistance *length.Length `json:"travel_distance,omitzero" validate:"required_with=TravelReadings,omitempty,gt=0,within=..10m"`
	// Two readings of an indicator between blade and face, low and high
	HeightReadings []length.Length `json:"height_readings,omitzero" validate:"required_with=HeightDistance,omitempty,min=2,max=2,dive,within=-1m..1m"`
	// Distance between the places of the two readings
	HeightDistance *length.Length `json:"height_distance,omitzero" validate:"required_with=HeightReadings,omitempty,gt=0,within=..10m"`
}

// AlignAnswer is how blade, travel and face stand.
type AlignAnswer struct {
	// Room beside the body in its kerf, on each side
	Clearance length.Length `json:"clearance"`
	// Angle of body to travel at which the back edge touches a wall
	RubAngleDegrees float64 `json:"rub_angle_degrees"`
	// How far blade and travel may diverge over 12 in before the back edge touches
	RubOverFoot length.Length `json:"rub_over_foot"`
	// Angle of the body to the travel; above 0 where the left gap is wider
	AngleDegrees *float64 `json:"angle_degrees,omitzero"`
	// Whether the back edge touches a wall
	Rubs *bool `json:"rubs,omitzero"`
	// Which way to turn the travel, seen from above
	Turn string `json:"turn,omitzero" enums:"none,clockwise,counterclockwise"`
	// How far to turn it, at the bolts
	TurnDistance *length.Length `json:"turn_distance,omitzero"`
	// The gap on either side once it is turned
	GapAfter *length.Length `json:"gap_after,omitzero"`
	// The kerf that the gaps show, compared with the kerf in use
	KerfCheck *KerfCheck `json:"kerf_check,omitzero"`
	// Angle of the face to the travel; above 0 where the second reading is the larger
	FaceDegrees *float64 `json:"face_degrees,omitzero"`
	// Angle of the blade to the face along its height; above 0 where the high reading is the larger
	LeanDegrees *float64 `json:"lean_degrees,omitzero"`
	// What the figures mean, in words
	Verdict []string `json:"verdict"`
	// Cautions for work near the blade
	Cautions []string `json:"cautions"`
	// Every input, given or defaulted
	Used *AlignRequest `json:"used"`
	endpoint.Notes
}

// alignCautions are the cautions of work near a blade that stands still; common
// practice.
var alignCautions = []string{
	"Unplug the saw before you look at the blade from behind or put a hand or a gauge near it.",
	"A blade cuts when it stands still, too: turn the wheels by hand with gloves on, and never with the saw plugged in.",
	"The saw's manual, local codes and licensed practice rule over anything said here.",
}

// KerfCheck compares the kerf with what is seen behind the blade.
type KerfCheck struct {
	// Thickness of the body and both gaps together
	Seen length.Length `json:"seen"`
	// That thickness less the kerf
	Off length.Length `json:"off"`
	// Whether the two agree, as nearly as gaps can be read
	Fits bool `json:"fits"`
}

// Align answers how blade, travel and face stand.
//
//	@Summary		Whether blade, travel and face stand parallel and square
//	@Description	Saw a little way into scrap, stop the saw, unplug it, leave the board in the cut and look at the blade from behind, where the board comes out: the gaps beside its back edge show its angle to the travel, whether it rubs, which way to turn the travel and how far.
//	@Description	Two readings of one indicator show how far the carriage's face strays from the travel, two more how far the blade leans.
//	@Description	The thickness of leaves cannot show any of this: what repeats at every cut cancels. A leaf that tapers says that something changed between two cuts.
//	@ID				align
//	@Tags			before the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		AlignRequest	true	"The fields of the calculator"
//	@Success		200		{object}	AlignAnswer
//	@Router			/v1/align [post]
func Align(c *endpoint.Call, q *AlignRequest) (*AlignAnswer, error) {
	_, own := machine(c, &q.Settings)
	fill(c, "blade_width", &q.BladeWidth, own.Width, own.owner)
	fill(c, "body_thickness", &q.BodyThickness, own.BodyThickness, own.owner)
	fill(c, "kerf", &q.Kerf, own.Kerf, own.owner)
	b := align.Blade{Width: *q.BladeWidth, Body: *q.BodyThickness, Kerf: *q.Kerf}
	a := &AlignAnswer{Used: q, Verdict: []string{}, Cautions: alignCautions}
	var err, err2, err3 error
	a.Clearance, err = b.Clearance()
	a.RubAngleDegrees, err2 = b.RubAngle()
	a.RubOverFoot, err3 = b.RubSlope(length.Foot)
	if err := fault.First(err, err2, err3, a.gaps(c, b, q), a.face(c, q), a.lean(c, q)); err != nil {
		return nil, err
	}
	a.Sources = []string{
		"clearance = (kerf - body) / 2, angle = asin((left - right) / (2 width)), rub angle = asin(clearance / width) (plane geometry)",
		"gaps seen behind the stopped and unplugged blade (common practice)",
	}
	return a, nil
}

// gaps adds what the gaps behind the blade show, if the request has them.
func (a *AlignAnswer) gaps(c *endpoint.Call, b align.Blade, q *AlignRequest) error {
	if q.GapLeft == nil {
		return nil
	}
	s, err := align.Align(b, align.Gaps{Left: *q.GapLeft, Right: *q.GapRight}, endpoint.ValueOr(q.BoltRadius, 0))
	if err != nil {
		return err
	}
	a.AngleDegrees, a.Rubs, a.GapAfter = &s.Degrees, &s.Rubs, &s.GapAfter
	a.Turn = turns[s.Turn]
	if q.BoltRadius != nil {
		a.TurnDistance = &s.TurnDistance
	}
	a.KerfCheck = &KerfCheck{Seen: s.KerfSeen, Off: s.KerfOff, Fits: s.KerfFits}
	a.Verdict = append(a.Verdict, gapWords(c, a, s))
	if !s.KerfFits {
		a.Verdict = append(a.Verdict, fmt.Sprintf("Body and gaps make a kerf of %s, the kerf is given as %s: look again, or measure it on two cuts in scrap.", rounded(c, s.KerfSeen), rounded(c, b.Kerf)))
	}
	return nil
}

var turns = map[align.Turn]string{align.None: "none", align.Clockwise: "clockwise", align.Counterclockwise: "counterclockwise"}

// gapWords says what the gaps mean.
func gapWords(c *endpoint.Call, a *AlignAnswer, s align.Alignment) string {
	switch {
	case s.Turn == align.None && s.Rubs:
		return "No gap is seen on either side: the body fills the kerf and rubs; the teeth have no set left, or this is not the blade."
	case s.Turn == align.None:
		return "The blade stands parallel to the travel: leave it."
	}
	words := "The blade does not rub, but stands askew: "
	if s.Rubs {
		words = "The blade rubs on a wall of its kerf: "
	}
	words += fmt.Sprintf("turn the travel %s, as seen from above, by %.2f degrees", a.Turn, max(s.Degrees, -s.Degrees))
	if a.TurnDistance != nil {
		words += ", " + rounded(c, *a.TurnDistance) + " at the bolts"
	}
	return words + ", and look again: then " + rounded(c, s.GapAfter) + " is left on each side."
}

// face adds what the readings along the travel show, if the request has them.
func (a *AlignAnswer) face(c *endpoint.Call, q *AlignRequest) error {
	r, ok := readings(q.TravelReadings, q.TravelDistance)
	if !ok {
		return nil
	}
	d, err := r.Degrees()
	if err != nil {
		return readingFault(err, "travel_readings", c)
	}
	a.FaceDegrees = &d
	a.Verdict = append(a.Verdict, tiltWords(c, r, "The face strays from the travel", "the length of the board"))
	return nil
}

// lean adds what the readings along the height show, if the request has them.
func (a *AlignAnswer) lean(c *endpoint.Call, q *AlignRequest) error {
	r, ok := readings(q.HeightReadings, q.HeightDistance)
	if !ok {
		return nil
	}
	d, err := r.Degrees()
	if err != nil {
		return readingFault(err, "height_readings", c)
	}
	a.LeanDegrees = &d
	a.Verdict = append(a.Verdict, tiltWords(c, r, "Blade and face lean from each other", "the height of the board"))
	return nil
}

// readings are the two readings of an indicator, if the request has them.
func readings(two []length.Length, distance *length.Length) (r align.Readings, ok bool) {
	if len(two) != 2 || distance == nil {
		return r, false
	}
	return align.Readings{First: two[0], Second: two[1], Distance: *distance}, true
}

// readingFault refuses a slope that no indicator shows.
func readingFault(err error, field string, c *endpoint.Call) error {
	var out *fault.OutOfRange
	if errors.As(err, &out) {
		c.RefuseRange(field+".1", out)
		return c.Checked()
	}
	return err
}

// tiltWords says what two readings mean: they cost thickness at the first cut, and
// change no leaf.
func tiltWords(c *endpoint.Call, r align.Readings, what, along string) string {
	by := r.Second - r.First
	if by == 0 {
		return what + " by nothing that the indicator shows."
	}
	return fmt.Sprintf("%s by %s over %s: along %s the first cut takes more at one end by that measure; the leaves are parallel nonetheless, since it repeats at every cut.",
		what, rounded(c, max(by, -by)), c.Show(r.Distance), along)
}
