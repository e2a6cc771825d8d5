package main

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"resawd/api"
	"resawd/api/contract"
	"resawd/api/endpoint"
	"resawd/openapi/internal/spec"
)

// finisher turns the output of swag into the published document.
type finisher struct {
	doc  *spec.Document
	src  *source
	rows []contract.Row

	used, usedOfLess census // of the rows and of their requests with less in them, once they were taken

	service http.Handler // answers what no row shows whole
}

// finish makes every repair, in order.
func (f *finisher) finish() error {
	if f.doc.Info.License == nil {
		return errors.New("the general annotations are missing")
	}
	f.doc.ExternalDocs = nil                             // swag writes it empty
	f.doc.Security = []spec.Requirement{{}, {"key": {}}} // whoever runs the service decides whether keys are needed
	f.doc.Components.Security = spec.Object[spec.Scheme]{{Name: "key", Value: spec.Scheme{
		Type: "http", Scheme: "bearer",
		Description: "A key that whoever runs the service gives out, where keys are in use: its roles are use (calculators and the shop), prices (what the shop pays and charges, /v1/price) and metrics (/metrics). Where the service is told to, it also takes a key from the query field key, for cells that cannot send a header.",
	}}}
	f.doc.Components.Responses, f.doc.Components.Headers = f.sharedResponses(), sharedHeaders()
	f.doc.Info.License.Identifier = f.doc.Info.License.Name // swag knows no SPDX identifier
	f.shareControls()
	for _, repair := range []func() error{f.repairSchemas, f.part, f.completeOperations, f.listProblems} {
		if err := repair(); err != nil {
			return err
		}
	}
	f.addQuantities()
	slices.SortFunc(f.doc.Components.Schemas, func(a, b spec.Member[*spec.Schema]) int { return strings.Compare(a.Name, b.Name) })
	return nil
}

// isQuantity reports whether a type is a number with a unit of its own on the wire.
func (f *finisher) isQuantity(kind string) bool {
	_, ok := f.src.quantities[kind]
	return ok
}

const lengthKind = "length.Length"

// asText are the quantities that a request may also give as a text with a unit. Their
// schemas for requests end in Input.
var asText = map[string]bool{lengthKind: true, "endpoint.Feed": true, "endpoint.BladeSpeed": true}

// addQuantities adds a schema for each quantity that the others refer to.
func (f *finisher) addQuantities() {
	double := spec.Schema{Type: "number", Format: "double"}
	input := &spec.Schema{
		OneOf: []*spec.Schema{&double, {Type: "string"}},
		Description: "A length as people write it: a number, or a text such as \"0.05\", \"1/2\", \"1-1/2 in\", \"3ft 2in\", \"45 thou\" or \"1.2mm\". " +
			"A number, and a text without a unit, is in `units`. Units are in, inch, inches, \", ft, ', thou, mm, cm, m and um. " +
			"The marks that phones write in their place, such as 6½ and 2”, are read as well. It is read exactly, to the nanometre; 100 m is the longest.",
	}
	output := double
	output.Description = "A length in the `units` that stand beside it: exact in mm, to 8 decimals in inches."
	all := map[string]*spec.Schema{"LengthInput": input, "Length": &output}
	for kind, comment := range f.src.quantities {
		if kind != lengthKind {
			_, name, _ := strings.Cut(kind, ".")
			one := double
			one.Description = comment
			all[name] = &one
			all[name+"Input"] = &spec.Schema{
				OneOf:       []*spec.Schema{&double, {Type: "string"}},
				Description: strings.TrimSuffix(comment, ".") + ". Or a text with a unit of its own, such as \"10 ft/min\" or \"3 m/min\".",
			}
		}
	}
	for name, s := range all {
		if slices.Contains(f.refs(), schemaPath+name) {
			f.doc.Components.Schemas.Set(name, s)
		}
	}
}

// refs lists every reference to a schema.
func (f *finisher) refs() (refs []string) {
	note := func(ref *string) { refs = append(refs, *ref) }
	for _, s := range f.doc.Components.Schemas {
		eachRef(s.Value, note)
	}
	for _, ref := range append(f.requests(), f.answers()...) {
		note(ref)
	}
	return refs
}

// completeOperations adds what swag cannot say about operations, and the GET of every
// calculator.
func (f *finisher) completeOperations() error {
	annotated := f.doc.Paths
	f.doc.Paths = nil
	for _, k := range api.Calculators() {
		at := annotated.At(k.Path)
		if at == nil || at.Post == nil || at.Get != nil {
			return fmt.Errorf("%s: the calculator needs an annotation of its POST, and of nothing else", k.Path)
		}
		c := calculatorDoc{f, &k, at.Post}
		item, err := c.complete()
		if err != nil {
			return fmt.Errorf("%s: %w", k.Path, err)
		}
		f.doc.Paths.Set(k.Path, item)
	}
	for _, p := range annotated {
		if f.doc.Paths.At(p.Name) != nil {
			continue
		}
		if p.Value.Get == nil || p.Value.Post != nil {
			return fmt.Errorf("%s: what is no calculator answers GET only", p.Name)
		}
		f.completeResource(p.Name, p.Value.Get)
		f.doc.Paths.Set(p.Name, p.Value)
	}
	f.doc.Paths = append(f.doc.Paths, probes()...)
	return nil
}

// completeResource completes a GET that takes no fields.
func (f *finisher) completeResource(path string, op *spec.Operation) {
	answer := *op.Responses.At("200")
	answer.Headers = answerHeaders(true)
	f.exampleOf(path, "GET", "application/json", answer.Content.At("application/json"))
	op.Responses = append(spec.Object[spec.Response]{{Name: "200", Value: answer}}, refsTo("304", "400", "401", "403", "405", "406", "429", "500")...)
}

// answerHeaders are the headers of an answer, with an ETag or without.
func answerHeaders(tagged bool) spec.Object[spec.Header] {
	list := spec.Object[spec.Header]{{Name: requestID, Value: spec.Header{Ref: headerPath + "RequestId"}}}
	if tagged {
		list.Set("ETag", etag)
	}
	return list
}

// listProblems lists the types of problem.
func (f *finisher) listProblems() error {
	at := f.doc.Components.Schemas.At("Problem")
	if at == nil {
		return errors.New("there is no schema of a problem")
	}
	for _, t := range endpoint.ProblemTypes {
		kind := (*at).Properties.At("type")
		(*kind).Enum = append((*kind).Enum, literal(t.Path()))
	}
	return nil
}

var etag = spec.Header{
	Description: "Names this very answer; send it as If-None-Match to learn whether the answer has changed",
	Schema:      &spec.Schema{Type: "string"},
}

// literal is a text as JSON.
func literal(text string) jsontext.Value {
	quoted, _ := jsontext.AppendQuote(nil, text) // an error is of invalid UTF-8, which it has replaced
	return quoted
}
