package sheet_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

// ofClass gives the shapes of a class.
func ofClass(list []shape, class string) (found []shape) {
	for _, s := range list {
		if s.attr["class"] == class {
			found = append(found, s)
		}
	}
	return found
}

// firstFace gives the shapes of a drawing up to the first end view.
func firstFace(list []shape) []shape {
	for i, s := range list {
		if s.attr["class"] == "end" {
			return list[:i]
		}
	}
	return list
}

// TestFaceScale: every part of the oak boards' face where it lies on a board of
// 48 by 8, the area of the billets 4 x 20 x 3.5 of it.
func TestFaceScale(t *testing.T) {
	face := firstFace(shapes(t, shown(t, "POST", "/v1/plan?format=svg", oakSimple)))
	board := ofClass(face, "board")[0]
	x0, y0 := board.number(t, "x"), board.number(t, "y")
	along, across := board.number(t, "width")/48, board.number(t, "height")/8
	for class, want := range map[string][][4]float64{ // from, across, length, width
		"billet":   {{0.5, 0, 20, 3.5}, {0.5, 3.625, 20, 3.5}, {24, 0, 20, 3.5}, {24, 3.625, 20, 3.5}},
		"defect":   {{22, 0, 2, 8}},
		"end-trim": {{0, 0, 0.5, 8}, {47.5, 0, 0.5, 8}},
		"kerf": {
			{0.375, 0, 0.125, 8}, {20.5, 0, 0.125, 8}, {23.875, 0, 0.125, 8}, {44, 0, 0.125, 8},
			{0.5, 3.5, 20, 0.125}, {0.5, 7.125, 20, 0.125}, {24, 3.5, 20, 0.125}, {24, 7.125, 20, 0.125},
		},
		"offcut": {{0, 0, 48, 8}},
	} {
		found := ofClass(face, class)
		if len(found) != len(want) {
			t.Errorf("%d of %s, want %d", len(found), class, len(want))
			continue
		}
		for i, s := range found {
			got := [4]float64{(s.number(t, "x") - x0) / along, (s.number(t, "y") - y0) / across, s.number(t, "width") / along, s.number(t, "height") / across}
			for k := range got {
				if math.Abs(got[k]-want[i][k]) > 0.002 { // both ends to 0.01 of the drawing's units
					t.Errorf("%s %d lies at %.3v, want %v", class, i+1, got, want[i])
					break
				}
			}
		}
	}
	area := 0.0
	for _, s := range ofClass(face, "billet") {
		area += s.number(t, "width") * s.number(t, "height")
	}
	if got, want := area/(board.number(t, "width")*board.number(t, "height")), 4*20*3.5/(48*8); math.Abs(got-want) > 1e-3 {
		t.Errorf("billets cover %.4f of the face, want %.4f", got, want)
	}
}

// TestFaceWords: marks, positions of the crosscuts, sizes and what is not to
// the same scale.
func TestFaceWords(t *testing.T) {
	list := shapes(t, shown(t, "POST", "/v1/plan?format=svg", oakSimple))
	var texts []string
	for _, s := range list {
		if s.name == "text" {
			texts = append(texts, s.text)
		}
	}
	for _, want := range []string{"oak-1 A: 2 boards cut alike, thickness 1.000", "A1", "A2", "A3", "A4", "0.500", "20.500", "24.000", "44.000", "length 48.000, width 8.000 in", "defect", "offcut", "end trim", "A1, A2, A3, A4: 3 x top 0.200", "hold-back 0.100"} {
		if !slices.Contains(texts, want) {
			t.Errorf("the drawing does not say %q: %q", want, texts)
		}
	}
	if list[1].text != "Plan of 2 boards" || !strings.Contains(list[2].text, "2 boards cut in 1 way into 8 billets and resawn to 24 leaves") {
		t.Errorf("title %q, description %q", list[1].text, list[2].text)
	}
}

// TestFaceNarrow: where billets are too narrow for their marks, the width is
// drawn a whole number of times larger, and the drawing says so.
func TestFaceNarrow(t *testing.T) {
	drawing := shown(t, "POST", "/v1/plan?format=svg", `{"boards":[{"thickness":1,"width":4,"length":96}],"parts":[{"thickness":0.5,"width":0.9,"length":90,"quantity":4,"divide":false}],"kerf":0.05,"hold_back":0.1,"smallest_billet":{"width":0.5}}`)
	face := firstFace(shapes(t, drawing))
	board := ofClass(face, "board")[0]
	times := board.number(t, "height") / 4 / (board.number(t, "width") / 96)
	if whole := math.Round(times); whole < 2 || math.Abs(times-whole) > 0.01 || !strings.Contains(drawing, fmt.Sprintf("(width drawn x %g)", whole)) {
		t.Errorf("the width is drawn %g times as large, or the drawing does not say so", times)
	}
	for _, mark := range []string{">A1<", ">A2<", ">A3<", ">A4<"} {
		if !strings.Contains(drawing, mark) {
			t.Errorf("%s is not on the drawing", mark)
		}
	}
}

