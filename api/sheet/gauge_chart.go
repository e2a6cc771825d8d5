package sheet

import (
	"fmt"
	"slices"
	"strconv"

	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/calc/length"
)

// The place of the plot on the chart, and the least distance of labels.
const (
	plotLeft   = 46.0
	plotRight  = 424.0
	plotTop    = 22.0
	plotBottom = 262.0
	labelStep  = 19.0
	mostMarked = 12 // ordinals along the foot
)

// gaugeChart is what gauge.svg shows.
type gaugeChart struct {
	Title, About string
	Unit         string
	Lines        []chartLine
	Marks        []chartMark
	Ordinals     []label
	Band         *chartBand // between the limits of the tolerance
	Join         string     // from mean to mean
	Stroke       float64    // of the leaves: thinner where they crowd
	Key          []chartKey
}

// chartLine is a limit, the target or the mean.
type chartLine struct {
	Class, Text string
	Y, LabelY   float64
	value       length.Length
}

// Dash sets the lines apart without colour.
func (l chartLine) Dash() string {
	return map[string]string{"target": "14 4 3 4", "saw": "5 5", "mean": "1 3"}[l.Class]
}

// Width sets the limits apart from other lines.
func (l chartLine) Width() float64 {
	if l.Class == "limit" {
		return 2.5
	}
	return 1.3
}

// chartBand is the tolerance.
type chartBand struct{ Y, Height float64 }

// chartMark is a leaf: a line from its thinnest to its thickest place, and its mean
// with a mark for its verdict.
type chartMark struct {
	Leaf          int
	Verdict       string
	Signal        bool
	X, Y          float64
	Top, Bottom   float64
	Size          float64
	About, Symbol string
}

// chartKey explains a mark or a line.
type chartKey struct {
	X, Y         float64
	Class, Text  string
	Symbol, Dash string
	Filled       bool
	Width        float64
}

// Filled reports whether the mark is black: white marks ask for attention.
func (m chartMark) Filled() bool { return m.Verdict == "in" || m.Verdict == "" }

// plotter places lengths on the chart.
type plotter struct {
	low, high length.Length
	count     int
}

func (p plotter) y(l length.Length) float64 {
	return round2(plotBottom - (plotBottom-plotTop)*(l-p.low).In(p.high-p.low))
}

// x is where a leaf stands.
func (p plotter) x(leaf int) float64 {
	return round2(plotLeft + (plotRight-plotLeft)*(float64(leaf)-0.5)/float64(p.count))
}

// gaugeDrawing draws the chart of a gauge's answer.
func gaugeDrawing(a *calculator.GaugeAnswer, v endpoint.View) ([]byte, error) {
	return Page("gauge.svg", chartOf(a, v.Unit))
}

func chartOf(a *calculator.GaugeAnswer, unit length.Length) gaugeChart {
	c := gaugeChart{Title: "Chart of " + count(len(a.Leaves), "leaf"), Unit: rule.UnitName(unit)}
	c.Lines = chartLines(a, unit)
	p := plotterOf(a, c.Lines)
	for i := range c.Lines {
		c.Lines[i].Y = p.y(c.Lines[i].value)
	}
	spread(c.Lines)
	c.Band = toleranceBand(c.Lines)
	signals := map[int]bool{}
	if a.Chart != nil {
		for _, s := range a.Chart.Signals {
			signals[s.Leaf] = true
		}
	}
	size := min(6, 0.4*(p.x(2)-p.x(1)))
	c.Stroke = round2(min(1.5, size/4))
	for i, leaf := range a.Leaves {
		m := chartMark{
			Leaf: leaf.Leaf, Verdict: leaf.Verdict, Signal: signals[leaf.Leaf],
			X: p.x(leaf.Leaf), Y: p.y(leaf.Mean), Top: p.y(leaf.Maximum), Bottom: p.y(leaf.Minimum), Size: size,
		}
		m.Symbol = symbol(m.Verdict, m.X, m.Y, size)
		m.About = fmt.Sprintf("leaf %d: %s to %s %s %s", leaf.Leaf, fixed(leaf.Minimum, unit), fixed(leaf.Maximum, unit), c.Unit, leaf.Verdict)
		c.Marks = append(c.Marks, m)
		step := "L"
		if i == 0 {
			step = "M"
		}
		c.Join += fmt.Sprintf("%s%g %g", step, m.X, m.Y)
		if (leaf.Leaf-1)%((len(a.Leaves)+mostMarked-1)/mostMarked) == 0 {
			c.Ordinals = append(c.Ordinals, label{m.X, strconv.Itoa(leaf.Leaf)})
		}
	}
	c.Key = chartKeys(a, c.Lines)
	c.About = chartAbout(a, unit)
	return c
}

