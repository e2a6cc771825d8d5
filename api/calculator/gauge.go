package calculator

import (
	"errors"
	"fmt"
	"slices"

	"resawd/api/endpoint"
	"resawd/calc/gauge"
	"resawd/calc/length"
)

// GaugeRequest asks what readings of leaves show.
type GaugeRequest struct {
	Settings
	// Caliper readings of consecutive leaves of one board: a list for each leaf in the order of sawing, with equally
	// many readings in each
	Readings [][]length.Length `json:"readings,omitzero" validate:"required,min=1,max=1000,dive,min=1,max=10,dive,gt=0,within=..1m"`
	// Where on a leaf each of its readings was taken, by the height in the blade; without it, anywhere
	Places []string `json:"places,omitzero" validate:"omitempty,min=1,max=10,dive,oneof=top middle bottom"`
	// Where on a leaf each of its readings was taken, by its length, first being the end that is sawn first; without
	// it, anywhere
	Ends []string `json:"ends,omitzero" validate:"omitempty,min=1,max=10,dive,oneof=first last"`
	// Thickness aimed at, the same for all leaves; the middle of lower and upper by default
	Target *length.Length `json:"target,omitzero" validate:"omitempty,gt=0,within=..1m"`
	// How far from the target a leaf may be, either way; 0.003 in or 0.08 mm by default
	Tolerance *length.Length `json:"tolerance,omitzero" validate:"excluded_without=Target,excluded_with=Lower,omitempty,gt=0,within=..1in"`
	// The thinnest a leaf may be at any place
	Lower *length.Length `json:"lower,omitzero" validate:"required_with=Upper,omitempty,gte=0,within=..1m"`
	// The thickest a leaf may be at any place
	Upper *length.Length `json:"upper,omitzero" validate:"required_with=Lower,omitempty,gt=0,within=..1m"`
	// What the dial moved for each leaf; one entry is enough if all are alike. Without it the answer has no kerf
	Advances []length.Length `json:"advances,omitzero" validate:"omitempty,min=1,max=1000,dive,gt=0,within=..1m"`
	// The smallest step that the caliper shows
	CaliperStep *length.Length `json:"caliper_step,omitzero" validate:"omitempty,gte=0,within=..1in" absent:"0.0005in" metric:"0.01mm"`
	// Confidence of the intervals, and of a bias before the dial is moved
	Confidence *float64 `json:"confidence,omitzero" validate:"omitempty,gte=0.5,lte=0.9999" absent:"0.95"`
	// Travel of the screw in one turn; the saw's by default
	Lead *length.Length `json:"lead,omitzero" validate:"omitempty,gt=0,within=..1m"`
	// Marks around the dial; the saw's by default
	DivisionsPerTurn *int `json:"divisions_per_turn,omitzero" validate:"omitempty,gte=1,lte=10000"`
}

// GaugeAnswer is what the readings show.
type GaugeAnswer struct {
	// Every leaf in order
	Leaves []GaugeLeaf `json:"leaves"`
	// Mean of all readings
	Mean length.Length `json:"mean"`
	// Leaves within the limits at every place; absent without limits
	InCount *int `json:"in_count,omitzero"`
	// What the shape of the leaves shows; none without places or ends
	Findings []GaugeFinding `json:"findings"`
	// The three standard deviations of size control in sawmills; absent for one leaf
	Brown *GaugeDeviations `json:"brown,omitzero"`
	// Variance components of a one-way model, as standard deviations; absent for one leaf, and for one reading of each
	Components *GaugeDeviations `json:"components,omitzero"`
	// How the tolerance compares with the spread; absent for one leaf, without limits, and where there is no spread
	Capability *GaugeCapability `json:"capability,omitzero"`
	// The textbook's control chart; absent for one leaf
	Chart *GaugeChart `json:"chart,omitzero"`
	// The saw by its faces, whose errors make those of the leaves; absent for one leaf
	Faces *GaugeFaces `json:"faces,omitzero"`
	// Wood turned to dust by one pass; absent without advances
	Kerf *GaugeInterval `json:"kerf,omitzero"`
	// Travel of the carriage divided by that of the dial; present if the advances differ enough to show it
	Scale *GaugeRatio `json:"scale,omitzero"`
	// Why there is no scale
	NoScale string `json:"no_scale,omitzero" enums:"no_advances,few_leaves,advances_alike,unsure,absurd"`
	// Whether to touch the dial; absent for one leaf, without a target, where the leaves are not what the advances make,
	// and where the advances differ by more than the leaves may
	NextAdvance *GaugeAdvice `json:"next_advance,omitzero"`
	// Every input, given or defaulted
	Used *GaugeRequest `json:"used"`
	endpoint.Notes
}

