package openapi_test

import (
	"encoding/json"
	"maps"
	"math/rand/v2"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"resawd/openapi/internal/spec"
)

// maker makes requests from nothing but the document: most of them within all of
// its limits, the others wrong at one place.
type maker struct {
	*rand.Rand
	doc  *spec.Document
	mm   bool
	fill int // percent of the optional fields that are there
	spoil,
	values int // the value that shall be wrong, and how many there were; spoil 0: none
}

// made is one request.
type made struct {
	operation           string // method and path, as in operations
	target, media, body string
	valid, wrong        bool // within the document, or against it; a wrong cell of a table is neither
}

func (g *maker) often(percent int) bool { return g.IntN(100) < percent }

func one[T any](g *maker, list []T) T { return list[g.IntN(len(list))] }

// request makes one request of an operation.
func (g *maker) request(operation string, op *spec.Operation) made {
	g.mm, g.fill, g.values, g.spoil = g.often(30), one(g, []int{5, 20, 50}), 0, 0
	if g.often(35) {
		g.spoil = 1 + g.IntN(12)
	}
	method, path, _ := strings.Cut(operation, " ")
	m := made{operation: operation, target: path}
	query := url.Values{}
	switch {
	case method == http.MethodGet:
		for name, value := range g.fields(op.Parameters) {
			query.Set(name, value)
		}
	case op.RequestBody.Content.At("text/csv") != nil && g.often(25):
		m.media = "text/csv"
		m.body = g.table(path)
	default:
		m.media, m.body = "application/json", string(g.value("", op.RequestBody.Content.At("application/json").Schema))
	}
	if m.media != "text/csv" || path == "/v1/plan" { // a table of requests is answered by a table
		g.control(query, op)
	}
	spoiled := g.spoil > 0 && g.values >= g.spoil
	m.wrong = spoiled && m.media != "text/csv"
	m.valid = !spoiled
	if g.spoil > 0 && !spoiled {
		m.valid, m.wrong = false, true
		if m.media == "application/json" {
			m.body = g.broken(m.body)
		} else {
			query.Set("made_up", "1")
		}
	}
	if len(query) > 0 {
		m.target += "?" + query.Encode()
	}
	return m
}

// control chooses the form of the answer.
func (g *maker) control(query url.Values, op *spec.Operation) {
	for _, p := range op.Parameters {
		switch {
		case p.Name == "format" && g.often(50):
			query.Set("format", plainText(one(g, p.Schema.Enum)))
		case p.Ref == "#/components/parameters/format" && g.often(50):
			query.Set("format", one(g, []string{"json", "csv"}))
		case p.Ref == "#/components/parameters/errors" && g.often(10):
			query.Set("errors", "cell")
		}
	}
	if query.Get("format") == "text" {
		query.Set("pick", one(g, []string{"id", "cost", "turns", "leaf_count", "warnings/0", "used", "steps/1/turns", "//"}))
	}
}

// broken spoils a body as a whole.
func (g *maker) broken(body string) string {
	switch g.IntN(4) {
	case 0:
		return strings.TrimSuffix(body, "}") + strings.Repeat(",", min(1, len(body)-2)) + `"made_up":1}`
	case 1:
		return body[:len(body)-1]
	case 2:
		return "[" + body + "]"
	}
	return body + body
}

// resolved follows a reference; what stands beside it is what holds.
func (g *maker) resolved(s *spec.Schema) (*spec.Schema, string) {
	if s.Ref == "" {
		return s, ""
	}
	name := strings.TrimPrefix(s.Ref, "#/components/schemas/")
	of := **g.doc.Components.Schemas.At(name)
	if s.Description != "" {
		of.Description = s.Description + " " + of.Description[:0]
	}
	return &of, name
}

// object gives an object with what is required and some of the rest.
func (g *maker) object(s *spec.Schema) []byte {
	text := []byte{'{'}
	for _, p := range s.Properties {
		if !slices.Contains(s.Required, p.Name) && !g.wanted(p.Name) {
			continue
		}
		if len(text) > 1 {
			text = append(text, ',')
		}
		text = append(append(text, quoted(p.Name)...), ':')
		if p.Name == "units" {
			text = append(text, quoted(g.units())...)
			continue
		}
		text = append(text, g.value(p.Name, p.Value)...)
	}
	return append(text, '}')
}

// wanted tells whether an optional field is there. Plans are always limited, and
// most have widths and lengths.
func (g *maker) wanted(name string) bool {
	switch name {
	case "units":
		return g.mm || g.often(20)
	case "work_limit", "time_limit_seconds":
		return true
	case "width", "length":
		return g.often(max(g.fill, 90))
	}
	return g.often(g.fill)
}

func (g *maker) units() string {
	if g.mm {
		return "mm"
	}
	return "in"
}

