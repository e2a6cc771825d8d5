package openapi_test

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"

	"resawd/calc/length"
	"resawd/openapi/internal/spec"
)

// shopLengths are lengths in inches that a shop asks for, by what a field's name
// says; any other is a fraction of an inch.
var shopLengths = map[string][2]float64{
	"board_thickness": {0.5, 4}, "thickness": {0.05, 3}, "leaf_thickness": {0.02, 0.3}, "width": {1, 9}, "length": {8, 60}, "cut_length": {8, 60},
	"stock_height": {1, 9}, "travel": {1, 6}, "lead": {0.05, 0.25}, "wheel_diameter": {10, 20}, "kerf": {0.02, 0.07}, "finished": {0.05, 0.2},
	"blade_width": {0.5, 1.5}, "body_thickness": {0.02, 0.04}, "radius": {4, 40}, "board_width": {1, 9}, "board_length": {8, 60}, "height": {1, 4},
}

// shopWords are names that a shop knows, and some that it does not.
var shopWords = map[string][]string{
	"saw": {"bench", "metric", "none"}, "blade": {"half-inch", "three-quarter", "metric-16", "none"}, "species": {"walnut, black", "maple, sugar", "unheard of", ""},
	"fixing": {"glue", "tape", "screws", "nails"}, "name": {"a", "b", "c", "d"}, "part": {"a", "b"}, "care": {"clean the tyres", "change the blade", "none"}, "symptom": {"smoke or burnt faces", "none"},
	"currency": {"USD", "EUR"},
}

// value gives a JSON value of a field.
func (g *maker) value(name string, s *spec.Schema) []byte {
	of, kind := g.resolved(s)
	switch {
	case name == "body": // of a call in a batch, which calls puts in
		return []byte("{}")
	case kind == "BatchRequest":
		return g.calls()
	case of.Type == "object":
		return g.object(of)
	case of.Type == "array":
		return g.list(name, of)
	}
	if g.values++; g.values == g.spoil {
		return g.wrongValue(of, kind)
	}
	return g.rightValue(name, of, kind)
}

func quoted(text string) []byte {
	b, _ := json.Marshal(text)
	return b
}

func number(v float64) []byte { return strconv.AppendFloat(nil, v, 'f', -1, 64) }

func (g *maker) rightValue(name string, s *spec.Schema, kind string) []byte {
	switch {
	case name == "time_limit_seconds":
		return []byte("0.05")
	case name == "work_limit":
		return strconv.AppendInt(nil, int64(1+g.IntN(20_000)), 10)
	case kind == "LengthInput":
		return g.length(name, s.Description)
	case kind != "": // money, areas, speeds
		return number(math.Round(g.Float64()*5000) / 100)
	case len(s.Enum) > 0:
		return one(g, s.Enum)
	case s.Type == "string":
		return g.text(name, s)
	case s.Type == "boolean":
		return strconv.AppendBool(nil, g.often(50))
	}
	return g.number(s)
}

// text gives a name that the shop has, or any text that is allowed.
func (g *maker) text(name string, s *spec.Schema) []byte {
	if words := shopWords[name]; words != nil && g.often(95) {
		return quoted(one(g, words))
	}
	text := strings.Repeat(one(g, []string{"x", "ß", "漢", " y", "=1+"}), 1+g.IntN(20))
	if s.MaxLength != nil {
		text = string([]rune(text)[:min(*s.MaxLength, len([]rune(text)))])
	}
	return quoted(text)
}

// number gives a number within limits, at times at one of them.
func (g *maker) number(s *spec.Schema) []byte {
	low, high := 0.0, 1e6
	for _, limit := range []*float64{s.Minimum, s.ExclusiveMinimum} {
		if limit != nil {
			low = *limit
		}
	}
	if s.Maximum != nil {
		high = *s.Maximum
	}
	v := low + (min(high, low+50)-low)*g.Float64()
	if g.often(4) {
		v = low + (high-low)*g.Float64()
	}
	switch {
	case s.Type == "integer":
		v = math.Round(min(v, low+12*g.Float64()))
		if g.often(2) {
			v = one(g, []float64{low, high})
		}
	case g.often(5) && s.ExclusiveMinimum == nil:
		v = one(g, []float64{low, high})
	}
	if s.ExclusiveMinimum != nil && v == low {
		v = high
	}
	return number(v)
}

