package openapi_test

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"resawd/api"
	"resawd/openapi/internal/spec"
)

// TestParameters: the query of a GET has the fields that the router reads, and
// says of each what the body of the POST says.
func TestParameters(t *testing.T) {
	doc := document(t)
	list := operations(doc)
	for _, k := range api.Calculators() {
		if k.ByPost {
			continue // it has no GET
		}
		given := map[string]spec.Parameter{}
		for _, p := range list["GET "+k.Path].Parameters {
			if p.Ref != "" {
				p = *doc.Components.Parameters.At(strings.TrimPrefix(p.Ref, "#/components/parameters/"))
			}
			given[p.Name] = p
		}
		for _, name := range []string{"format", "pick", "errors", "decimal"} {
			if given[name].Schema == nil {
				t.Errorf("%s: no parameter %s", k.Path, name)
			}
			delete(given, name)
		}
		for name, path := range k.QueryFields() {
			p, required := property(doc, k.Request.Name(), path)
			got := given[name]
			delete(given, name)
			p.Description, got.Description = "", strings.TrimPrefix(got.Description, p.Description)
			if p.Type == "array" { // one text, as its description goes on to say
				p = spec.Schema{Type: "string"}
				if strings.Contains(got.Description, "separated by spaces") {
					got.Description = ""
				}
			}
			if got.In != "query" || got.Required != required || got.Description != "" || !reflect.DeepEqual(got.Schema, &p) {
				t.Errorf("%s: the parameter %s and the property %s differ", k.Path, name, path)
			}
		}
		for name := range given {
			t.Errorf("%s: the parameter %s is none of the router", k.Path, name)
		}
	}
}

// property finds the field at a dotted path of a schema, and whether it is
// required.
func property(doc *spec.Document, schema, path string) (spec.Schema, bool) {
	at, required := &spec.Schema{Ref: "#/components/schemas/" + schema}, true
	for name := range strings.SplitSeq(path, ".") {
		object := *doc.Components.Schemas.At(strings.TrimPrefix(at.Ref, "#/components/schemas/"))
		at = *object.Properties.At(name)
		required = required && slices.Contains(object.Required, name)
	}
	return *at, required
}
