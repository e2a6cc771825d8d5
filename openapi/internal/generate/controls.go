package main

import (
	"slices"

	"github.com/go-json-experiment/json/jsontext"

	"resawd/api"
	"resawd/openapi/internal/spec"
)

const parameterPath = "#/components/parameters/"

// controls are the query fields that both methods take. A calculator with more forms
// than the others has a parameter format of its own.
func (c calculatorDoc) controls() []spec.Parameter {
	list := []spec.Parameter{{Ref: parameterPath + "format"}, {Ref: parameterPath + "pick"}, {Ref: parameterPath + "errors"}, {Ref: parameterPath + "decimal"}}
	if !slices.Equal(c.Formats(), usualFormats()) {
		list[0] = formatParameter(c.Formats())
	}
	return list
}

// usualFormats are the forms that most calculators offer: the shortest list.
func usualFormats() []string {
	return slices.MinFunc(formats(), func(a, b []string) int { return len(a) - len(b) })
}

func formats() (lists [][]string) {
	for _, k := range api.Calculators() {
		lists = append(lists, k.Formats())
	}
	return lists
}

func formatParameter(names []string) spec.Parameter {
	return choice("format", "Form of the answer, in place of the Accept header; text needs pick", names...)
}

// choice is a query parameter that takes one of a few words.
func choice(name, description string, words ...string) spec.Parameter {
	s := &spec.Schema{Type: "string"}
	for _, w := range words {
		s.Enum = append(s.Enum, literal(w))
	}
	return spec.Parameter{Name: name, In: "query", Description: description, Schema: s}
}

// shareControls adds the parameters that every calculator takes.
func (f *finisher) shareControls() {
	pick := spec.Parameter{Name: "pick", In: "query", Schema: &spec.Schema{Type: "string", MinLength: new(1)},
		Description: "JSON Pointer (RFC 6901) to the one value to answer with; its leading slash may be left out: turns, steps/0/reading. The answer is then that value alone, as text or csv; json is always the whole answer"}
	f.doc.Components.Parameters = spec.Object[spec.Parameter]{
		{Name: "format", Value: formatParameter(usualFormats())},
		{Name: "pick", Value: pick},
		{Name: "errors", Value: choice("errors", "cell: in csv and text, problems of status 400, 401, 403, 404, 422, 429 and 503 are answered with 200 and a text that begins with \"error:\", because spreadsheets show nothing else of them", "cell")},
		{Name: "decimal", Value: choice("decimal", "Decimal sign of csv and text; comma is also read in the query, and then semicolons separate the columns of csv", "point", "comma")},
	}
	f.doc.Components.Parameters.At("decimal").Schema.Default = jsontext.Value(`"point"`)
}

// shareUnits adds the parameter units as the request has it.
func (c calculatorDoc) shareUnits() error {
	p, err := c.parameter("units")
	p.Name, p.In = "units", "query"
	c.doc.Components.Parameters.Set("units", p)
	return err
}
