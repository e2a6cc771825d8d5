package calculator

import (
	"errors"
	"fmt"
	"slices"

	"resawd/api/endpoint"
	"resawd/calc/dial"
	"resawd/calc/fault"
	"resawd/calc/gauge"
	"resawd/calc/length"
)

// The names on the wire.
var (
	verdicts   = map[gauge.Verdict]string{gauge.In: "in", gauge.Thin: "thin", gauge.Thick: "thick"}
	places     = map[string]gauge.Place{"top": gauge.Top, "middle": gauge.Middle, "bottom": gauge.Bottom}
	ends       = map[string]gauge.End{"first": gauge.FirstEnd, "last": gauge.LastEnd}
	findings   = map[gauge.Finding]string{gauge.Wedge: "wedge", gauge.Taper: "taper", gauge.Barrel: "barrel"}
	chartKinds = map[gauge.Kind]string{gauge.XbarR: "xbar_r", gauge.Individuals: "individuals"}
	chartRules = map[gauge.Rule]string{
		gauge.BeyondLimits: "beyond_limits", gauge.TwoOfThree: "two_of_three", gauge.FourOfFive: "four_of_five", gauge.EightInARow: "eight_in_a_row",
	}
	noScales = map[gauge.NoScale]string{
		gauge.NoAdvances: "no_advances", gauge.FewLeaves: "few_leaves", gauge.AdvancesAlike: "advances_alike", gauge.ScaleUnsure: "unsure", gauge.ScaleAbsurd: "absurd",
	}
	adviceReasons = map[gauge.Reason]string{gauge.Bias: "bias", gauge.Noise: "noise", gauge.BelowDivision: "below_division"}
)

// judge adds every leaf with its verdict.
func (a *GaugeAnswer) judge(q *GaugeRequest) error {
	readings := gauge.Readings(q.Readings)
	leaves, err := readings.Leaves()
	if err != nil {
		return err
	}
	if a.Mean, err = readings.Mean(); err != nil {
		return err
	}
	limits, judged := q.limits()
	in := 0
	for i, l := range leaves {
		leaf := GaugeLeaf{Leaf: i + 1, Mean: l.Mean, Minimum: l.Minimum, Maximum: l.Maximum, Range: l.Range()}
		if judged {
			v := l.Verdict(limits)
			leaf.Verdict = verdicts[v]
			if v == gauge.In {
				in++
			}
		}
		a.Leaves = append(a.Leaves, leaf)
	}
	if judged {
		a.InCount = &in
	}
	return nil
}

// maxFindingWords is how many findings become warnings.
const maxFindingWords = 8

// shape adds what the dial cannot correct, as far as the places of the readings are
// known. A leaf may differ by the tolerance, or by half of the distance between its
// limits.
func (a *GaugeAnswer) shape(c *endpoint.Call, q *GaugeRequest) error {
	limits, judged := q.limits()
	if !slices.Contains(q.Places, "middle") {
		c.Warn("no reading is said to be at mid-height (places): a leaf that is thick or thin there, as a bowed blade makes it, would go unseen")
	}
	if !judged {
		return nil
	}
	spots := make([]gauge.Spot, len(q.Readings[0]))
	for i, p := range q.Places {
		spots[i].Place = places[p]
	}
	for i, e := range q.Ends {
		spots[i].End = ends[e]
	}
	found, err := gauge.Shape(q.Readings, spots, limits.Upper-limits.Middle())
	if err != nil {
		return err
	}
	for _, f := range found {
		if f.Finding == gauge.MidUnseen {
			continue // warned of above
		}
		a.Findings = append(a.Findings, GaugeFinding{findings[f.Finding], f.Leaf, f.By, f.Pair})
		if len(a.Findings) <= maxFindingWords {
			c.Warn(findingWords(c, f))
		}
	}
	if n := len(a.Findings); n > maxFindingWords {
		c.Warn(fmt.Sprintf("findings lists %d of these, of which the first %d are described here", n, maxFindingWords))
	}
	return nil
}

// vary adds the standard deviations, the capability and the textbook's chart.
func (a *GaugeAnswer) vary(c *endpoint.Call, q *GaugeRequest) error {
	b, err := gauge.Brown(q.Readings)
	if err != nil {
		return err
	}
	a.Brown = deviations(b)
	if len(q.Readings[0]) < 2 {
		a.Brown.WithinSD = nil
	} else if err := a.components(c, q); err != nil {
		return err
	}
	chart, err := gauge.NewChart(q.Readings)
	if err != nil {
		return err
	}
	a.Chart = chartOf(chart)
	a.Sources = append(a.Sources,
		"brown: within, between and total standard deviation (T. D. Brown, Lumber Size Control, EM 8731, Oregon State University, 2000, page 22)",
		"chart: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2; signals: Western Electric, Statistical Quality Control Handbook, 1956",
	)
	return a.capability(q, b.Total)
}

func deviations(d gauge.Deviations) *GaugeDeviations {
	return &GaugeDeviations{WithinSD: &d.Within, BetweenSD: d.Between, TotalSD: d.Total}
}

