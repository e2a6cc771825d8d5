package sheet_test

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// shape is an element of a drawing.
type shape struct {
	name, text string
	attr       map[string]string
}

func (s shape) number(t *testing.T, name string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s.attr[name], 64)
	if err != nil {
		t.Fatalf("%s %s: %v", s.name, name, err)
	}
	return x
}

// shapes reads a drawing as XML, strictly.
func shapes(t *testing.T, drawing string) (list []shape) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(drawing))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return list
		}
		if err != nil {
			t.Fatalf("the drawing is no XML: %v", err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			s := shape{name: token.Name.Local, attr: map[string]string{}}
			for _, a := range token.Attr {
				s.attr[a.Name.Local] = a.Value
			}
			list = append(list, s)
		case xml.CharData:
			if len(list) > 0 && strings.TrimSpace(string(token)) != "" {
				list[len(list)-1].text += string(token)
			}
		}
	}
}

// parts gives the parts of the board in a drawing from left to right, and the
// board itself.
func parts(t *testing.T, list []shape) (bands []shape, board shape) {
	t.Helper()
	for _, s := range list {
		switch s.attr["class"] {
		case "skim", "leaf", "leaves", "kerf", "remainder", "hold-back":
			bands = append(bands, s)
		case "board":
			board = s
		}
	}
	return bands, board
}

// checkCover wants the parts to cover the board without gap or overlap.
func checkCover(t *testing.T, bands []shape, board shape) {
	t.Helper()
	x := board.number(t, "x")
	for i, b := range bands {
		if math.Abs(b.number(t, "x")-x) > 0.001 {
			t.Fatalf("part %d, %s, begins at %s, want %g", i, b.attr["class"], b.attr["x"], x)
		}
		x += b.number(t, "width")
	}
	if end := board.number(t, "x") + board.number(t, "width"); math.Abs(x-end) > 0.001 {
		t.Errorf("the parts end at %g, the board at %g", x, end)
	}
}

// TestDrawingScale: skim 0.030, then thirteen kerfs of 0.045 and twelve leaves
// of 0.050 to 1.215 of a board of 2.000; 0.660 remains before a hold-back of
// 0.125.
func TestDrawingScale(t *testing.T) {
	bands, board := parts(t, shapes(t, shown(t, "GET", walnutRun+"&format=svg", "")))
	checkCover(t, bands, board)
	scale := board.number(t, "width") / 2.000
	size := map[string]float64{"skim": 0.030, "kerf": 0.045, "leaf": 0.050, "remainder": 0.660, "hold-back": 0.125}
	count := map[string]int{}
	order := []string{"skim", "kerf"}
	for range 12 {
		order = append(order, "leaf", "kerf")
	}
	order = append(order, "remainder", "hold-back")
	for i, b := range bands {
		class := b.attr["class"]
		if class != order[i] {
			t.Fatalf("part %d is %s, want %s", i, class, order[i])
		}
		count[class]++
		if got, want := b.number(t, "width"), size[class]*scale; math.Abs(got-want) > 0.011 { // both ends to 0.01
			t.Errorf("a %s is %g wide, want %g", class, got, want)
		}
	}
	if got, want := fmt.Sprint(count), fmt.Sprint(map[string]int{"skim": 1, "kerf": 13, "leaf": 12, "remainder": 1, "hold-back": 1}); got != want {
		t.Errorf("parts %s, want %s", got, want)
	}
}

