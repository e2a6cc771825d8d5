package sheet_test

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"testing"
)

// box is where words lie in a drawing.
type box struct {
	text                     string
	left, top, right, bottom float64
}

func (b box) meets(o box) bool {
	return b.left < o.right && o.left < b.right && b.top < o.bottom && o.top < b.bottom
}

// style is what an element takes from those around it.
type style struct {
	x, y, size float64
	bold       bool
	anchor     string
}

// textBoxes gives where each text of a drawing lies, by its moves, size and anchor.
// Letters are 0.6 of the size wide, bold ones 0.65, narrow ones half of that: about what a
// wide type takes. They reach 0.73 of the size above the line and 0.2 below.
func textBoxes(t *testing.T, drawing string) (boxes []box) {
	t.Helper()
	stack := []style{{size: 19, anchor: "start"}}
	d := xml.NewDecoder(strings.NewReader(drawing))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return boxes
		}
		if err != nil {
			t.Fatal(err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			s := stack[len(stack)-1]
			turned := s.take(t, token.Attr)
			if token.Name.Local == "text" {
				boxes = append(boxes, s.box(t, d, turned))
				continue // with its end
			}
			stack = append(stack, s)
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		}
	}
}

// take adds what an element says of itself; turned tells of a quarter turn.
func (s *style) take(t *testing.T, attributes []xml.Attr) (turned bool) {
	t.Helper()
	for _, a := range attributes {
		switch number, err := strconv.ParseFloat(a.Value, 64); a.Name.Local {
		case "transform":
			move, rest, _ := strings.Cut(strings.TrimPrefix(a.Value, "translate("), ")")
			var x, y float64
			if _, err := fmt.Sscan(move, &x, &y); err != nil {
				t.Fatalf("transform %q: %v", a.Value, err)
			}
			s.x, s.y, turned = s.x+x, s.y+y, strings.Contains(rest, "rotate(-90)")
		case "x":
			if s.x += number; err != nil {
				t.Fatal(err)
			}
		case "y":
			if s.y += number; err != nil {
				t.Fatal(err)
			}
		case "font-size":
			s.size = number
		case "font-weight":
			s.bold = a.Value == "bold"
		case "text-anchor":
			s.anchor = a.Value
		}
	}
	return turned
}

// box reads a text up to its end.
func (s style) box(t *testing.T, d *xml.Decoder, turned bool) box {
	t.Helper()
	token, err := d.Token()
	if err != nil {
		t.Fatal(err)
	}
	words, _ := token.(xml.CharData)
	text := string(words)
	if err := d.Skip(); err != nil {
		t.Fatal(err)
	}
	letter, wide := 0.6, 0.0
	if s.bold {
		letter = 0.65
	}
	for _, r := range text {
		if strings.ContainsRune(" .,:;'|ijlt()-", r) {
			wide += letter / 2
		} else {
			wide += letter
		}
	}
	wide *= s.size
	from := map[string]float64{"start": 0, "middle": -wide / 2, "end": -wide}[s.anchor]
	if turned {
		return box{text, s.x - 0.73*s.size, s.y + from, s.x + 0.2*s.size, s.y + from + wide}
	}
	return box{text, s.x + from, s.y - 0.73*s.size, s.x + from + wide, s.y + 0.2*s.size}
}

// checkTexts wants no text of a drawing to lie on another or beyond the drawing.
func checkTexts(t *testing.T, drawing string) {
	t.Helper()
	root := shapes(t, drawing)[0]
	frame := strings.Fields(root.attr["viewBox"])
	wide, _ := strconv.ParseFloat(frame[2], 64)
	high, _ := strconv.ParseFloat(frame[3], 64)
	boxes := textBoxes(t, drawing)
	if len(boxes) < 3 {
		t.Fatalf("%d texts", len(boxes))
	}
	for i, b := range boxes {
		if b.left < 0 || b.right > wide || b.top < 0 || b.bottom > high {
			t.Errorf("%q lies beyond the drawing: %.0f to %.0f of %.0f, %.0f to %.0f of %.0f", b.text, b.left, b.right, wide, b.top, b.bottom, high)
		}
		for _, other := range boxes[:i] {
			if b.meets(other) {
				t.Errorf("%q lies on %q: %+v %+v", b.text, other.text, b, other)
			}
		}
	}
}

// TestPlanTexts: in drawings of plans of every kind no text lies on another or beyond
// the drawing.
func TestPlanTexts(t *testing.T) {
	long := strings.Repeat("a long name ", 4)
	for name, order := range map[string]string{
		"one billet":         `{"boards":[{"thickness":1,"width":8,"length":30}],"parts":[{"thickness":0.2,"width":8,"length":30,"quantity":2}]}`,
		"four billets":       oakSimple,
		"forty billets":      fortyBillets,
		"two rows":           `{"boards":[{"thickness":1,"width":6.5,"length":60.25,"quantity":1}],"parts":[{"thickness":0.7,"width":3,"length":20,"quantity":6,"divide":false}],"kerf":0.05,"hold_back":0.1}`,
		"kits":               boxes,
		"strips":             strips,
		"many strips":        strings.NewReplacer(`"width":0.375`, `"width":0.15`, `"quantity":24`, `"quantity":60`).Replace(strips),
		"long names":         strings.NewReplacer(`"plate"`, strconv.Quote(long+"p"), `"box"`, strconv.Quote(long+"k"), `"ash"`, strconv.Quote(long)).Replace(boxes),
		"narrow":             `{"boards":[{"thickness":1,"width":4,"length":96}],"parts":[{"thickness":0.5,"width":0.9,"length":90,"quantity":4,"divide":false}],"kerf":0.05,"hold_back":0.1,"smallest_billet":{"width":0.5}}`,
		"millimetres":        `{"units":"mm","boards":[{"thickness":52,"width":1234,"length":2999,"quantity":2}],"parts":[{"thickness":11.5,"width":100,"length":333,"quantity":200,"divide":false},{"thickness":3,"width":80,"length":80,"quantity":300}],"work_limit":2000}`,
		"many small billets": `{"units":"mm","boards":[{"thickness":20,"width":400,"length":2000,"quantity":1}],"parts":[{"thickness":15,"width":9,"length":19,"quantity":2000}],"kerf":1,"hold_back":2,"rip_kerf":1,"crosscut_kerf":1,"work_limit":2000}`,
		"one dimension":      slats(3),
		"twenty-five ways":   kinds(25),
		"nothing":            `{"boards":[{"thickness":1,"width":4,"length":20}],"parts":[{"thickness":0.5,"width":4,"length":21,"quantity":1}]}`,
	} {
		t.Run(name, func(t *testing.T) {
			if drawing := shown(t, "POST", "/v1/plan?format=svg", order); name == "nothing" {
				if boxes := textBoxes(t, drawing); len(boxes) != 1 || boxes[0].text != "Nothing to cut." {
					t.Errorf("it says %v", boxes)
				}
			} else {
				checkTexts(t, drawing)
			}
		})
	}
}

// TestRunTexts: the same in drawings of runs with divided leaves.
func TestRunTexts(t *testing.T) {
	for name, request := range map[string]string{
		"divided": dividedRun,
		"strips":  `{"board":{"thickness":1,"width":6,"length":33},"leaves":[{"thickness":0.08,"count":2,"divided":{"side_by_side":29,"length":32,"width":0.15}}]}`,
	} {
		t.Run(name, func(t *testing.T) { checkTexts(t, shown(t, "POST", "/v1/run?format=svg", request)) })
	}
}