// span tells the limits of a length that stand in words.
func span(description string) (low, high length.Length, above0 bool) {
	high = length.Max
	if m := lowest.FindStringSubmatch(description); m != nil {
		low = parsed(m[1])
	}
	if m := highest.FindStringSubmatch(description); m != nil {
		high = parsed(m[1])
	}
	return low, high, above.MatchString(description)
}

// length gives a length as people write it.
func (g *maker) length(name, description string) []byte {
	low, high, above0 := span(description)
	limits, ok := shopLengths[name]
	if !ok {
		limits = [2]float64{0.01, 0.3}
	}
	v := length.Length(math.Round((limits[0] + g.Float64()*(limits[1]-limits[0])) * 1000 * float64(length.Inch/1000)))
	if g.often(2) {
		v *= 50 // a run of thousands of leaves
	}
	v = min(max(v, low), high)
	if g.often(2) {
		v = one(g, []length.Length{low, high})
	}
	if v == low && above0 {
		v++
	}
	switch mm := float64(v) / float64(length.Millimetre); {
	case g.often(10):
		return quoted(string(number(mm)) + one(g, []string{"mm", " mm", "MM"}))
	case g.mm:
		return number(mm)
	case v%(length.Inch/1000) == 0:
		return number(float64(v/(length.Inch/1000)) / 1000)
	default:
		return quoted(string(number(mm)) + "mm")
	}
}

// wrongValue gives a value that the document does not allow.
func (g *maker) wrongValue(s *spec.Schema, kind string) []byte {
	wrong := []string{"{}", "[]", "[1]", `{"a":1}`, "true"}
	switch {
	case s.Type == "boolean":
		wrong = []string{"{}", "[]", "1", `"x"`}
	case s.Type == "string":
		if wrong = append(wrong, "1", "1e999"); len(s.Enum) > 0 {
			wrong = append(wrong, `"another"`, `""`, `"\u0000"`)
		}
		if s.MaxLength != nil {
			wrong = append(wrong, string(quoted(strings.Repeat("x", *s.MaxLength+1))))
		}
	case kind == "LengthInput":
		low, high, _ := span(s.Description)
		wrong = append(wrong, `"x"`, `"1 furlong"`, `""`, "1e999", "1e15", "-1e15", `"NaN"`, string(quoted(one(g, []string{"1/0", "0x10", "1,5", "٣", "--1"}))),
			string(quoted(string(number(float64(low-1)/float64(length.Millimetre)))+"mm")))
		if high < length.Max {
			wrong = append(wrong, string(quoted(string(number(float64(high+1)/float64(length.Millimetre)))+"mm")))
		}
	case kind != "":
		wrong = append(wrong, `"x"`, `""`, "1e999", "1e15", "-1e15", `"NaN"`)
	default:
		wrong = append(wrong, `"x"`, `""`, "1e999", `"NaN"`)
		if s.Type == "integer" {
			wrong = append(wrong, "0.5", "9007199254740993")
		}
		if s.Maximum != nil {
			wrong = append(wrong, string(number(*s.Maximum+1)), "1e15", string(number(*s.Maximum*1.001+0.001)))
		}
		if s.Minimum != nil {
			wrong = append(wrong, string(number(*s.Minimum-1)), "-1e15")
		}
		if s.ExclusiveMinimum != nil {
			wrong = append(wrong, string(number(*s.ExclusiveMinimum)))
		}
	}
	return []byte(one(g, wrong))
}

func (g *maker) list(name string, s *spec.Schema) []byte {
	least, most := 0, 4
	if s.MinItems != nil {
		least = *s.MinItems
	}
	if s.MaxItems != nil {
		most = min(*s.MaxItems, least+most)
	}
	text := []byte{'['}
	for i := range least + g.IntN(most-least+1) {
		if i > 0 {
			text = append(text, ',')
		}
		text = append(text, g.value(name, s.Items)...)
	}
	return append(text, ']')
}
