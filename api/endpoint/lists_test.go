package endpoint

import (
	"reflect"
	"strings"
	"testing"

	"resawd/api/shop"
	"resawd/calc/length"
)

// measured is a request with every kind of list.
type measured struct {
	Units    *string           `json:"units,omitzero" validate:"omitempty,oneof=in mm"`
	Readings [][]length.Length `json:"readings,omitzero" validate:"required,max=3,dive,min=1,max=4,dive,gt=0,within=..1m"`
	Places   []string          `json:"places,omitzero" validate:"omitempty,max=4,dive,oneof=top bottom"`
	Counts   []int             `json:"counts,omitzero" validate:"omitempty,dive,gte=0"`
}

type measuredAnswer struct {
	Total length.Length `json:"total"`
	Notes
}

func measure(_ *Call, q *measured) (*measuredAnswer, error) {
	a := &measuredAnswer{}
	for _, leaf := range q.Readings {
		for _, r := range leaf {
			a.Total += r
		}
	}
	return a, nil
}

func read(t *testing.T, fields Fields) (*measured, *Failure) {
	t.Helper()
	var seen *measured
	k := New("/measured", func(c *Call, q *measured) (*measuredAnswer, error) {
		seen = q
		return measure(c, q)
	})
	_, err := k.Solve(&Call{Context: t.Context(), Shop: &shop.Shop{}}, fields)
	if err == nil {
		return seen, nil
	}
	f, ok := k.Located(err, fields.InBody()).(*Failure) //nolint:errorlint // the very one
	if !ok {
		t.Fatal(err)
	}
	return nil, f
}

// TestLists: a list means the same in a body and in one text.
func TestLists(t *testing.T) {
	want := &measured{
		Units:    new("mm"),
		Readings: [][]length.Length{{length.Millimetre, 2 * length.Millimetre}, {length.Inch / 2}},
		Places:   []string{"top", "bottom"}, Counts: []int{3, 0},
	}
	for name, fields := range map[string]Fields{
		"body":  Body([]byte(`{"readings": [[1, "2"], ["1/2in"]], "places": ["top", "bottom"], "counts": [3, 0], "units": "mm"}`)),
		"query": Query([]Pair{{"readings", " 1 2mm; 1/2in ;"}, {"places", "top  bottom"}, {"counts", "3 0"}, {"units", "mm"}}, false),
		"lines": Query([]Pair{{"readings", "\n1\t2mm\r\n1/2in\n"}, {"places", "top\nbottom"}, {"counts", "3 0"}, {"units", "mm"}}, false),
		"both":  Query([]Pair{{"readings", "1 2mm;\n1/2in;\n"}, {"places", "top bottom"}, {"counts", "3 0"}, {"units", "mm"}}, false),
		"comma": Query([]Pair{{"readings", "1,0 2;1/2in"}, {"places", "top bottom"}, {"counts", "3 0"}, {"units", "mm"}}, true),
	} {
		if got, wrong := read(t, fields); wrong != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %+v, %v", name, got, wrong)
		}
	}
}

