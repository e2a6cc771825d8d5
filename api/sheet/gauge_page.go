package sheet

import (
	"fmt"
	"html/template"
	"strconv"
	"strings"

	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/calc/length"
)

// The forms of a gauge's answer beside those that all calculators have: a page, and the
// chart on it.
var (
	GaugeHTML = endpoint.Whole("html", TypeHTML, gaugeSheetPage)
	GaugeSVG  = endpoint.Whole("svg", TypeSVG, gaugeDrawing)
)

// gaugePage is what gauge.html shows.
type gaugePage struct {
	*calculator.GaugeAnswer
	Count, UnitIn, Machine string
	Verdict, Places        string
	Drawing                template.HTML
	Figures                []figure
	Rows                   []gaugeRow
	Warnings, Sources      []string // with names as people say them
}

// gaugeRow is a leaf in the table.
type gaugeRow struct {
	Leaf                                      int
	Mean, Minimum, Maximum, Readings, Verdict string
}

// spoken writes the names of fields as people say them.
func spoken(lines []string) []string {
	told := make([]string, len(lines))
	for i, line := range lines {
		told[i] = strings.ReplaceAll(line, "_", " ")
	}
	return told
}

func gaugeSheetPage(a *calculator.GaugeAnswer, v endpoint.View) ([]byte, error) {
	drawing, err := gaugeDrawing(a, v)
	if err != nil {
		return nil, err
	}
	p := gaugePage{
		GaugeAnswer: a, Count: count(len(a.Leaves), "leaf"), UnitIn: unitNames[v.Unit],
		Verdict: gaugeVerdict(a), Places: strings.Join(a.Used.Places, ", "),
		Drawing: template.HTML(drawing), //nolint:gosec // our own drawing, whose words are escaped
		Figures: gaugeFigures(a, v.Unit), Warnings: spoken(a.Warnings), Sources: spoken(a.Sources),
	}
	if a.Used.Saw != nil {
		p.Machine = "saw " + *a.Used.Saw
	}
	for i, l := range a.Leaves {
		row := gaugeRow{
			Leaf: l.Leaf, Mean: finely(l.Mean, v.Unit), Minimum: finely(l.Minimum, v.Unit), Maximum: finely(l.Maximum, v.Unit),
			Verdict: l.Verdict,
		}
		var all []string
		for _, r := range a.Used.Readings[i] {
			all = append(all, finely(r, v.Unit))
		}
		row.Readings = strings.Join(all, ", ")
		p.Rows = append(p.Rows, row)
	}
	return Page("gauge.html", p)
}

// gaugeVerdict is the page's headline.
func gaugeVerdict(a *calculator.GaugeAnswer) string {
	switch {
	case a.InCount == nil:
		return "No limits were given, so no leaf is judged"
	case *a.InCount == len(a.Leaves):
		return "All leaves are in tolerance at every place measured"
	}
	return fmt.Sprintf("%d of %s in tolerance at every place measured", *a.InCount, count(len(a.Leaves), "leaf"))
}

// gaugeFigures are the figures beside the chart.
func gaugeFigures(a *calculator.GaugeAnswer, unit length.Length) []figure {
	in := " " + rule.UnitName(unit)
	between := func(low, high length.Length) string { return finely(low, unit) + " to " + finely(high, unit) + in }
	list := []figure{{"Mean", finely(a.Mean, unit) + in}}
	if a.Brown != nil {
		list = append(list, figure{"Standard deviation", finely(a.Brown.TotalSD, unit) + in})
	}
	if a.Kerf != nil {
		list = append(list, figure{"Kerf", finely(a.Kerf.Estimate, unit) + in}, figure{"Kerf, between", between(a.Kerf.Low, a.Kerf.High)})
	}
	if a.Capability != nil {
		k := a.Capability.Cpk
		list = append(list, figure{"Cpk", fmt.Sprintf("%.2f (%.2f to %.2f)", k.Estimate, k.Low, k.High)})
	}
	if a.Faces != nil {
		list = append(list, figure{"What the saw does", between(a.Faces.Lower, a.Faces.Upper)})
	}
	if a.Chart != nil {
		list = append(list, figure{"Textbook's chart", between(a.Chart.Lower, a.Chart.Upper)}, figure{"Signals", gaugeSignals(a)})
	}
	if a.NextAdvance != nil && a.NextAdvance.Advance != nil {
		list = append(list, figure{"Next advance", finely(*a.NextAdvance.Advance, unit) + in})
	}
	return list
}

// gaugeSignals lists the leaves at which a test is met.
func gaugeSignals(a *calculator.GaugeAnswer) string {
	var leaves []string
	for _, s := range a.Chart.Signals {
		if n := strconv.Itoa(s.Leaf); len(leaves) == 0 || leaves[len(leaves)-1] != n {
			leaves = append(leaves, n)
		}
	}
	switch len(leaves) {
	case 0:
		return "none"
	case 1:
		return "leaf " + leaves[0]
	}
	return "leaves " + strings.Join(leaves, ", ")
}
