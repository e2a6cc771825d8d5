package calculator

import (
	"cmp"
	"fmt"
	"slices"

	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/api/shop"
	"resawd/calc/upkeep"
)

// UpkeepRequest asks what the saw needs next, or what is wrong with it.
type UpkeepRequest struct {
	Settings
	// Work done since each care; a care that is not named counts as just done
	Done []UpkeepDone `json:"done,omitzero" validate:"omitempty,max=100,dive"`
	// Area that the blade has sawn since it was new or last sharpened, in square units; with it the answer says how far
	// the blade is worn
	BladeArea *endpoint.Area `json:"blade_area,omitzero" validate:"omitempty,gte=0"`
	// What the saw does that it should not: one of the symptoms that an answer lists
	Symptom *string `json:"symptom,omitzero" validate:"omitempty,max=100"`
}

// UpkeepDone is work done since a care.
type UpkeepDone struct {
	// Name of a care interval in the shop file
	Care *string `json:"care,omitzero" validate:"required,max=60"`
	// Number of cuts since
	Cuts *int `json:"cuts,omitzero" validate:"omitempty,gte=0,lte=1000000000" absent:"0"`
	// Sawn area since, in square units
	Area *endpoint.Area `json:"area,omitzero" validate:"omitempty,gte=0" absent:"0"`
	// Hours of running since
	Hours *float64 `json:"hours,omitzero" validate:"omitempty,gte=0,lte=1000000" absent:"0"`
}

// UpkeepAnswer is what is due, and what to look for.
type UpkeepAnswer struct {
	// What the shop cares for, the most due first
	Care []UpkeepCare `json:"care"`
	// How far the blade is worn, if the request says what it has sawn
	BladeWear *UpkeepBlade `json:"blade_wear,omitzero"`
	// What may cause the symptom, the cheapest remedy first
	Causes []UpkeepCause `json:"causes"`
	// The symptoms that there are causes for
	Symptoms []string `json:"symptoms"`
	// Cautions where a hand or a lung is at risk
	Cautions []string `json:"cautions"`
	// Every input, given or defaulted
	Used *UpkeepRequest `json:"used"`
	endpoint.Notes
}

// UpkeepCare is a thing to care for.
type UpkeepCare struct {
	// What to do
	Name string `json:"name"`
	// How near it is to being due
	State string `json:"state" enums:"fine,soon,due,overdue"`
	// Number of cuts until it is due, if cuts count
	CutsLeft *int `json:"cuts_left,omitzero"`
	// Sawn area until it is due, in square units, if area counts
	AreaLeft *endpoint.Area `json:"area_left,omitzero"`
	// Hours until it is due, if hours count
	HoursLeft *float64 `json:"hours_left,omitzero"`

	share float64 // of the interval that is used up
}

// UpkeepBlade is how far a blade is worn. Its kerf shrinks as its set wears.
type UpkeepBlade struct {
	// Name of the blade
	Name string `json:"name"`
	// How near it is to the end of its life, according to the shop file
	State string `json:"state" enums:"fine,soon,due,overdue"`
	// Area until then, in square units
	AreaLeft endpoint.Area `json:"area_left"`
	// Area that it has sawn since its kerf was measured, in square units, if the shop file says when that was
	AreaSinceMeasured *endpoint.Area `json:"area_since_measured,omitzero"`
}

// UpkeepCause is what may be behind a symptom.
type UpkeepCause struct {
	// What the cause may be
	Cause string `json:"cause"`
	// How to find out
	Check string `json:"check"`
	// What to do
	Remedy string `json:"remedy"`
}

// Table gives the rows that csv shows.
func (a *UpkeepAnswer) Table() any {
	if len(a.Causes) > 0 {
		return a.Causes
	}
	return a.Care
}

var states = map[upkeep.State]string{upkeep.Fine: "fine", upkeep.Soon: "soon", upkeep.Due: "due", upkeep.Overdue: "overdue"}