// TestListFaults: a fault in a list has the place where it is.
func TestListFaults(t *testing.T) {
	for name, c := range map[string]struct {
		fields Fields
		want   string // pointer or parameter, code, detail
	}{
		"no list":         {Body([]byte(`{"readings": 1}`)), "/readings wrong_type must be a list of lists; it is a number"},
		"no inner list":   {Body([]byte(`{"readings": [1]}`)), "/readings/0 wrong_type must be a list; it is a number"},
		"null":            {Body([]byte(`{"readings": [[null]]}`)), "/readings/0/0 wrong_type is null: give a value or leave the field out"},
		"not a length":    {Body([]byte(`{"readings": [[1], [1, true]]}`)), `/readings/1/1 wrong_type must be a length: a number or a text such as "1/2 in"; it is true or false`},
		"out of range":    {Body([]byte(`{"readings": [[1], [1, 0]]}`)), "/readings/1/1 out_of_range must be above 0 in; 0 in was given"},
		"too many":        {Body([]byte(`{"readings": [[1], [1], [1], [1], [1]]}`)), "/readings out_of_range must have at most 3 entries; it has more"},
		"too many inside": {Body([]byte(`{"readings": [[1, 1, 1, 1, 1, 1]]}`)), "/readings/0 out_of_range must have at most 4 entries; it has more"},
		"an empty list":   {Body([]byte(`{"readings": [[]]}`)), "/readings/0 out_of_range must have at least 1 entry; it has 0"},
		"no text":         {Query([]Pair{{"readings", "1;x"}}, false), `readings.1.0 not_a_length "x" has no number where one is needed`},
		"a comma":         {Query([]Pair{{"readings", "1,25"}}, false), `readings.0.0 not_a_length "1,25" has a comma: write a decimal point and no thousands separator, or set decimal to comma`},
		"a body's comma":  {Body([]byte(`{"readings": [["1,25"]]}`)), `/readings/0/0 not_a_length "1,25" has a comma: write a decimal point and no thousands separator`},
		"two commas":      {Query([]Pair{{"readings", "1,2,5"}}, false), `readings.0.0 not_a_length "1,2,5" has a comma: write a decimal point and no thousands separator`},
		"no count":        {Query([]Pair{{"readings", "1"}, {"counts", "x"}}, false), `counts.0 wrong_type must be a whole number; "x" was given`},
		"an empty text":   {Query([]Pair{{"readings", "1;;2"}}, false), "readings.1 out_of_range must have at least 1 entry; it has 0"},
		"a word":          {Query([]Pair{{"readings", "1"}, {"places", "top left"}}, false), `places.1 unknown_name must be top or bottom; "left" was given`},
		"text too long":   {Query([]Pair{{"readings", strings.Repeat("1;", 1e6)}}, false), "readings out_of_range must have at most 3 entries; it has more"},
	} {
		_, f := read(t, c.fields)
		if f == nil || len(f.fields) != 1 {
			t.Errorf("%s: %v", name, f)
			continue
		}
		e := f.fields[0]
		if got := e.Pointer + e.Parameter + " " + e.Code + " " + e.Detail; got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

// TestFaultsCounted: in words the entries of lists are counted from one, in a pointer or a
// parameter from zero. What a caller wrote is told as it is.
func TestFaultsCounted(t *testing.T) {
	k := New("/v1/shelf", func(*Call, *shelfRequest) (*measuredAnswer, error) { return new(measuredAnswer), nil })
	for name, c := range map[string]struct {
		fields      Fields
		place, want string
	}{
		"in an object of a list": {Body([]byte(`{"jars": [{}, {"marks": [{"to": 1}, {"to": true}]}]}`)), "/jars/1/marks/1/to", "jars, entry 2, marks, entry 2, to must be a length"},
		"an unknown number":      {Body([]byte(`{"0": 1}`)), "/0", "0 is not a field"},
		"an unknown path":        {Body([]byte(`{"jars.0.name": 1}`)), "/jars.0.name", "jars.0.name is not a field"},
		"unknown in a list":      {Body([]byte(`{"jars": [{"1.5": 1}]}`)), "/jars/0/1.5", "jars, entry 1, 1.5 is not a field"},
		"in a query":             {Query([]Pair{{"kerf", "x"}}, false), "kerf", `kerf "x" has no number`},
		"unknown in a query":     {Query([]Pair{{"jars.0", "x"}}, false), "jars.0", "jars.0 is not a field"},
		"in a cell's list":       {Tables(nil, false, Table{Text: []byte("table,name,marks\njar,a,1 2;1 x\n")}), "marks.1.to", "marks, entry 2, to in row 2: \"x\" has no number"},
		"an unknown column":      {Tables(nil, false, Table{Text: []byte("table,name,jars.0.name\njar,a,\n")}), "jars.0.name", "jars.0.name in the header: is not a field"},
		"a column twice":         {Tables(nil, false, Table{Text: []byte("table,name,name\njar,a,\n")}), "name", "name stands twice in the header"},
	} {
		_, err := k.Solve(&Call{Context: t.Context(), Shop: new(shop.Shop)}, c.fields)
		p := ProblemOf(k.Located(err, c.fields.InBody()))
		if len(p.Errors) != 1 {
			t.Errorf("%s: %v", name, err)
			continue
		}
		cell := strings.Replace(p.inCell(), ": ", " ", 2) // error: FIELD: what
		if p.Errors[0].Pointer+p.Errors[0].Parameter != c.place || !strings.HasPrefix(p.Detail, c.want) || !strings.HasPrefix(cell, "error "+c.want) || err.Error() != p.Detail {
			t.Errorf("%s: at %s: %s; in a cell %s; on the command line %s; want at %s: %s", name, p.Errors[0].Pointer+p.Errors[0].Parameter, p.Detail, p.inCell(), err, c.place, c.want)
		}
	}
}

// TestManyFaults: a problem lists a hundred faults and counts the rest, however
// many a body has.
func TestManyFaults(t *testing.T) {
	body := `{"readings": [[1]], "a": 1` + strings.Repeat(`, "b": 1`, 100_000) + `}`
	_, f := read(t, Body([]byte(body)))
	if f == nil || len(f.fields) != maxFaults+1 {
		t.Fatalf("%v", f)
	}
	if last := f.fields[maxFaults]; last.Code != "more" || last.Detail != "and 99901 more" || last.Pointer != "" {
		t.Errorf("%+v", last)
	}
	if f.detail != "100001 fields need attention" {
		t.Error(f.detail)
	}
}