// calls gives a batch of some calculators.
func (g *maker) calls() []byte {
	var list []string
	for range 1 + g.IntN(3) {
		name := one(g, g.calculators())
		path := g.doc.Paths.At(name)
		list = append(list, `{"path":`+string(quoted(name))+`,"body":`+string(g.value("", path.Post.RequestBody.Content.At("application/json").Schema))+"}")
	}
	if g.spoil > 0 && g.values >= g.spoil {
		list = append(list, "1") // a fault in a call is told in the call's own answer
	}
	return []byte(`{"requests":[` + strings.Join(list, ",") + "]}")
}

// calculators lists the paths that a batch may call.
func (g *maker) calculators() []string {
	var list []string
	for _, p := range g.doc.Paths {
		if p.Value.Post != nil && p.Name != "/v1/plan" && p.Name != "/v1/batch" {
			list = append(list, p.Name)
		}
	}
	return list
}

// listed marks a parameter that is a list in one text.
var listed = regexp.MustCompile(`Values are separated by spaces(, lists by semicolons)?\.`)

// fields gives the fields of a query or of a row.
func (g *maker) fields(parameters []spec.Parameter) map[string]string {
	fields := map[string]string{}
	for _, p := range parameters {
		switch {
		case p.Ref == "#/components/parameters/units" || p.Name == "units":
			if g.wanted("units") {
				fields["units"] = g.units()
			}
			continue
		case p.Ref != "" || p.In != "query" || p.Name == "format" || !p.Required && !g.wanted(last(p.Name)):
			continue
		}
		fields[p.Name] = g.cell(p)
	}
	return fields
}

func last(name string) string { return name[strings.LastIndexByte(name, '.')+1:] }

// cell gives a value as text. A text cannot have the wrong type, so what spoils
// it is a text that is none of its kind.
func (g *maker) cell(p spec.Parameter) string {
	m := listed.FindStringSubmatch(p.Description)
	if m == nil {
		return g.scalar(last(p.Name), p.Schema)
	}
	values := make([]string, 1+g.IntN(4))
	for i := range values {
		values[i] = g.listedValue(p)
	}
	if m[1] == "" {
		return strings.Join(values, " ")
	}
	row := strings.Join(values, " ")
	return strings.TrimSuffix(strings.Repeat(row+";", 2+g.IntN(3)), ";")
}

// listedValue gives one value of a list: a word where the description says which,
// else a small length.
func (g *maker) listedValue(p spec.Parameter) string {
	switch {
	case strings.HasPrefix(p.Name, "places"):
		return one(g, []string{"top", "middle", "bottom"})
	case strings.HasPrefix(p.Name, "ends"):
		return one(g, []string{"first", "last"})
	}
	return string(number(float64(40+g.IntN(30)) / 1000))
}

func (g *maker) scalar(name string, s *spec.Schema) string {
	of, kind := g.resolved(s)
	g.values++
	if g.values != g.spoil {
		return asText(g.rightValue(name, of, kind))
	}
	for {
		if text := asText(g.wrongValue(of, kind)); of.Type != "string" || len(of.Enum) > 0 || of.MaxLength != nil && len(text) > *of.MaxLength {
			return text
		}
		if of.Type == "string" && of.MaxLength == nil {
			g.spoil++ // any text will do: the next value is wrong
			return asText(g.rightValue(name, of, kind))
		}
	}
}

// asText is a JSON value as a query or a cell has it.
func asText(value []byte) string {
	var text string
	if json.Unmarshal(value, &text) == nil {
		return text
	}
	return string(value)
}

// table gives rows of requests, or a plan's boards and parts.
func (g *maker) table(path string) string {
	item := g.doc.Paths.At(path)
	if path == "/v1/plan" {
		return "table,name,thickness,width,length,quantity\nboard,a,2,6,30,3\npart,b," + strconv.FormatFloat(g.Float64()/5, 'f', 3, 64) + ",3,20,4\n"
	}
	var names []string
	for len(names) == 0 {
		names = slices.Sorted(maps.Keys(g.fields(item.Get.Parameters)))
	}
	lines := []string{strings.Join(names, ",")}
	for range 1 + g.IntN(5) {
		lines = append(lines, strings.Join(g.rowOf(item.Get.Parameters, names), ","))
	}
	return strings.Join(lines, "\n") + "\n"
}

// rowOf gives the cells of a row.
func (g *maker) rowOf(parameters []spec.Parameter, names []string) []string {
	cells := make([]string, len(names))
	for i, name := range names {
		if name == "units" {
			cells[i] = g.units()
			continue
		}
		p := parameters[slices.IndexFunc(parameters, func(p spec.Parameter) bool { return p.Name == name })]
		cells[i] = `"` + strings.NewReplacer(`"`, `""`, "\n", " ", "\r", " ").Replace(g.cell(p)) + `"`
	}
	return cells
}