// Upkeep answers what the saw needs.
//
//	@Summary		What the saw needs next, and what is wrong with it
//	@Description	Says from counters (cuts, sawn area, hours since it was last done) what the shop file's care intervals make due, soon due or overdue, whichever comes first; from the area that the blade has sawn, how far it is worn and how old its measured kerf is; and for a symptom its causes, how to check each, and the remedy, the cheapest first. Without either it lists the symptoms.
//	@ID				upkeep
//	@Tags			after the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		UpkeepRequest	true	"The fields of the calculator"
//	@Success		200		{object}	UpkeepAnswer
//	@Router			/v1/upkeep [post]
func Upkeep(c *endpoint.Call, q *UpkeepRequest) (*UpkeepAnswer, error) {
	_, blade := machine(c, &q.Settings)
	a := &UpkeepAnswer{Care: []UpkeepCare{}, Causes: []UpkeepCause{}, Symptoms: upkeep.Symptoms(), Cautions: sawCautions(), Used: q}
	a.Sources = []string{"symptoms, checks and remedies: common practice", "care is due by cuts, area or hours, whichever comes first: common practice; the intervals are the shop's"}
	if q.Symptom != nil {
		for _, cause := range upkeep.Causes(*q.Symptom) {
			a.Causes = append(a.Causes, UpkeepCause{cause.Cause, cause.Check, cause.Remedy})
		}
		if len(a.Causes) == 0 {
			c.Refuse("symptom", "unknown_name", fmt.Sprintf("is %q; known are %s", *q.Symptom, rule.Alternatives(a.Symptoms)))
		}
	}
	var err error
	if a.Care, err = careOf(c, "done", q.Done, upkeep.Count{}); err == nil && q.BladeArea != nil {
		a.BladeWear, err = bladeAfter(c, blade.Blade, *q.BladeArea)
		q.Blade = &blade.Name
	}
	c.FromDemo("care")
	return a, err
}

// bladeAfter says how far a blade is worn that has sawn an area.
func bladeAfter(c *endpoint.Call, blade *shop.Blade, sawn endpoint.Area) (*UpkeepBlade, error) {
	left, err := upkeep.Remaining(upkeep.Count{AreaMM2: float64(*shopArea(c, blade.LifeArea))}, upkeep.Count{AreaMM2: float64(sawn)})
	if err != nil {
		return nil, err
	}
	c.FromDemo("blade")
	b := &UpkeepBlade{Name: blade.Name, State: states[left.State], AreaLeft: endpoint.Area(left.AreaMM2)}
	if blade.MeasuredAfterArea == nil {
		return b, nil
	}
	measured := *shopArea(c, blade.MeasuredAfterArea)
	since, err := upkeep.SinceMeasured(float64(sawn), float64(measured))
	if err != nil {
		c.Warn("the kerf of the blade " + blade.Name + " was measured when it had sawn " + measured.Tell(c.Unit) + ", more than now: it was sharpened or changed since, so measure its kerf again")
		return b, nil //nolint:nilerr // the warning says it
	}
	b.AreaSinceMeasured = new(endpoint.Area(since))
	return b, nil
}

// careOf says how near each care interval of the shop is to being due after some more
// work, the most due first.
func careOf(c *endpoint.Call, field string, done []UpkeepDone, more upkeep.Count) ([]UpkeepCare, error) {
	counts := map[string]upkeep.Count{}
	names := make([]string, len(c.Shop.Care.Intervals))
	for i, interval := range c.Shop.Care.Intervals {
		names[i] = interval.Name
	}
	for i := range done {
		d := &done[i]
		orDefault(&d.Cuts, 0)
		orDefault(&d.Area, 0)
		orDefault(&d.Hours, 0)
		if _, twice := counts[*d.Care]; twice {
			c.Refuse(fmt.Sprintf("%s.%d.care", field, i), "conflict", fmt.Sprintf("is %q, which another entry counts already", *d.Care))
		}
		counts[*d.Care] = upkeep.Count{Cuts: *d.Cuts, AreaMM2: float64(*d.Area), Hours: *d.Hours}
		if !slices.Contains(names, *d.Care) {
			c.Refuse(fmt.Sprintf("%s.%d.care", field, i), "unknown_name", fmt.Sprintf("is %q, which is none of the care intervals of the shop file; it has %s", *d.Care, rule.Alternatives(names)))
		}
	}
	if err := c.Checked(); err != nil {
		return nil, err
	}
	all := []UpkeepCare{}
	for _, i := range c.Shop.Care.Intervals {
		one, err := careFor(c, i, counts[i.Name].Plus(more))
		if err != nil {
			return nil, err
		}
		all = append(all, one)
	}
	slices.SortStableFunc(all, func(a, b UpkeepCare) int { return cmp.Compare(b.share, a.share) })
	return all, nil
}

func careFor(c *endpoint.Call, i shop.Interval, done upkeep.Count) (UpkeepCare, error) {
	interval := upkeep.Count{Cuts: endpoint.ValueOr(i.Cuts, 0), Hours: endpoint.ValueOr(i.Hours, 0)}
	if i.Area != nil {
		interval.AreaMM2 = float64(*shopArea(c, i.Area))
	}
	left, err := upkeep.Remaining(interval, done)
	if err != nil {
		return UpkeepCare{}, err
	}
	one := UpkeepCare{Name: i.Name, State: states[left.State], share: left.Share}
	if i.Cuts != nil {
		one.CutsLeft = &left.Cuts
	}
	if i.Area != nil {
		one.AreaLeft = new(endpoint.Area(left.AreaMM2))
	}
	if i.Hours != nil {
		one.HoursLeft = &left.Hours
	}
	return one, nil
}
