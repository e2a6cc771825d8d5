// Package form makes a form of each calculator from the published document, so that
// what a calculator takes is written down once. A form works without its script if the
// calculator answers with a page; the script shows other answers beside the form, puts
// mistakes beside their fields and follows a search.
package form

import (
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// Form asks for what a calculator takes.
type Form struct {
	Path     string // of the calculator
	Name     string // in the form's own address
	Title    string
	About    string
	First    []Field // what nearly everybody fills in
	More     []Field
	Tables   []Table
	Measures string // what the numbers of its answer measure: paths in it, each with the name of a schema
	Post     bool   // whether the calculator takes POST only
	Page     bool   // whether the calculator answers with a page to print
	Events   bool   // whether the calculator reports its progress
}

// Field asks for one value.
type Field struct {
	Name     string // in a query
	JSON     string // in a body, dotted
	Label    string
	Hint     string
	Kind     string // text, length, whole, number, truth, list or lists; of an object in a cell, its fields with theirs
	Inside   string // what goes into a cell that holds objects
	Example  string
	Options  []string // the values to choose from, if only these are possible
	Default  string   // among the options
	List     string   // whose names are known: saw, blade, fixing, species or symptom
	Required bool
}

// Open reports whether all fields are equally important, so that none are folded away.
func (f Form) Open() bool {
	return !slices.ContainsFunc(f.First, func(one Field) bool { return one.Required }) && !slices.ContainsFunc(f.Tables, func(t Table) bool { return t.Required })
}

// Table asks for a list, one entry a line.
type Table struct {
	Name, Label, Hint string
	Columns           []Field
	Required          bool
	Example           string // lines of such a table
}

// Said is the form's name as people say it.
func (f Form) Said() string { return strings.ReplaceAll(f.Name, "-", " ") }

// document is the part of the published document that forms need.
type document struct {
	Paths      map[string]struct{ Get, Post *operation }
	Components struct{ Schemas map[string]*schema }
}

type operation struct {
	Summary, Description string
	Parameters           []struct {
		Name    string
		Example any
	}
	RequestBody struct {
		Content map[string]struct {
			Schema   *schema
			Examples map[string]struct{ Value any }
		}
	}
	Responses map[string]struct {
		Content map[string]struct{ Schema *schema }
	}
}

type schema struct {
	Ref         string `json:"$ref"`
	Type        any
	Description string
	Enum        []string
	Default     any
	Required    []string
	Items       *schema
	Properties  properties
}

// properties are the fields of a schema, in the order of the document.
type properties []property

type property struct {
	name string
	*schema
}

// UnmarshalJSON keeps the order of the fields.
func (p *properties) UnmarshalJSON(text []byte) error {
	d := json.NewDecoder(strings.NewReader(string(text)))
	if _, err := d.Token(); err != nil {
		return err
	}
	for d.More() {
		name, err := d.Token()
		if err != nil {
			return err
		}
		one := property{name: fmt.Sprint(name), schema: &schema{}}
		if err := d.Decode(one.schema); err != nil {
			return err
		}
		*p = append(*p, one)
	}
	return nil
}

// Read makes the forms of the calculators at some paths, in that order.
func Read(text []byte, paths []string) ([]Form, error) {
	var d document
	if err := json.Unmarshal(text, &d); err != nil {
		return nil, err
	}
	forms := make([]Form, 0, len(paths))
	for _, path := range paths {
		post := d.Paths[path].Post
		if post == nil {
			return nil, fmt.Errorf("form: the document has no POST %s", path)
		}
		forms = append(forms, d.form(path, d.Paths[path].Get, post))
	}
	return forms, nil
}

func (d *document) form(path string, get, post *operation) Form {
	f := Form{Path: path, Name: strings.ReplaceAll(strings.TrimPrefix(path, "/v1/"), "/", "-"), Title: post.Summary, Post: get == nil}
	f.About, _, _ = strings.Cut(post.Description, "\n")
	answers := post.Responses["200"].Content
	_, f.Page = answers["text/html"]
	_, f.Events = answers["text/event-stream"]
	examples := map[string]any{}
	if get != nil {
		for _, p := range get.Parameters {
			examples[p.Name] = p.Example
		}
	}
	f.Measures = strings.Join(d.measures(answers["application/json"].Schema, ""), " ")
	body := post.RequestBody.Content["application/json"]
	d.fill(&f, d.resolve(body.Schema), "", examples)
	example, _ := body.Examples["contract"].Value.(map[string]any)
	for i, t := range f.Tables {
		entries, _ := example[t.Name].([]any)
		f.Tables[i].Example = t.lines(entries)
	}
	slices.SortStableFunc(f.First, func(a, b Field) int { return rank(a) - rank(b) })
	return f
}

// resolve follows a reference.
func (d *document) resolve(s *schema) *schema {
	if name, ok := strings.CutPrefix(s.Ref, "#/components/schemas/"); ok {
		return d.Components.Schemas[name]
	}
	return s
}

// measured are the schemas of numbers whose unit goes with the request.
var measured = []string{"Length", "Area", "Feed", "BladeSpeed", "Bite", "Money"}

// measures lists what the numbers of an answer measure, each by its path, where
// the entries of a list have no place: path:schema. What a form does not show is left out.
func (d *document) measures(object *schema, within string) (list []string) {
	for _, p := range d.resolve(object).Properties {
		of, path := p.schema, within+p.name
		if d.resolve(of).Type == "array" {
			of = d.resolve(of).Items
		}
		kind := strings.TrimPrefix(of.Ref, "#/components/schemas/")
		switch {
		case p.name == "used" || p.name == "run":
		case d.resolve(of).Type == "object":
			list = append(list, d.measures(of, path+"/")...)
		case slices.Contains(measured, kind):
			list = append(list, path+":"+kind)
		}
	}
	return list
}

// fill adds the fields of an object, and of the objects in it.
func (d *document) fill(f *Form, object *schema, within string, examples map[string]any) {
	for _, p := range object.Properties {
		path, of := within+p.name, d.resolve(p.schema)
		switch {
		case of.Type == "object":
			d.fill(f, of, path+".", examples)
		case of.Type == "array" && d.resolve(of.Items).Type == "object":
			f.Tables = append(f.Tables, d.table(p, of, slices.Contains(object.Required, p.name)))
		default:
			one := field(path, p.schema, of)
			one.Required = slices.Contains(object.Required, p.name)
			if example := examples[one.Name]; example != nil {
				one.Example = fmt.Sprint(example)
			}
			if one.Required || slices.Contains(usual, one.Name) {
				f.First = append(f.First, one)
			} else {
				f.More = append(f.More, one)
			}
		}
	}
}

// table asks for a list of objects. An object in an entry, or a list of objects, goes
// into one cell; other lists can only be sent as JSON.
func (d *document) table(p property, of *schema, required bool) Table {
	t := Table{Name: p.name, Label: label(p.name), Hint: hint(p.Description), Required: required}
	item := d.resolve(of.Items)
	for _, column := range item.Properties {
		inner := d.resolve(column.schema)
		c := field(column.name, column.schema, inner)
		switch {
		case inner.Type == "object":
			d.inCell(&c, "one", inner)
		case inner.Type == "array" && d.resolve(inner.Items).Type == "object":
			d.inCell(&c, "list", d.resolve(inner.Items))
			c.Inside += ", a semicolon before the next"
		case inner.Type == "array":
			continue
		}
		c.Required = slices.Contains(item.Required, column.name)
		t.Columns = append(t.Columns, c)
	}
	return t
}

// lines writes the first two entries of an example under a line of the columns that the
// first has.
func (t *Table) lines(entries []any) string {
	if len(entries) == 0 {
		return ""
	}
	first, _ := entries[0].(map[string]any)
	columns := slices.DeleteFunc(slices.Clone(t.Columns), func(c Field) bool { return first[c.Name] == nil || c.Inside != "" })
	line := func(cell func(Field) any) string {
		cells := make([]string, len(columns))
		for i, c := range columns {
			if value := cell(c); value != nil {
				cells[i] = fmt.Sprint(value)
			}
		}
		return strings.Join(cells, "; ")
	}
	lines := []string{line(func(c Field) any { return c.Name })}
	for _, entry := range entries[:min(2, len(entries))] {
		object, _ := entry.(map[string]any)
		lines = append(lines, line(func(c Field) any { return object[c.Name] }))
	}
	return strings.Join(lines, "\n")
}

// inCell asks for objects in a cell, by their fields in order.
func (d *document) inCell(c *Field, kind string, object *schema) {
	var names []string
	c.Kind = kind
	for _, p := range object.Properties {
		names = append(names, p.name)
		c.Kind += "/" + p.name + "=" + field(p.name, p.schema, d.resolve(p.schema)).Kind
	}
	c.Inside = strings.Join(names, " ")
}

// usual are the optional fields that come first.
var usual = []string{"leaf_thickness", "leaf_count", "readings", "target", "species", "board_species", "board_name", "saw", "blade", "units"}

// rank puts what is measured before what is chosen.
func rank(f Field) int {
	if f.Required {
		return 0
	}
	return 1 + slices.Index(usual, f.Name)
}

// suggested are the fields whose names are known.
var suggested = map[string]string{"saw": "saw", "blade": "blade", "fixing": "fixing", "species": "species", "board_species": "species", "symptom": "symptom"}

func field(path string, own, of *schema) Field {
	f := Field{
		Name: strings.ReplaceAll(path, ".", "_"), JSON: path, Label: label(path), Hint: hint(own.Description), Kind: "text", Options: of.Enum,
	}
	if own.Default != nil {
		f.Default = fmt.Sprint(own.Default) + ", by default"
	}
	if strings.HasSuffix(own.Ref, "Input") {
		f.Kind = "length" // or another quantity that may have a unit of its own
	}
	f.List = suggested[f.Name]
	switch of.Type {
	case "integer":
		f.Kind = "whole"
	case "number":
		f.Kind = "number"
	case "boolean":
		f.Kind = "truth"
	case "array":
		if len(of.Items.Enum) > 0 {
			f.Hint += ": " + strings.Join(of.Items.Enum, ", ")
		}
		f.Kind, f.Hint = "list", f.Hint+". Spaces separate the values"
		if of.Items.Type == "array" {
			f.Kind, f.Hint = "lists", f.Hint+"; begin a line, or write a semicolon, before the next list of them"
		}
	}
	return f
}

var (
	limits     = regexp.MustCompile(`\. (Above|At least|At most|Up to)\b[^.]*(\.[0-9][^.]*)*\.?$`)
	fieldNames = regexp.MustCompile(`\b[a-z]+(_[a-z]+)+\b`)
)

// hint is the description of a field without its limits, which the message about a
// mistake has, and with other fields called by their labels.
func hint(description string) string {
	text := limits.ReplaceAllString(description, "")
	return fieldNames.ReplaceAllStringFunc(text, func(name string) string { return strings.ReplaceAll(name, "_", " ") })
}

// abbreviations are words that people say differently from the fields' names.
var abbreviations = strings.NewReplacer("Tpi", "Teeth per inch", "Rpm", "Rpm of the driven wheel", "hold back", "hold-back", "Hold back", "Hold-back", "Z", "z", "sd", "standard deviation")

// label is a field's name as people read it.
func label(name string) string {
	text := strings.NewReplacer("_", " ", ".", " ").Replace(name)
	return abbreviations.Replace(strings.ToUpper(text[:1]) + text[1:])
}
