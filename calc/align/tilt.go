package align

import (
	"math"

	"resawd/calc/fault"
	"resawd/calc/length"
)

// Readings is what one indicator shows at two places.
type Readings struct {
	First, Second length.Length
	Distance      length.Length // between the places
}

func (r Readings) check() error {
	return fault.First(
		fault.Within("readings", r.First, -maxWidth, maxWidth),
		fault.Within("readings", r.Second, -maxWidth, maxWidth),
		fault.Above("distance", r.Distance, 0, maxRadius),
		fault.Because(fault.Within("readings", r.Second, r.First-r.Distance, r.First+r.Distance), "a slope of 45 degrees"),
	)
}

// Degrees gives the angle of a face to the way of the indicator; above 0 where the
// second reading is larger.
//
// Source: definition: the tangent is the difference over the distance.
// Valid: readings within 1 m either way, 0 < distance <= 10 m, a slope of at most 45
// degrees.
func (r Readings) Degrees() (float64, error) {
	if err := r.check(); err != nil {
		return 0, err
	}
	return math.Atan((r.Second - r.First).In(r.Distance)) * 180 / math.Pi, nil
}
