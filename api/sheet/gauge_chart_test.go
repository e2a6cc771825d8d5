package sheet_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// fourLeaves are in, thick, thin (at one place only, and thick at another) and in,
// against 0.050 in give or take 0.003.
const fourLeaves = "/v1/gauge?readings=0.050%200.051;0.053%200.054;0.054%200.046;0.050%200.051&places=middle%20top&target=0.05&advances=0.095"

// classed gives the shapes of a class.
func classed(list []shape, class string) []shape {
	return slices.DeleteFunc(slices.Clone(list), func(s shape) bool { return !slices.Contains(strings.Fields(s.attr["class"]), class) })
}

// height reads the y of a path that begins with M x y.
func height(t *testing.T, s shape) float64 {
	t.Helper()
	var x, y float64
	if _, err := fmt.Sscanf(s.attr["d"], "M%f %f", &x, &y); err != nil {
		t.Fatalf("%v: %v", s, err)
	}
	return y
}

// TestChartScale: the ends of every leaf stand where its thickest and thinnest
// reading are on the scale that the limits and the target set.
func TestChartScale(t *testing.T) {
	list := shapes(t, shown(t, "GET", fourLeaves+"&format=svg", ""))
	limits, target := classed(list, "limit"), classed(list, "target")
	if len(limits) < 2 || len(target) < 1 {
		t.Fatalf("%d limits, %d targets", len(limits), len(target))
	}
	zero, step := height(t, target[0]), (height(t, target[0])-height(t, limits[0]))/3 // a thousandth of an inch
	if below := (height(t, limits[1]) - zero) / step; math.Abs(below-3) > 0.01 {
		t.Errorf("the lower limit stands %v below the target", below)
	}
	spans := classed(list, "span")
	want := [][2]float64{{51, 50}, {54, 53}, {54, 46}, {51, 50}}
	if len(spans) != len(want) {
		t.Fatalf("%d leaves", len(spans))
	}
	for i, s := range spans {
		var x, top, bottom float64
		if _, err := fmt.Sscanf(s.attr["d"], "M%f %fV%f", &x, &top, &bottom); err != nil {
			t.Fatal(err)
		}
		if high, low := 50+(zero-top)/step, 50+(zero-bottom)/step; math.Abs(high-want[i][0]) > 0.01 || math.Abs(low-want[i][1]) > 0.01 {
			t.Errorf("leaf %d goes from %v to %v thou, want %v", i+1, low, high, want[i])
		}
	}
}

// TestChartVerdicts: marks differ by verdict in shape, and white ones ask for a look.
func TestChartVerdicts(t *testing.T) {
	marks := classed(shapes(t, shown(t, "GET", fourLeaves+"&format=svg", "")), "mark")
	var got []string
	for _, m := range marks {
		if strings.HasPrefix(m.attr["d"], "M") {
			got = append(got, strings.TrimPrefix(m.attr["class"], "mark ")+" "+m.attr["fill"])
		}
	}
	if want := []string{"in #000", "thick #fff", "thin #fff", "in #000"}; !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
}

// TestChartWords: nothing is written beyond the edge or over something else, even
// where mean and target are one, with long numbers, one leaf or very many.
func TestChartWords(t *testing.T) {
	many := strings.Repeat("99.123;99.125;", 150)
	for name, target := range map[string]string{
		"four leaves":     fourLeaves,
		"mean and target": "/v1/gauge?readings=0.05;0.05;0.05&target=0.05",
		"one leaf":        "/v1/gauge?readings=0.05",
		"very many":       "/v1/gauge?units=mm&target=99.124&tolerance=0.001&readings=" + strings.TrimSuffix(many, ";"),
		"a meter thick":   "/v1/gauge?units=mm&target=999.124&readings=999;999.1;999.2",
	} {
		list := shapes(t, shown(t, "GET", target+"&format=svg", ""))
		last, edge := math.Inf(-1), math.Inf(-1)
		words := 0
		for _, s := range list {
			if s.name != "text" || s.attr["transform"] != "" {
				continue
			}
			words++
			x, y, wide := s.number(t, "x"), s.number(t, "y"), 0.56*15*float64(len(s.text))
			switch {
			case s.attr["dy"] != "": // the names of lines, from above
				if y-last < 18.9 || x+wide > 620 || y > 270 {
					t.Errorf("%s: %q stands at %v %v", name, s.text, x, y)
				}
				last = y
			case s.attr["y"] == "282": // ordinals, from the left
				if x-wide/2 < edge {
					t.Errorf("%s: ordinal %s stands on its neighbour", name, s.text)
				}
				edge = x + wide/2
			default:
				if x+wide > 640 || y > 350 {
					t.Errorf("%s: %q stands at %v %v", name, s.text, x, y)
				}
			}
		}
		if words < 2 {
			t.Errorf("%s: only %d texts", name, words)
		}
	}
}

// TestChartSignals: Brown's boards 4, 5 and 7 are ringed.
func TestChartSignals(t *testing.T) {
	list := shapes(t, shown(t, "GET", "/v1/gauge?readings=1.7%201.73%201.71%201.72;1.67%201.72%201.7%201.71;1.69%201.72%201.7%201.68;1.74%201.73%201.75%201.72;1.7%201.68%201.66%201.67;1.71%201.72%201.72%201.74;1.66%201.69%201.68%201.68;1.71%201.75%201.74%201.72&format=svg", ""))
	rings, spans := classed(list, "signal"), classed(list, "span")
	if len(rings) != 3 || len(spans) != 8 {
		t.Fatalf("%d rings, %d leaves", len(rings), len(spans))
	}
	for i, leaf := range []int{4, 5, 7} {
		if x := fmt.Sprintf("M%s ", rings[i].attr["cx"]); !strings.HasPrefix(spans[leaf-1].attr["d"], x) {
			t.Errorf("ring %d stands at %s, not at leaf %d", i, rings[i].attr["cx"], leaf)
		}
	}
}

// TestGaugePage: the verdict, the advice and a row a leaf; without limits no verdict.
func TestGaugePage(t *testing.T) {
	page := shown(t, "GET", fourLeaves+"&format=html", "")
	text := textOf(parsed(t, page))
	for _, want := range []string{"2 of 4 leaves in tolerance", "Turn 1 division (0.001 in) less at every cut", "Readings: middle, top", "0.0540, 0.0460", "thin", "Kerf", "Sources", "Chart of 4 leaves"} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	if strings.Contains(text, "_") || !strings.Contains(text, "next advance: leaf = advance - kerf") {
		t.Errorf("the page calls a field as programs do: %s", text)
	}
	if rows := strings.Count(page, "<tr><th scope=\"row\">"); rows != 4 {
		t.Errorf("%d rows", rows)
	}
	plain := textOf(parsed(t, shown(t, "GET", "/v1/gauge?readings=0.05;0.051&format=html", "")))
	if !strings.Contains(plain, "No limits were given") || strings.Contains(plain, "Verdict") {
		t.Error("a page without limits judges leaves")
	}
	if all := textOf(parsed(t, shown(t, "GET", "/v1/gauge?readings=0.05;0.051&target=0.05&format=html", ""))); !strings.Contains(all, "All leaves are in tolerance") {
		t.Error("a page of good leaves does not say so")
	}
}

// textOf gives all text of a page.
func textOf(n *html.Node) string {
	if n.Type == html.TextNode {
		return n.Data
	}
	var b strings.Builder
	for c := range n.ChildNodes() {
		b.WriteString(textOf(c))
	}
	return b.String()
}