// chartLines lists the lines of the chart with their words.
func chartLines(a *calculator.GaugeAnswer, unit length.Length) []chartLine {
	var lines []chartLine
	add := func(class, name string, at length.Length) {
		lines = append(lines, chartLine{Class: class, Text: name + " " + finely(at, unit), value: at})
	}
	if lower, upper, ok := a.Limits(); ok {
		add("limit", "upper limit", upper)
		add("limit", "lower limit", lower)
	}
	if a.Used.Target != nil {
		add("target", "target", *a.Used.Target)
	}
	if a.Faces != nil {
		add("saw", "the saw, high", a.Faces.Upper)
		add("saw", "the saw, low", a.Faces.Lower)
		add("mean", "mean", a.Mean)
	}
	return lines
}

// finely writes a length with a digit more than a caliper shows, for what many readings
// give.
func finely(l, unit length.Length) string {
	return l.Fixed(unit, rule.Decimals(unit)+1)
}

// plotterOf makes room for all leaves and lines, and a little more.
func plotterOf(a *calculator.GaugeAnswer, lines []chartLine) plotter {
	p := plotter{low: a.Leaves[0].Minimum, high: a.Leaves[0].Maximum, count: len(a.Leaves)}
	for _, l := range a.Leaves {
		p.low, p.high = min(p.low, l.Minimum), max(p.high, l.Maximum)
	}
	for _, l := range lines {
		p.low, p.high = min(p.low, l.value), max(p.high, l.value)
	}
	pad := max((p.high-p.low)/20, length.Micrometre)
	p.low, p.high = p.low-pad, p.high+pad
	return p
}

// spread moves labels apart that would overlap, and keeps their order.
func spread(lines []chartLine) {
	slices.SortStableFunc(lines, func(a, b chartLine) int { return int(100 * (a.Y - b.Y)) })
	last := plotTop - labelStep
	for i := range lines {
		last = max(last+labelStep, lines[i].Y)
		lines[i].LabelY = last
	}
	next := plotBottom + labelStep
	for i := len(lines) - 1; i >= 0; i-- {
		next = min(next-labelStep, lines[i].LabelY)
		lines[i].LabelY = round2(next)
	}
}

// toleranceBand lies between the limits.
func toleranceBand(lines []chartLine) *chartBand {
	var at []float64
	for _, l := range lines {
		if l.Class == "limit" {
			at = append(at, l.Y)
		}
	}
	if len(at) < 2 {
		return nil
	}
	return &chartBand{at[0], round2(at[1] - at[0])}
}

// symbol is the outline of a leaf's mark: a disc for a leaf within its limits, a wedge
// that points to the limit that another exceeds.
func symbol(verdict string, x, y, size float64) string {
	switch verdict {
	case "thin":
		return fmt.Sprintf("M%g %gH%gL%g %gZ", round2(x-size), round2(y-size*0.8), round2(x+size), x, round2(y+size))
	case "thick":
		return fmt.Sprintf("M%g %gH%gL%g %gZ", round2(x-size), round2(y+size*0.8), round2(x+size), x, round2(y-size))
	}
	r := round2(size * 0.75)
	return fmt.Sprintf("M%g %ga%g %g 0 1 0 %g 0a%g %g 0 1 0 %g 0Z", round2(x-r), y, r, r, 2*r, r, r, -2*r)
}

// chartKeys explain the marks and lines that are there.
func chartKeys(a *calculator.GaugeAnswer, lines []chartLine) []chartKey {
	var keys []chartKey
	add := func(k chartKey) {
		k.X, k.Y = 60+190*float64(len(keys)%3), 318+22*float64(len(keys)/3)
		keys = append(keys, k)
	}
	for _, v := range []struct{ verdict, text string }{{"in", "in tolerance"}, {"thin", "thin somewhere"}, {"thick", "thick somewhere"}} {
		if slices.ContainsFunc(a.Leaves, func(l calculator.GaugeLeaf) bool { return l.Verdict == v.verdict }) {
			add(chartKey{Class: v.verdict, Text: v.text, Filled: v.verdict == "in"})
		}
	}
	if a.Chart != nil && len(a.Chart.Signals) > 0 {
		add(chartKey{Class: "signal", Text: "signal"})
	}
	for _, l := range []struct{ class, text string }{{"limit", "tolerance"}, {"target", "target"}, {"saw", "what the saw does"}} {
		if i := slices.IndexFunc(lines, func(line chartLine) bool { return line.Class == l.class }); i >= 0 {
			add(chartKey{Class: l.class, Text: l.text, Dash: lines[i].Dash(), Width: lines[i].Width()})
		}
	}
	for i := range keys {
		keys[i].Symbol = symbol(keys[i].Class, keys[i].X-16, keys[i].Y-5, 6)
	}
	return keys
}

// Line reports whether the key explains a line.
func (k chartKey) Line() bool { return k.Width > 0 }

// chartAbout says in words what the chart shows.
func chartAbout(a *calculator.GaugeAnswer, unit length.Length) string {
	text := fmt.Sprintf("%s in the order of sawing, each from its thinnest to its thickest place. The mean of all is %s %s.",
		count(len(a.Leaves), "leaf"), finely(a.Mean, unit), rule.UnitName(unit))
	if a.InCount != nil {
		text += fmt.Sprintf(" %d of %d are within the limits.", *a.InCount, len(a.Leaves))
	}
	return text
}
