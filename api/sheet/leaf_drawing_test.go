package sheet_test

import (
	"math"
	"strconv"
	"strings"
	"testing"
)

// dividedRun is of leaves 33 x 4 that give eight bindings of 3/8 with kerfs of 1/16,
// and one that gives three strips by six.
const dividedRun = `{"board": {"name": "maple-1 A1", "thickness": 1.5, "width": 4, "length": 33},
"leaves": [{"name": "back", "thickness": 0.14, "count": 2, "matched": 2},
{"name": "binding", "thickness": 0.08, "count": 4, "divided": {"side_by_side": 8, "length": 32, "width": "3/8", "kerf": "1/16"}},
{"name": "end strip", "thickness": 0.1, "count": 1, "divided": {"end_to_end": 6, "side_by_side": 3, "length": 5, "width": 1.25, "kerf": 0.02}}],
"kerf": 0.045, "skim": 0.05, "hold_back": 0.125}`

// TestLeafDrawing: the copies of a leaf lie where the sizes and the kerfs between say,
// to scale, and each has its number.
func TestLeafDrawing(t *testing.T) {
	var faces [][]shape // of divided leaves, in order
	list := shapes(t, shown(t, "POST", "/v1/run?format=svg", dividedRun))
	for i, s := range list {
		if s.attr["class"] == "leaf-face" {
			faces = append(faces, list[i:])
		}
	}
	if len(faces) != 2 {
		t.Fatalf("%d leaves are drawn, want 2", len(faces))
	}
	for i, want := range []struct {
		head          string
		along, across int
		long, wide    float64 // of a copy
		kerf          float64
	}{
		{"Leaves 3 to 6, 33.000 x 4.000, each into 8 x binding", 1, 8, 32, 0.375, 0.0625},
		{"Leaf 7, 33.000 x 4.000, into 18 x end strip", 6, 3, 5, 1.25, 0.02},
	} {
		face := faces[i]
		if got := face[1].text; got != want.head {
			t.Errorf("heading %q, want %q", got, want.head)
		}
		board := ofClass(face, "board")[0]
		x, y := board.number(t, "width")/33, board.number(t, "height")/4
		copies := ofClass(face, "billet")
		if len(copies) < want.along*want.across {
			t.Fatalf("%d copies are drawn, want %d", len(copies), want.along*want.across)
		}
		for n, c := range copies[:want.along*want.across] {
			for name, size := range map[string]float64{
				"x": board.number(t, "x") + x*float64(n%want.along)*(want.long+want.kerf), "width": x * want.long,
				"y": board.number(t, "y") + y*float64(n/want.along)*(want.wide+want.kerf), "height": y * want.wide,
			} {
				if math.Abs(c.number(t, name)-size) > 0.02 {
					t.Errorf("%s: copy %d has %s %s, want %.2f", want.head, n+1, name, c.attr[name], size)
				}
			}
		}
		for n := range want.along * want.across {
			if !hasText(face, strconv.Itoa(n+1)) {
				t.Errorf("%s: place %d has no number", want.head, n+1)
			}
		}
		if !hasText(face, "kerf "+strconv.FormatFloat(want.kerf+0.0001, 'f', 3, 64)) {
			t.Errorf("%s: the kerf is not told", want.head)
		}
	}
}

func hasText(list []shape, text string) bool {
	for _, s := range list {
		if strings.TrimSpace(s.text) == text {
			return true
		}
	}
	return false
}

// TestPageDivided: the page has a drawing of each, and the marks tell the copies.
func TestPageDivided(t *testing.T) {
	root := parsed(t, shown(t, "POST", "/v1/run?format=html", dividedRun))
	wantTexts(t, "drawings", texts(elements(section(t, root, "divided"), "figcaption", "")), []string{
		"Leaves 3 to 6, 33.000 x 4.000, each into 8 x binding", "Leaf 7, 33.000 x 4.000, into 18 x end strip",
	})
	checkIDs(t, root)
	if got, want := words(elements(root, "span", "mark")[2]), "top edge up, divide into 8 x binding: 1 end to end, 8 side by side"; got != want {
		t.Errorf("mark %q, want %q", got, want)
	}
	plain := parsed(t, shown(t, "POST", "/v1/run?format=html", `{"board": {"thickness": 1, "width": 4, "length": 33}, "leaf_thickness": 0.05}`))
	if found := elements(plain, "section", "divided"); len(found) > 0 {
		t.Error("leaves that stay whole are drawn as divided")
	}
}
