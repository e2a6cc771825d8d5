package sheet_test

import (
	"math"
	"strconv"
	"strings"
	"testing"
)

// Orders of which every billet is known.
const (
	// Two plates of 10 by 4 with a kerf of 0.02 between fill a leaf of the board's face;
	// each goes to a box of its own.
	boxes = `{"boards":[{"name":"ash","thickness":0.5,"width":4,"length":20.02,"quantity":1}],
"parts":[{"name":"plate","thickness":0.1,"width":4,"length":10,"quantity":2}],"kits":[{"name":"box","quantity":2,"parts":[{"part":"plate","quantity":1}]}],
"kerf":0.05,"hold_back":0.1,"leaf_kerf":0.02}`
	// 24 strips of 0.375 by 32: two leaves of twelve, 12 x 0.375 + 11 x 0.02 = 4.72 wide.
	strips = `{"boards":[{"name":"maple","thickness":0.5,"width":5,"length":34,"quantity":1}],
"parts":[{"name":"binding","thickness":0.08,"width":0.375,"length":32,"quantity":24}],"kerf":0.045,"hold_back":0.125,"leaf_kerf":0.02}`
	// 40 billets of one leaf, for a leaf of 0.7 and no second fits into 1: ten lengths of
	// 12 with nine kerfs of 1/8, and four widths of 2 with three.
	fortyBillets = `{"boards":[{"name":"cherry","thickness":1,"width":8.375,"length":121.125,"quantity":1}],
"parts":[{"name":"tile","thickness":0.7,"width":2,"length":12,"quantity":40,"divide":false}],"kerf":0.05,"hold_back":0.1}`
)

// after gives the shapes of a drawing from the first of a class on.
func after(t *testing.T, list []shape, class string) []shape {
	t.Helper()
	for i, s := range list {
		if s.attr["class"] == class {
			return list[i:]
		}
	}
	t.Fatalf("there is no %s", class)
	return nil
}

// TestPlanLeaves: a leaf of a billet is drawn with its copies to scale, and each place
// says whose its copy is.
func TestPlanLeaves(t *testing.T) {
	list := shapes(t, shown(t, "POST", "/v1/plan?format=svg", boxes))
	if got := after(t, list, "leaf-face-words")[0].text; got != "A1, leaf 1, 20.020 x 4.000, into 2 x plate" {
		t.Errorf("heading %q", got)
	}
	leaf := after(t, list, "leaf-face")
	board := ofClass(leaf, "board")[0]
	scale := board.number(t, "width") / 20.02
	copies := ofClass(leaf, "billet")
	if len(copies) != 2 {
		t.Fatalf("%d copies, want 2", len(copies))
	}
	for i, c := range copies {
		for name, want := range map[string]float64{"x": board.number(t, "x") + scale*10.02*float64(i), "width": scale * 10, "y": board.number(t, "y"), "height": board.number(t, "height")} {
			if math.Abs(c.number(t, name)-want) > 0.02 {
				t.Errorf("copy %d has %s %s, want %.2f", i+1, name, c.attr[name], want)
			}
		}
	}
	for _, want := range []string{"1", "2", "box 1", "box 2", "each 10.000 x 4.000 in", "kerf 0.020"} {
		if !hasText(leaf, want) {
			t.Errorf("the leaf does not say %q", want)
		}
	}
	if face := firstFace(list); !hasText(face, "box 1, box 2") || !hasText(face, "box 1: plate A1 no. 1 place 1") || !hasText(face, "box 2: plate A1 no. 1 place 2") {
		t.Error("the face does not say which kits come of it")
	}
}

// TestPlanStrips: every strip has its number, and where the billet was ripped stands on it.
func TestPlanStrips(t *testing.T) {
	list := shapes(t, shown(t, "POST", "/v1/plan?format=svg", strips))
	if face := firstFace(list); !hasText(face, "rip 4.720") || !hasText(face, "4.720 x 32.000") {
		t.Error("the face does not say where to rip")
	}
	leaf := after(t, list, "leaf-face")
	for place := range 12 {
		if !hasText(leaf, strconv.Itoa(place+1)) {
			t.Errorf("place %d has no number", place+1)
		}
	}
	if !hasText(leaf, "each 32.000 x 0.375 in (width drawn x 3)") {
		t.Error("the size of a strip is not given")
	}
}