// GaugeLeaf is one leaf as it was measured.
type GaugeLeaf struct {
	// Ordinal of the leaf
	Leaf int `json:"leaf"`
	// Mean of its readings
	Mean length.Length `json:"mean"`
	// Its least reading
	Minimum length.Length `json:"minimum"`
	// Its greatest reading
	Maximum length.Length `json:"maximum"`
	// The greatest reading less the least
	Range length.Length `json:"range"`
	// Verdict by the worst reading, not the mean. A leaf that is both too thin and too thick counts as thin, since
	// thick can be sanded; absent without limits
	Verdict string `json:"verdict,omitzero" enums:"in,thin,thick"`
}

// GaugeFinding is something in the shape of a leaf that the dial cannot mend.
type GaugeFinding struct {
	// A wedge differs from top to bottom, a taper from end to end, a barrel in the middle
	Finding string `json:"finding" enums:"wedge,taper,barrel"`
	// Ordinal of the leaf
	Leaf int `json:"leaf"`
	// Difference of top and bottom, of the first and the last end, or of the middle and the mean of top and bottom
	By length.Length `json:"by"`
	// Whether the next leaf differs the opposite way, so that the cut between the two strayed
	BadCut bool `json:"bad_cut"`
}

// GaugeDeviations are standard deviations.
type GaugeDeviations struct {
	// Standard deviation within leaves; absent for one reading of each
	WithinSD *length.Length `json:"within_sd,omitzero"`
	// Standard deviation between leaves
	BetweenSD length.Length `json:"between_sd"`
	// Standard deviation of all readings
	TotalSD length.Length `json:"total_sd"`
}

// GaugeRatio is a plain number with its confidence interval.
type GaugeRatio struct {
	// The best estimate
	Estimate float64 `json:"estimate"`
	// Low end of its confidence interval
	Low float64 `json:"low"`
	// High end of its confidence interval
	High float64 `json:"high"`
}

// GaugeInterval is a length with its confidence interval.
type GaugeInterval struct {
	// The best estimate
	Estimate length.Length `json:"estimate"`
	// Low end of its confidence interval
	Low length.Length `json:"low"`
	// High end of its confidence interval
	High length.Length `json:"high"`
}

// GaugeCapability is how the tolerance compares with the spread.
type GaugeCapability struct {
	// The tolerance divided by six standard deviations (Brown's total)
	Cp GaugeRatio `json:"cp"`
	// The distance of the mean from the nearer limit divided by three standard deviations
	Cpk GaugeRatio `json:"cpk"`
}

// GaugeChart is the textbook's control chart.
type GaugeChart struct {
	// xbar_r has the means and ranges of leaves, individuals single leaves and their moving ranges
	Kind string `json:"kind" enums:"xbar_r,individuals"`
	// Mean of the leaves
	Centre length.Length `json:"centre"`
	// Lower control limit, three sigma below the mean
	Lower length.Length `json:"lower"`
	// Upper control limit, three sigma above the mean
	Upper length.Length `json:"upper"`
	// Mean range
	RangeCentre length.Length `json:"range_centre"`
	// Lower control limit of the ranges
	RangeLower length.Length `json:"range_lower"`
	// Upper control limit of the ranges
	RangeUpper length.Length `json:"range_upper"`
	// Leaves at which one of Western Electric's tests is met
	Signals []GaugeSignal `json:"signals"`
}

// GaugeSignal is a leaf at which a test is met.
type GaugeSignal struct {
	// Ordinal of the leaf
	Leaf int `json:"leaf"`
	// The test: one beyond three sigma, two of three beyond two, four of five beyond one, eight in a row on one side
	Rule string `json:"rule" enums:"beyond_limits,two_of_three,four_of_five,eight_in_a_row"`
	// Which side of the centre
	Side string `json:"side" enums:"above,below"`
	// Whether the leaf's mean or its range meets the test
	Of string `json:"of" enums:"mean,range"`
}

// GaugeFaces is the saw by its faces.
type GaugeFaces struct {
	// Standard deviation of a face's error
	FaceSD length.Length `json:"face_sd"`
	// Standard deviation of a leaf between two faces
	LeafSD length.Length `json:"leaf_sd"`
	// Correlation of neighbouring leaves; near -0.5 where faces make the leaves
	LagOne float64 `json:"lag_one"`
	// Whether neighbours alternate as faces make them; if not, the intervals take leaves to be independent
	Alternating bool `json:"alternating"`
	// Lower limit that fits a saw: three of its leaf_sd below the mean
	Lower length.Length `json:"lower"`
	// Upper limit that fits a saw: three of its leaf_sd above the mean
	Upper length.Length `json:"upper"`
}