// TestPlanEndViews: skim, kerfs, leaves and rest of a billet cover its
// thickness, each to scale: 0.05, 4 x 0.05, 3 x 0.2, 0.05 and 0.1 of 1.
func TestPlanEndViews(t *testing.T) {
	list := shapes(t, shown(t, "POST", "/v1/plan?format=svg", oakSimple))
	end := list[len(firstFace(list)):]
	bands, board := parts(t, end)
	checkCover(t, bands, board)
	want := []float64{0.05, 0.05, 0.2, 0.05, 0.2, 0.05, 0.2, 0.05, 0.05, 0.1}
	if len(bands) != len(want) {
		t.Fatalf("%d bands, want %d", len(bands), len(want))
	}
	for i, b := range bands {
		if got := b.number(t, "width") / board.number(t, "width"); math.Abs(got-want[i]) > 1e-4 {
			t.Errorf("band %d, %s, is %g thick, want %g", i+1, b.attr["class"], got, want[i])
		}
	}
}

// TestPlanDrawingOneDimension: end views only.
func TestPlanDrawingOneDimension(t *testing.T) {
	list := shapes(t, shown(t, "POST", "/v1/plan?format=svg", slats(3)))
	if len(ofClass(list, "face")) != 0 || len(ofClass(list, "end")) != 1 {
		t.Error("the drawing is not one end view")
	}
	if got := len(ofClass(list, "leaf")); got != 6 {
		t.Errorf("%d leaves, want 6", got)
	}
}

// TestPlanDrawingSame: the same bytes twice, and the page has the same faces.
func TestPlanDrawingSame(t *testing.T) {
	one := shown(t, "POST", "/v1/plan?format=svg", oakSimple)
	if two := shown(t, "POST", "/v1/plan?format=svg", oakSimple); two != one {
		t.Error("the drawing differs the second time")
	}
	page := shown(t, "POST", "/v1/plan?format=html", oakSimple)
	_, face, _ := strings.Cut(one, `<g class="face"`)
	_, face, _ = strings.Cut(face, "\n")
	face, _, _ = strings.Cut(face, `<text class="end-words"`)
	if face = strings.TrimSuffix(strings.TrimSpace(face), "</g>"); len(face) < 2000 || !strings.Contains(page, strings.TrimSpace(face)) {
		t.Error("the page holds another face")
	}
}

// TestPlanDrawingBounded: an order of forty parts, each filling a board of its
// own, draws the first boards and counts the rest; one of many small billets
// and one of a billet of more leaves than a run stay small.
func TestPlanDrawingBounded(t *testing.T) {
	for name, row := range map[string]struct{ body, more string }{
		"forty ways":   {kinds(40), "and 16 more boards"},
		"many billets": {`{"units":"mm","boards":[{"thickness":20,"width":400,"length":2000,"quantity":1}],"parts":[{"thickness":15,"width":9,"length":19,"quantity":2000}],"kerf":1,"hold_back":2,"rip_kerf":1,"crosscut_kerf":1}`, ""},
		"many leaves":  {`{"units":"mm","boards":[{"thickness":20000,"quantity":1}],"parts":[{"thickness":1,"quantity":10001}],"kerf":0.5,"hold_back":2}`, "1 billet not drawn"},
	} {
		drawing := shown(t, "POST", "/v1/plan?format=svg", row.body)
		if shapes(t, drawing); len(drawing) > 250_000 || !strings.Contains(drawing, row.more) {
			t.Errorf("%s: %d bytes, or %q is not told", name, len(drawing), row.more)
		}
		if n := strings.Count(drawing, `class="billet"`); n > 300 {
			t.Errorf("%s: %d billets are drawn, want at most 300", name, n)
		}
		if page := shown(t, "POST", "/v1/plan?format=html", row.body); len(elements(parsed(t, page), "tr", "billet")) == 0 || strings.Contains(page, "NaN") {
			t.Errorf("%s: the page has no billets, or sizes that are no numbers", name)
		}
	}
}