// TestDrawingWords: ordinals, dimensions, title and description.
func TestDrawingWords(t *testing.T) {
	list := shapes(t, shown(t, "GET", walnutRun+"&format=svg", ""))
	var texts []string
	named := map[string]string{}
	for _, s := range list {
		if s.name == "text" {
			texts = append(texts, s.text)
		}
		if s.attr["id"] != "" {
			named[s.attr["id"]] = s.text
		}
	}
	for _, want := range []string{"1", "12", "leaf 1 0.050", "hold-back 0.125", "last position 1.215", "on the fence 0.785", "board 2.000 in", "skim 0.030", "kerf 0.045", "fence"} {
		if !slices.Contains(texts, want) {
			t.Errorf("the drawing does not say %q: %q", want, texts)
		}
	}
	if list[0].attr["role"] != "img" || list[0].attr["viewBox"] == "" || list[0].attr["width"] != "" {
		t.Error("the drawing is no image that takes the size of its container")
	}
	if got := list[0].attr["aria-labelledby"]; got != "drawing-title drawing-about" {
		t.Errorf("the drawing is labelled by %q", got)
	}
	for id, want := range map[string]string{"drawing-title": "walnut-1", "drawing-about": "2.000 in to scale"} {
		if !strings.Contains(named[id], want) {
			t.Errorf("%s is %q, without %s", id, named[id], want)
		}
	}
}

// TestDrawingKerf: a run that goes on with a newly measured kerf is labelled
// with that one.
func TestDrawingKerf(t *testing.T) {
	drawing := shown(t, "GET", walnutRun+"&format=svg&done_cuts=2&done_kerf=0.048", "")
	if !strings.Contains(drawing, ">kerf 0.048<") || strings.Contains(drawing, ">kerf 0.045<") {
		t.Error("the drawing does not tell the kerf that the run goes on with")
	}
}

// TestDrawingSame: a request gives the same bytes twice, the page holds them
// too, and millimetres change words only.
func TestDrawingSame(t *testing.T) {
	one := shown(t, "POST", "/v1/run?format=svg", matchedRun)
	if two := shown(t, "POST", "/v1/run?format=svg", matchedRun); two != one {
		t.Error("the drawing differs the second time")
	}
	_, board, _ := strings.Cut(one, `<g stroke="#000"`)
	if page := shown(t, "POST", "/v1/run?format=html", matchedRun); board == "" || !strings.Contains(page, board[:len(board)-1]) {
		t.Error("the page holds another drawing")
	}
	const mm = `{"units":"mm","board":{"thickness":50.8,"width":200,"length":500},"leaf_thickness":1.27,"leaf_count":4,"kerf":1.143,"lead":1.27,"divisions_per_turn":50,"skim":0.762,"hold_back":3.175}`
	const in = `{"board":{"thickness":2,"width":8,"length":20},"leaf_thickness":0.05,"leaf_count":4,"kerf":0.045,"lead":0.05,"divisions_per_turn":50,"skim":0.03,"hold_back":0.125}`
	metric, _ := parts(t, shapes(t, shown(t, "POST", "/v1/run?format=svg", mm)))
	inch, _ := parts(t, shapes(t, shown(t, "POST", "/v1/run?format=svg", in)))
	if fmt.Sprint(metric) != fmt.Sprint(inch) {
		t.Errorf("in millimetres the parts are\n%v\nin inches\n%v", metric, inch)
	}
}

// TestDrawingManyLeaves: the drawing of ten thousand leaves is no longer than
// that of a hundred, still covers the board, and numbers first and last.
func TestDrawingManyLeaves(t *testing.T) {
	for _, n := range []int{1, 2, 119, 120, 121, 200, 9_999, 10_000} {
		body := fmt.Sprintf(`{"board":{"thickness":250,"width":8,"length":20},"leaf_thickness":0.01,"leaf_count":%d,"kerf":0.014,"lead":0.05,"divisions_per_turn":50,"travel":9,"skim":0.01,"hold_back":5}`, n)
		drawing := shown(t, "POST", "/v1/run?format=svg", body)
		list := shapes(t, drawing)
		bands, board := parts(t, list)
		checkCover(t, bands, board)
		if len(drawing) > 40_000 {
			t.Errorf("%d leaves: %d bytes", n, len(drawing))
		}
		var ordinals []string
		for _, s := range list {
			if _, err := strconv.Atoi(s.text); s.name == "text" && err == nil {
				ordinals = append(ordinals, s.text)
			}
		}
		if len(ordinals) == 0 || ordinals[len(ordinals)-1] != strconv.Itoa(n) || len(ordinals) > 50 {
			t.Errorf("%d leaves: ordinals %q", n, ordinals)
		}
	}
}

