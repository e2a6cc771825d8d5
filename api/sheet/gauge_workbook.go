package sheet

import (
	"cmp"
	"fmt"
	"strconv"

	"github.com/xuri/excelize/v2"

	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/calc/length"
)

// GaugeXLSX is a gauge's answer as a workbook: every leaf with its readings, and the
// saw with its chart.
var GaugeXLSX = endpoint.Whole("xlsx", TypeXLSX, gaugeWorkbook)

func gaugeWorkbook(a *calculator.GaugeAnswer, v endpoint.View) ([]byte, error) {
	title := count(len(a.Leaves), "leaf") + " measured"
	return writeWorkbook(title, "", v.Unit, func(w *workbook) {
		w.add("Leaves")
		w.stream(title, []string{gaugeLimits(a, v.Unit), "Lengths in " + unitNames[v.Unit] + "; a leaf is judged by its worst reading."}, gaugeTable(a))
		w.add("Saw")
		w.width(1, 34)
		w.width(2, 16)
		w.width(3, 22)
		w.put(1, 1, lookTitle, title)
		row := w.facts(3, gaugeFacts(a, rule.UnitName(v.Unit)))
		if advice := a.NextAdvance; advice != nil {
			row = w.lines(row, 12, "Next advance", []string{advice.Words})
		}
		row = w.lines(row, 12, "Warnings", a.Warnings)
		w.lines(row, 12, "Sources", a.Sources)
		if a.Chart != nil {
			w.chart(a)
		}
	})
}

// gaugeLimits says what a leaf may measure.
func gaugeLimits(a *calculator.GaugeAnswer, unit length.Length) string {
	q := a.Used
	switch {
	case q.Lower != nil:
		return "A leaf may measure " + fixed(*q.Lower, unit) + " to " + fixed(*q.Upper, unit) + " " + rule.UnitName(unit) + "."
	case q.Target != nil:
		return "A leaf is to measure " + fixed(*q.Target, unit) + ", " + fixed(*q.Tolerance, unit) + " " + rule.UnitName(unit) + " more or less."
	}
	return "No limits were given."
}

// fine is a length shown with a digit more than others, for a figure that many readings
// give.
type fine length.Length

// The number of columns that the chart shows; they follow the readings.
const chartColumns = 4 // the mean, and the chart's lower limit, centre and upper limit

// gaugeTable lists every leaf: its readings, the figures from them, and the limits of
// the chart.
func gaugeTable(a *calculator.GaugeAnswer) table {
	number := func(head string) tableColumn { return tableColumn{head, 10, lookAbove} }
	t := table{columns: []tableColumn{number("leaf")}}
	for i := range a.Used.Readings[0] {
		place := "reading " + strconv.Itoa(i+1)
		if i < len(a.Used.Places) {
			place = a.Used.Places[i]
		}
		t.columns = append(t.columns, number(place))
	}
	for _, head := range []string{"mean", "lower limit", "centre", "upper limit", "minimum", "maximum", "range"} {
		t.columns = append(t.columns, number(head))
	}
	t.columns = append(t.columns, tableColumn{"verdict", 10, lookHead})
	for i, l := range a.Leaves {
		row := []any{l.Leaf}
		for _, r := range a.Used.Readings[i] {
			row = append(row, fine(r))
		}
		row = append(row, fine(l.Mean))
		if c := a.Chart; c != nil {
			row = append(row, fine(c.Lower), fine(c.Centre), fine(c.Upper))
		} else {
			row = append(row, nil, nil, nil)
		}
		t.rows = append(t.rows, append(row, fine(l.Minimum), fine(l.Maximum), fine(l.Range), l.Verdict))
	}
	return t
}

