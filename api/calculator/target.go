package calculator

import (
	"resawd/api/endpoint"
	"resawd/calc/length"
	"resawd/calc/target"
)

// TargetRequest asks how thick to saw, and how many leaves.
type TargetRequest struct {
	Settings
	// Thickness of the finished part
	Finished *length.Length `json:"finished,omitzero" validate:"required,gt=0,within=..1m"`
	// Thickness that sanding takes off each face
	Sanding *length.Length `json:"sanding,omitzero" validate:"omitempty,gte=0,within=..1m" absent:"0"`
	// Share of the size that drying takes; 0 where leaves are sawn dry
	Shrinkage *float64 `json:"shrinkage,omitzero" validate:"omitempty,gte=0,lte=0.5" absent:"0"`
	// Standard deviation of the sawing, which is total_sd of measured leaves; 0 by default, which leaves its variation
	// no room
	SawingSD *length.Length `json:"sawing_sd,omitzero" validate:"omitempty,gte=0,within=..1m"`
	// Share of places that may come out too thin; 0.025 by default
	Undersize *float64 `json:"undersize,omitzero" validate:"omitempty,excluded_with=Z,gte=0.0001,lte=0.5"`
	// Standard deviations to aim above the critical thickness, in place of undersize
	Z *float64 `json:"z,omitzero" validate:"omitempty,gte=0,lte=6"`
	// Number of good sets wanted; without it the answer does not say how many leaves to saw
	Wanted *int `json:"wanted,omitzero" validate:"omitempty,gte=1,lte=10000"`
	// Number of consecutive leaves in a set; 1 by default
	SetSize *int `json:"set_size,omitzero" validate:"excluded_without=Wanted,omitempty,gte=1,lte=10000"`
	// Share of leaves that come out good; by default the share of places that are not too thin
	GoodRate *float64 `json:"good_rate,omitzero" validate:"excluded_without=Wanted,omitempty,gte=0.01,lte=1"`
	// Confidence that as many sets are good; 0.95 by default
	Confidence *float64 `json:"confidence,omitzero" validate:"excluded_without=Wanted,omitempty,gte=0.5,lte=0.9999"`
}

// TargetAnswer is the thickness to aim at and the leaves to saw.
type TargetAnswer struct {
	// The thinnest leaf that still comes out right
	Critical length.Length `json:"critical"`
	// The thickness to aim at
	Aim length.Length `json:"aim"`
	// Standard deviations of the aim above the critical thickness
	StandardDeviations float64 `json:"standard_deviations"`
	// Number of leaves to saw so that enough of them are good
	LeafCount int `json:"leaf_count,omitzero"`
	// Number of sets to saw
	SetCount int `json:"set_count,omitzero"`
	// Chance that at least the wanted sets are good
	Chance float64 `json:"chance,omitzero"`
	// Every input, given or defaulted
	Used *TargetRequest `json:"used"`
	endpoint.Notes
}

// Common practice: one place in forty too thin, which Brown rounds to two
// standard deviations; sure in nineteen cases of twenty.
const (
	defaultUndersize  = 0.025
	defaultConfidence = 0.95
)

// Target answers how thick to saw.
//
//	@Summary		How thick to saw, and how many leaves
//	@Description	Critical thickness = (finished + 2 sanding) / (1 - shrinkage); aim = critical + z times the standard deviation of the sawing, so that no more than the undersize allowed comes out too thin.
//	@Description	With wanted, the fewest leaves of which at least so many sets are good with the confidence asked: the exact binomial tail, for leaves that are good independently of each other.
//	@ID				target
//	@Tags			before the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		TargetRequest	true	"The fields of the calculator"
//	@Success		200		{object}	TargetAnswer
//	@Router			/v1/target [post]
func Target(c *endpoint.Call, q *TargetRequest) (*TargetAnswer, error) {
	machine(c, &q.Settings)
	if q.SawingSD == nil {
		c.Warn("sawing_sd is not given, so the aim leaves the saw's variation no room: measure leaves and take total_sd of /v1/gauge")
	}
	orDefault(&q.SawingSD, 0)
	a := &TargetAnswer{Used: q}
	var err error
	if a.StandardDeviations, err = q.z(); err != nil {
		return nil, err
	}
	if a.Critical, err = target.Critical(target.Finish{Finished: *q.Finished, Sanding: *q.Sanding, Shrinkage: *q.Shrinkage}); err != nil {
		return nil, err
	}
	if a.Aim, err = target.Aim(a.Critical, a.StandardDeviations, *q.SawingSD); err != nil {
		return nil, err
	}
	a.Sources = []string{
		"critical = (finished + 2 sanding) / (1 - shrinkage), aim = critical + z sawing_sd (T. D. Brown, Lumber Size Control, EM 8731, Oregon State University, 2000; dividing by the shrinkage, where some multiply, by definition)",
	}
	if err := a.count(c, q); err != nil {
		return nil, err
	}
	return a, nil
}

// z is the number of standard deviations given, or else that of the undersize.
func (q *TargetRequest) z() (float64, error) {
	if q.Z != nil {
		return *q.Z, nil
	}
	orDefault(&q.Undersize, defaultUndersize)
	return target.Z(*q.Undersize)
}

// count adds how many leaves to saw, if any are wanted.
func (a *TargetAnswer) count(c *endpoint.Call, q *TargetRequest) error {
	if q.Wanted == nil {
		return nil
	}
	rate, err := target.GoodRate(a.StandardDeviations)
	if err != nil {
		return err
	}
	orDefault(&q.GoodRate, rate)
	orDefault(&q.SetSize, 1)
	orDefault(&q.Confidence, defaultConfidence)
	n, err := target.LeafCount(target.Order{Wanted: *q.Wanted, SetSize: *q.SetSize, GoodRate: *q.GoodRate, Confidence: *q.Confidence})
	if err != nil {
		return err
	}
	a.LeafCount, a.SetCount, a.Chance = n.Leaves, n.Sets, n.Chance
	c.Warn("leaf_count takes leaves to be good independently of each other; neighbours share a cut, and what ails a board ails many leaves: look at the first ones before you trust it")
	a.Sources = append(a.Sources, "leaf_count: the binomial distribution, exact")
	return nil
}