// GaugeAdvice is whether to touch the dial.
type GaugeAdvice struct {
	// Whether to change the advance
	Move bool `json:"move"`
	// The next advance; absent without advances
	Advance *length.Length `json:"advance,omitzero"`
	// What to add to the advance, in whole divisions; 0 to leave it
	Change length.Length `json:"change"`
	// How much too thick the leaves come out in the long run
	Bias GaugeInterval `json:"bias"`
	// Confidence that there is a bias of this sign at all
	Confidence float64 `json:"confidence"`
	// bias: the readings show one; noise: what they show may be noise; below_division: the bias is less than half a
	// division of the dial
	Reason string `json:"reason" enums:"bias,noise,below_division"`
	// The same in a sentence
	Words string `json:"words" text:"sentence"`
}

// Limits are the limits that the leaves were judged by, if there are any.
func (a *GaugeAnswer) Limits() (lower, upper length.Length, ok bool) {
	limits, ok := a.Used.limits()
	return limits.Lower, limits.Upper, ok
}

// Table gives the rows that csv shows.
func (a *GaugeAnswer) Table() any { return a.Leaves }

// Gauge answers what readings of leaves show.
//
//	@Summary		What caliper readings of the leaves show: verdicts, variation, and whether to touch the dial
//	@Description	A leaf is judged by its worst reading. The standard deviations come by two definitions, which are different figures from the same readings: Brown's three, and variance components.
//	@Description	A leaf's error is that of one face less that of the face before, so neighbours alternate. The textbook's chart is then too wide; its limits are given, and beside them, under faces, those that fit a saw. Kerf, scale and next_advance are found by least squares over the faces.
//	@Description	next_advance moves the dial only for a bias that is larger than its own uncertainty: correcting after every leaf makes the leaves vary 1.7 times as much.
//	@ID				gauge
//	@Tags			at the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		GaugeRequest	true	"The fields of the calculator"
//	@Success		200		{object}	GaugeAnswer
//	@Router			/v1/gauge [post]
func Gauge(c *endpoint.Call, q *GaugeRequest) (*GaugeAnswer, error) {
	saw, _ := machine(c, &q.Settings)
	q.fill(c)
	fill(c, "lead", &q.Lead, saw.Lead, saw.owner)
	fill(c, "divisions_per_turn", &q.DivisionsPerTurn, saw.DivisionsPerTurn, saw.owner)
	if q.inconsistent(c) {
		return nil, c.Checked()
	}
	a := &GaugeAnswer{Used: q, Findings: []GaugeFinding{}}
	if err := errors.Join(a.judge(q), a.shape(c, q)); err != nil {
		return nil, err
	}
	a.Sources = []string{"a leaf is judged by its worst reading (common practice)"}
	if len(q.Readings) < 2 {
		c.Warn("one leaf does not show how the saw varies: measure two or more in a row")
		return a, nil
	}
	if err := a.vary(c, q); err != nil {
		return nil, err
	}
	if err := a.faces(c, q); err != nil {
		return nil, err
	}
	return a, nil
}

// fill sets absent fields to their defaults.
func (q *GaugeRequest) fill(c *endpoint.Call) {
	if q.Lower != nil && q.Target == nil {
		orDefault(&q.Target, gauge.Limits{Lower: *q.Lower, Upper: *q.Upper}.Middle())
	}
	if q.Target != nil && q.Lower == nil {
		orDefault(&q.Tolerance, defaultTolerance(c))
	}
	if len(q.Advances) == 1 {
		q.Advances = slices.Repeat(q.Advances, len(q.Readings))
	}
}

// inconsistent refuses lists that do not fit each other and limits in the wrong order.
// It reports whether there were any.
func (q *GaugeRequest) inconsistent(c *endpoint.Call) bool {
	wrong := false
	refuse := func(path, detail string, args ...any) {
		wrong = true
		c.Refuse(path, "conflict", fmt.Sprintf(detail, args...))
	}
	first := len(q.Readings[0])
	for i, leaf := range q.Readings {
		if len(leaf) != first {
			refuse(fmt.Sprintf("readings.%d", i), "must have as many readings as the first leaf, %d; it has %d", first, len(leaf))
		}
	}
	for path, list := range map[string][]string{"places": q.Places, "ends": q.Ends} {
		if len(list) > 0 && len(list) != first {
			refuse(path, "must have an entry for each reading of a leaf, %d; it has %d", first, len(list))
		}
	}
	if n := len(q.Advances); n > 0 && n != len(q.Readings) {
		refuse("advances", "must have an entry for each leaf, %d, or one for all; it has %d", len(q.Readings), n)
	}
	if q.Lower != nil && *q.Upper <= *q.Lower {
		refuse("upper", "must be above lower, %s; %s was given", c.ShowAs("upper", *q.Lower), c.ShowAs("upper", *q.Upper))
	}
	return wrong
}

// limits are what a leaf may measure, if the request says so.
func (q *GaugeRequest) limits() (limits gauge.Limits, ok bool) {
	switch {
	case q.Lower != nil:
		return gauge.Limits{Lower: *q.Lower, Upper: *q.Upper}, true
	case q.Target != nil:
		return gauge.Around(*q.Target, *q.Tolerance), true
	}
	return limits, false
}