// gaugeFacts are the figures of the saw, as far as the readings have them.
func gaugeFacts(a *calculator.GaugeAnswer, unit string) []fact {
	list := []fact{{"Leaves", len(a.Leaves), ""}}
	if a.InCount != nil {
		list = append(list, fact{"Within the limits", *a.InCount, ""})
	}
	list = append(list, fact{"Mean", fine(a.Mean), unit})
	if b := a.Brown; b != nil {
		if b.WithinSD != nil {
			list = append(list, fact{"Standard deviation within leaves", fine(*b.WithinSD), unit + " (Brown)"})
		}
		list = append(list, fact{"Standard deviation between leaves", fine(b.BetweenSD), unit + " (Brown)"}, fact{"Standard deviation of all", fine(b.TotalSD), unit + " (Brown)"})
	}
	if c := a.Capability; c != nil {
		list = append(list, ratio("Cp", c.Cp), ratio("Cpk", c.Cpk))
	}
	if c := a.Chart; c != nil {
		list = append(list, fact{"Lower limit of the chart", fine(c.Lower), unit}, fact{"Upper limit of the chart", fine(c.Upper), unit}, fact{"Signals", len(c.Signals), ""})
	}
	if f := a.Faces; f != nil {
		list = append(list, fact{"Lower limit that fits a saw", fine(f.Lower), unit}, fact{"Upper limit that fits a saw", fine(f.Upper), unit})
	}
	if k := a.Kerf; k != nil {
		list = append(list, fact{"Kerf", fine(k.Estimate), unit}, fact{"Kerf at least", fine(k.Low), unit}, fact{"Kerf at most", fine(k.High), unit})
	}
	return list
}

func ratio(name string, r calculator.GaugeRatio) fact {
	return fact{name, quotient(r.Estimate), fmt.Sprintf("from %.2f to %.2f", r.Low, r.High)}
}

// chart adds a chart of the spreadsheet program itself: the means of the leaves with
// the control limits.
func (w *workbook) chart(a *calculator.GaugeAnswer) {
	first := 2 + len(a.Used.Readings[0]) // the column of the mean
	column := func(i, row int) string {
		cell, err := excelize.CoordinatesToCellName(i, row, true)
		w.keep(err)
		return "Leaves!" + cell
	}
	const heads = 5
	last := heads + len(a.Leaves)
	looks := [chartColumns]excelize.LineOptions{{Width: 2.25}, {Width: 1, Dash: excelize.LineDashDash}, {Width: 1}, {Width: 1, Dash: excelize.LineDashDash}}
	chart := excelize.Chart{Type: excelize.Line, Dimension: excelize.ChartDimension{Width: 640, Height: 320}, Legend: excelize.ChartLegend{Position: "bottom"}}
	chart.Title = excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: "Mean of each leaf"}}}
	low, high := min(a.Chart.Lower, a.Leaves[0].Mean), max(a.Chart.Upper, a.Leaves[0].Mean)
	for _, l := range a.Leaves {
		low, high = min(low, l.Mean), max(high, l.Mean)
	}
	room := cmp.Or((high-low)/10, length.Thou)
	chart.XAxis.Font.Color = axisColour
	chart.YAxis = excelize.ChartAxis{Minimum: new((low - room).In(w.unit)), Maximum: new((high + room).In(w.unit)), MajorGridLines: true, NumFmt: excelize.ChartNumFmt{SourceLinked: true}, Font: excelize.Font{Color: axisColour}}
	for i := range chartColumns {
		at := first + i
		looks[i].Type, looks[i].Fill = excelize.LineSolid, excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{axisColour}}
		chart.Series = append(chart.Series, excelize.ChartSeries{
			Name: column(at, heads), Categories: column(1, heads+1) + ":" + afterSheet(column(1, last)),
			Values: column(at, heads+1) + ":" + afterSheet(column(at, last)),
			Line:   looks[i], Marker: excelize.ChartMarker{Symbol: map[bool]string{true: "circle", false: "none"}[i == 0], Size: 5},
		})
	}
	w.keep(w.file.AddChart(w.sheet, "E3", &chart))
}

// axisColour is dark enough to print.
const axisColour = "333333"

// afterSheet is a cell's name without that of its sheet.
func afterSheet(cell string) string { return cell[len("Leaves!"):] }