// TestPlanTrimmed: a leaf that is larger than its part is drawn with what comes off, one
// that is not has no drawing.
func TestPlanTrimmed(t *testing.T) {
	list := shapes(t, shown(t, "POST", "/v1/plan?format=svg", `{"boards":[{"thickness":1,"width":8,"length":20,"quantity":1}],
		"parts":[{"name":"top","thickness":0.2,"width":8,"length":20,"quantity":2},{"name":"tab","thickness":0.15,"width":3,"length":15,"quantity":1,"divide":false}],"kerf":0.05,"hold_back":0.1}`))
	if n := len(ofClass(list, "leaf-face")); n != 1 {
		t.Fatalf("%d leaves are drawn, want 1", n)
	}
	if got := after(t, list, "leaf-face-words")[0].text; got != "A1, leaf 3, 20.000 x 8.000, trimmed to 1 x tab" {
		t.Errorf("heading %q", got)
	}
	leaf := after(t, list, "leaf-face")
	part, board := ofClass(leaf, "billet")[0], ofClass(leaf, "board")[0]
	if got, want := part.number(t, "width")*part.number(t, "height")/(board.number(t, "width")*board.number(t, "height")), 15*3/(20*8.0); math.Abs(got-want) > 1e-3 {
		t.Errorf("the part covers %.4f of the leaf, want %.4f", got, want)
	}
	for _, want := range []string{"tab", "trim to 15.000 x 3.000 in", "part"} {
		if !hasText(leaf, want) {
			t.Errorf("the leaf does not say %q", want)
		}
	}
}

// TestPlanFortyBillets: each of forty billets has its mark, every crosscut its position,
// and the rips that no billet has room for are told below.
func TestPlanFortyBillets(t *testing.T) {
	face := firstFace(shapes(t, shown(t, "POST", "/v1/plan?format=svg", fortyBillets)))
	for i := range 40 {
		if !hasText(face, "A"+strconv.Itoa(i+1)) {
			t.Errorf("billet %d has no mark", i+1)
		}
	}
	for i := range 9 {
		if want := strconv.FormatFloat(12+12.125*float64(i), 'f', 3, 64); !hasText(face, want) {
			t.Errorf("the crosscut at %s is not told", want)
		}
	}
	var told []string
	for _, s := range ofClass(face, "rips-words") {
		told = append(told, s.text)
	}
	if got, want := strings.Join(told, " "), "Rip at 2.000, 4.125, 6.250: the lengths of A1, A5, A9, A13, A17, A21, A25, A29 and 2 more"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestPlanPageLeaves: the page has the same drawings of leaves, each with its words.
func TestPlanPageLeaves(t *testing.T) {
	root := parsed(t, shown(t, "POST", "/v1/plan?format=html", boxes))
	wantTexts(t, "pictures", texts(elements(section(t, root, "board-1"), "figcaption", "")), []string{
		"A1: 1 x plate 0.100 (each into 2)", "A1, leaf 1, 20.020 x 4.000, into 2 x plate",
	})
	checkIDs(t, root)
	for _, picture := range elements(root, "svg", "") {
		if attribute(picture, "role") == "img" && (len(elements(picture, "title", "")) != 1 || len(elements(picture, "desc", "")) != 1) {
			t.Error("a picture has no title or no description")
		}
	}
}

// TestPlanManyLeaves: leaves of more copies than a drawing has room for are counted. Each
// of ten species has leaves of 15 x 20 copies.
func TestPlanManyLeaves(t *testing.T) {
	var kinds, wanted []string
	for i := range 10 {
		species := `{"species":"kind ` + strconv.Itoa(i) + `","thickness":0.`
		kinds = append(kinds, species+`5,"width":10,"length":15,"quantity":1}`)
		wanted = append(wanted, species+`1,"width":0.5,"length":1,"quantity":300}`)
	}
	order := `{"boards":[` + strings.Join(kinds, ",") + `],"parts":[` + strings.Join(wanted, ",") + `],"kerf":0.05,"leaf_kerf":0,"hold_back":0.1}`
	drawing := shown(t, "POST", "/v1/plan?format=svg", order)
	if n := strings.Count(drawing, `<g class="leaf-face"`); n != 5 || strings.Count(drawing, ">1 way to divide a leaf not drawn") != 5 {
		t.Errorf("%d leaves are drawn, want 5 and 5 counted", n)
	}
	if n := len(elements(parsed(t, shown(t, "POST", "/v1/plan?format=html", order)), "section", "divided")); n == 0 {
		t.Error("the run sheets have no drawings of leaves")
	}
}