// TestDrawingEdges: boards that leave out one part or another.
func TestDrawingEdges(t *testing.T) {
	for name, body := range map[string]string{
		"nothing stays":      `{"board":{"thickness":0.19,"width":8,"length":20},"leaf_thickness":0.05,"leaf_count":2,"kerf":0.045,"lead":0.05,"divisions_per_turn":50,"hold_back":0}`,
		"no kerf":            `{"board":{"thickness":1,"width":8,"length":20},"leaf_thickness":0.05,"leaf_count":2,"kerf":0}`,
		"all is hold-back":   `{"board":{"thickness":1,"width":8,"length":20},"leaf_thickness":0.05,"leaf_count":1,"kerf":0.05,"hold_back":0.9}`,
		"skim of most of it": `{"board":{"thickness":1,"width":8,"length":20},"leaf_thickness":0.05,"leaf_count":1,"kerf":0.05,"skim":0.7,"hold_back":0.1}`,
		"re-zeros":           matchedRun,
	} {
		t.Run(name, func(t *testing.T) {
			list := shapes(t, shown(t, "POST", "/v1/run?format=svg", body))
			bands, board := parts(t, list)
			checkCover(t, bands, board)
			checkWords(t, list)
			for _, s := range list {
				if strings.Contains(fmt.Sprint(s.attr), "NaN") || strings.Contains(fmt.Sprint(s.attr), "Inf") {
					t.Errorf("%s has %v", s.name, s.attr)
				}
			}
		})
	}
}

// checkWords wants words on one line not to run into each other, at 10 units a
// letter of 19 units height, somewhat above the average of digits and words.
func checkWords(t *testing.T, list []shape) {
	t.Helper()
	ends := map[string][][2]float64{}
	for _, s := range list {
		if s.name != "text" || s.attr["x"] == "" {
			continue
		}
		x, wide := s.number(t, "x"), 10*float64(len(s.text))
		from := map[string]float64{"": x, "start": x, "end": x - wide}[s.attr["text-anchor"]]
		if s.attr["text-anchor"] == "middle" {
			from = x - wide/2
		}
		for _, other := range ends[s.attr["y"]] {
			if from < other[1] && other[0] < from+wide {
				t.Errorf("%q runs into its neighbour", s.text)
			}
		}
		ends[s.attr["y"]] = append(ends[s.attr["y"]], [2]float64{from, from + wide})
	}
}

// TestDrawingNames: any name gives a drawing that is XML and refers to nothing
// outside itself.
func TestDrawingNames(t *testing.T) {
	for _, name := range []string{`</desc><script>alert(1)</script>`, `"]]>&<!--`, `a\u0000b\u0001\ufffe\r\n`, `\ud800`} {
		answer := ask(t, "POST", "/v1/run?format=svg", "", `{"board":{"name":"`+strings.ReplaceAll(name, `"]`, `\"]`)+`","thickness":2,"width":8,"length":24},"leaf_thickness":0.05,"leaf_count":2}`)
		if answer.Code == 400 {
			continue // not a string that is read at all
		}
		for _, s := range shapes(t, answer.Body.String()) {
			if s.name == "script" {
				t.Errorf("%q becomes a script", name)
			}
			for key, value := range s.attr {
				if key == "href" || key == "style" || strings.HasPrefix(key, "on") || strings.Contains(value, "url(") && !strings.HasPrefix(value, "url(#") {
					t.Errorf("%s has %s=%q", s.name, key, value)
				}
			}
		}
	}
}
