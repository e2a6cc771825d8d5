package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"resawd/api/endpoint"
	"resawd/api/sheet"
	"resawd/openapi/internal/spec"
)

// calculatorDoc completes the operations of one calculator from its annotated POST. The
// GET is derived, because swag cannot read nested or custom types in a query.
type calculatorDoc struct {
	*finisher
	*endpoint.Calculator
	post *spec.Operation
}

func (c calculatorDoc) complete() (spec.PathItem, error) {
	answer := c.post.Responses.At("200")
	if answer == nil || c.post.RequestBody == nil {
		return spec.PathItem{}, errors.New("the annotation has no body, or no answer of status 200")
	}
	post := c.completePost(answer)
	if c.ByPost {
		return spec.PathItem{Post: post}, nil
	}
	get := *c.post
	get.OperationID += "_query"
	get.RequestBody = nil
	get.Description += c.inQuery()
	var err error
	if get.Parameters, err = c.queryParameters(); err != nil {
		return spec.PathItem{}, err
	}
	get.Responses = append(c.answer(answer, "GET"), refsTo("304", "400", "401", "403", "405", "406", "422", "429", "500", "503")...)
	get.Responses[0].Value.Headers = answerHeaders(true)
	return spec.PathItem{Get: &get, Post: post}, nil
}

// inQuery says where the fields stand in a query.
func (c calculatorDoc) inQuery() string {
	text := []string{"\n\nThe fields stand in the query."}
	names, dotted := map[string]bool{}, false
	for name, path := range c.QueryFields() {
		first, _, _ := strings.Cut(path, ".")
		names[first] = true
		dotted = dotted || strings.Contains(name, ".")
	}
	if dotted {
		text = append(text, "A nested field has a dotted name.")
	}
	for _, field := range c.src.structs[c.Request.String()].fields {
		if !names[field.name] {
			text = append(text, "The field "+field.name+" can only be sent by POST.")
		}
	}
	return strings.Join(text, " ")
}

// completePost describes the POST.
func (c calculatorDoc) completePost(answer *spec.Response) *spec.Operation {
	post := *c.post
	post.Parameters = c.controls()
	post.Responses = append(c.answer(answer, "POST"), refsTo("400", "401", "403", "405", "406", "408", "413", "415", "422", "429", "500", "503")...)
	post.RequestBody = c.body()
	return &post
}

// answer describes the answer of status 200, in every form that the calculator offers.
func (c calculatorDoc) answer(swag *spec.Response, method string) spec.Object[spec.Response] {
	r := spec.Response{Headers: answerHeaders(false), Description: "The answer; with errors=cell also most problems, as text"}
	for _, mediaType := range c.MediaTypes() {
		m := spec.Media{Schema: &spec.Schema{Type: "string"}}
		switch mediaType {
		case "application/json":
			m.Schema = swag.Content.At(mediaType).Schema
		case sheet.TypeXLSX: // bytes, which a schema says nothing of
			m.Schema = nil
		}
		if mediaType == "text/event-stream" {
			m = c.events()
		}
		c.exampleOf(c.Path, method, mediaType, &m)
		r.Content.Set(mediaType, m)
	}
	return spec.Object[spec.Response]{{Name: "200", Value: r}}
}

// body describes the body of a POST, with the request of the first row that succeeds as
// its example.
func (c calculatorDoc) body() *spec.Body {
	m := spec.Media{Schema: &spec.Schema{Ref: c.post.RequestBody.Content.At("application/json").Schema.Ref}}
	if row, ok := c.row(c.Path, "POST", "application/json"); ok {
		m.Examples.Set(exampleName, spec.Example{Summary: row.Name, Value: jsontext.Value(row.Body)})
	}
	content := spec.Object[spec.Media]{{Name: "application/json", Value: m}}
	if !c.ByPost || c.Long {
		content.Set(typeCSV, c.table())
	}
	return &spec.Body{Description: "The fields of the calculator", Required: true, Content: content}
}

const typeCSV = "text/csv"

// table describes a table as a body: many requests, or the lists of one.
func (c calculatorDoc) table() spec.Media {
	m := spec.Media{Schema: &spec.Schema{Type: "string", Description: c.ofTable()}}
	for _, row := range c.rows {
		if at, _, _ := strings.Cut(row.Target, "?"); at == c.Path && row.Status == 200 && row.Table() {
			m.Examples.Set(exampleName, spec.Example{Summary: row.Name, Description: row.Method + " " + row.Target, Value: literal(row.Body)})
			break
		}
	}
	return m
}

func (c calculatorDoc) ofTable() string {
	if c.Long {
		return "The lists of one request as a table, under a header with the names of their entries' fields. A row is an entry; the column `table` says which list it belongs to, such as board or part. " +
			"A list of scalars in a cell has its values separated by spaces; a list of objects has the values of each object in the order of its fields, and a semicolon before the next object. " +
			"All other fields stand in the query. A record is one line of at most 65536 bytes; its cells are separated by commas or semicolons."
	}
	return "A table of requests, one a row, under a header with the names that fields have in a query. " +
		"It is answered row by row as it arrives, whatever its length: the client must read while it sends. " +
		"The answer repeats the columns, adds the scalars of the answer, those of an object in it under both names as in `summary_leaf_count`, and `warnings`, and says under `error` what is wrong with a row; the other rows are answered nevertheless. " +
		"Fields that hold for every row may stand in the query. A record is one line of at most 65536 bytes; its cells are separated by commas or semicolons."
}

// queryParameters lists the fields of the request that a query can hold, with the
// values of the first row as examples.
func (c calculatorDoc) queryParameters() ([]spec.Parameter, error) {
	values := c.exampleQuery(c.Path)
	var list []spec.Parameter
	for name, path := range c.QueryFields() {
		if name == "units" {
			continue // a shared one
		}
		p, err := c.parameter(path)
		if err != nil {
			return nil, err
		}
		p.Name, p.In = name, "query"
		if values.Has(name) {
			p.Example = valueOf(p.Schema, values.Get(name))
		}
		list = append(list, p)
	}
	units := spec.Parameter{Ref: parameterPath + "units"}
	return append(append(list, units), c.controls()...), c.shareUnits()
}

// parameter describes the field at a path of the request.
func (c calculatorDoc) parameter(path string) (spec.Parameter, error) {
	at := &spec.Schema{Ref: c.post.RequestBody.Content.At("application/json").Schema.Ref}
	required := true
	for name := range strings.SplitSeq(path, ".") {
		object := c.doc.Components.Schemas.At(strings.TrimPrefix(at.Ref, schemaPath))
		if object == nil || (*object).Properties.At(name) == nil {
			return spec.Parameter{}, fmt.Errorf("the query field %s is no property of the request", path)
		}
		at = *(*object).Properties.At(name)
		required = required && slices.Contains((*object).Required, name)
	}
	bare, description := *at, at.Description
	if at.Type == "array" {
		bare = spec.Schema{Type: "string"}
		description = sentence(description) + inOneText(at)
	}
	bare.Description = ""
	return spec.Parameter{Description: description, Required: required, Schema: &bare}, nil
}

// inOneText says how a query holds a list.
func inOneText(list *spec.Schema) string {
	if list.Items.Type == "array" {
		return " Values are separated by spaces, lists by semicolons."
	}
	return " Values are separated by spaces."
}

// valueOf turns the value of a query into one that fits the parameter's schema.
func valueOf(s *spec.Schema, text string) jsontext.Value {
	if v := jsontext.Value(text); s.Type != "string" && v.IsValid() {
		return v
	}
	return literal(text)
}