func (a *GaugeAnswer) components(c *endpoint.Call, q *GaugeRequest) error {
	d, clamped, err := gauge.Components(q.Readings)
	if err != nil {
		return err
	}
	if clamped {
		c.Warn("components: the leaves differ by less than their own readings explain, so between_sd is given as 0")
	}
	a.Components = deviations(d)
	a.Sources = append(a.Sources, "components: expected mean squares of a one-way random model (e-Handbook 7.4.4)")
	return nil
}

// capability compares the limits with the spread, if there are both.
func (a *GaugeAnswer) capability(q *GaugeRequest, total length.Length) error {
	limits, judged := q.limits()
	if !judged || total == 0 {
		return nil
	}
	n := len(q.Readings)
	k, err := gauge.NewCapability(gauge.Process{
		Mean: a.Mean, SD: total, Limits: limits, Count: n, Degrees: gauge.SawDegrees(n), Confidence: *q.Confidence,
	})
	if err != nil {
		return err
	}
	a.Capability = &GaugeCapability{Cp: GaugeRatio(k.Cp), Cpk: GaugeRatio(k.Cpk)}
	a.Sources = append(a.Sources, "capability: e-Handbook 6.1.6, with two thirds of the degrees of freedom, since neighbours alternate")
	return nil
}

func chartOf(k gauge.Chart) *GaugeChart {
	chart := &GaugeChart{
		Kind: chartKinds[k.Kind], Centre: k.Centre, Lower: k.Lower, Upper: k.Upper,
		RangeCentre: k.RangeCentre, RangeLower: k.RangeLower, RangeUpper: k.RangeUpper, Signals: []GaugeSignal{},
	}
	for _, s := range k.Signals {
		signal := GaugeSignal{Leaf: s.Leaf, Rule: chartRules[s.Rule], Side: "below", Of: "mean"}
		if s.Above {
			signal.Side = "above"
		}
		if s.Range {
			signal.Of = "range"
		}
		chart.Signals = append(chart.Signals, signal)
	}
	return chart
}

// faces adds the saw by its faces, the kerf, and the advice on the dial.
func (a *GaugeAnswer) faces(c *endpoint.Call, q *GaugeRequest) error {
	s := gauge.Series{Advances: q.Advances, Step: *q.CaliperStep, Confidence: *q.Confidence}
	for _, l := range a.Leaves {
		s.Leaves = append(s.Leaves, l.Mean)
	}
	f, err := gauge.Faces(s)
	var at *fault.Entry
	var out *fault.OutOfRange
	if errors.As(err, &at) && errors.As(err, &out) {
		c.RefuseRange(fmt.Sprintf("readings.%d", at.Index), out)
		return c.Checked()
	}
	if err != nil {
		return err
	}
	a.fit(c, f)
	a.Sources = append(a.Sources, "faces, kerf, scale, next_advance: leaf = advance - kerf + error of its face - error of the face before (definition), least squares over the faces, Student's t")
	if q.Target == nil || f.NoScale == gauge.ScaleAbsurd || q.severalThicknesses(c) {
		return nil
	}
	advice, err := f.Next(*q.Target, dial.Screw{Lead: *q.Lead, DivisionsPerTurn: *q.DivisionsPerTurn})
	if err != nil {
		return err
	}
	a.NextAdvance = adviceOf(c, q, advice)
	return nil
}

// severalThicknesses warns of leaves that cannot all have been aimed at the target: their
// advances differ by more than the leaves may.
func (q *GaugeRequest) severalThicknesses(c *endpoint.Call) bool {
	limits, _ := q.limits()
	if len(q.Advances) == 0 || slices.Max(q.Advances)-slices.Min(q.Advances) <= limits.Upper-limits.Lower {
		return false
	}
	c.Warn("the advances differ by " + rounded(c, slices.Max(q.Advances)-slices.Min(q.Advances)) + ", so these leaves were not all to measure " + rounded(c, *q.Target) +
		": kerf and scale hold, but ask for each thickness by itself for verdicts, a chart and what to do with the dial")
	return true
}

// fit adds what the fit over the faces gives, and warns if it is not to be trusted.
func (a *GaugeAnswer) fit(c *endpoint.Call, f gauge.Fit) {
	limits := f.Limits(a.Mean)
	a.Faces = &GaugeFaces{FaceSD: f.FaceSD, LeafSD: f.LeafSD, LagOne: f.LagOne, Alternating: f.Alternating, Lower: limits.Lower, Upper: limits.Upper}
	if f.Kerf != nil {
		a.Kerf = new(GaugeInterval(*f.Kerf))
	}
	if f.Scale != nil {
		a.Scale = new(GaugeRatio(*f.Scale))
	}
	a.NoScale = noScales[f.NoScale]
	if !f.Alternating {
		c.Warn("neighbouring leaves do not alternate as faces make them: more than the faces varies (readings, a drift, a board that moves), so the intervals take the leaves for independent and are wider")
	}
	if f.NoScale == gauge.ScaleUnsure {
		c.Warn(fmt.Sprintf("scale: the advances differ too little to tell it from the kerf; it would be known to %.2g either way, and is given only if that is at most 0.02", f.ScaleWithin))
	}
	if f.NoScale == gauge.ScaleAbsurd {
		c.Warn("scale: these leaves are not what these advances make: look whether each advance stands beside its own leaf, and whether the screw held; nothing is said of the next advance")
	}
}
