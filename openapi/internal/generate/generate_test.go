package main

import (
	"reflect"
	"strings"
	"testing"

	"github.com/go-json-experiment/json/jsontext"

	"resawd/openapi/internal/spec"
)

func TestComplaint(t *testing.T) {
	for _, said := range []string{
		"2026/01/01 00:00:00 Error parsing type definition 'calculator.X': cannot find type definition: length.Length\n",
		"2026/01/01 00:00:00 skip field, no type\n",
		"2026/01/01 00:00:00 warning: failed to get package name in dir: calc, error: execute go list command\n",
	} {
		if complaint([]byte("Generating calculator.X\n"+said)) == nil {
			t.Errorf("passes: %s", said)
		}
	}
	if err := complaint([]byte("2026/01/01 00:00:00 Generating endpoint.FieldError\n")); err != nil {
		t.Error(err)
	}
}

func field(kind, validate string) wireField {
	return wireField{"x", kind, reflect.StructTag(`json:"x,omitzero" validate:"` + validate + `"`)}
}

func TestRepairField(t *testing.T) {
	f := finisher{src: &source{quantities: map[string]string{lengthKind: "", "endpoint.Feed": ""}}}
	for _, c := range []struct {
		name  string
		swag  spec.Schema
		field wireField
		want  spec.Schema
	}{
		{"limits that swag loses", spec.Schema{Type: "number", Maximum: new(100.0)}, field("float64", "omitempty,gt=0,lte=99.5"),
			spec.Schema{Type: "number", Format: "double", ExclusiveMinimum: new(0.0), Maximum: new(99.5)}},
		{"a length", spec.Schema{Type: "number", Minimum: new(0.0), Description: "Kerf"}, field(lengthKind, "omitempty,gte=0,within=..1in"),
			spec.Schema{Ref: lengthKind, Description: "Kerf. At least 0, at most 25.4 mm."}},
		{"a length between two", spec.Schema{Type: "number"}, field(lengthKind, "within=1mm..1in"),
			spec.Schema{Ref: lengthKind, Description: "From 1 mm to 25.4 mm."}},
		{"a list of lengths", spec.Schema{Type: "array", Items: &spec.Schema{Type: "number"}}, field("[]"+lengthKind, "min=1,dive,gt=0"),
			spec.Schema{Type: "array", MinItems: new(1), Items: &spec.Schema{Ref: lengthKind, Description: "Above 0."}}},
		{"a list of lists", spec.Schema{Type: "array", Items: &spec.Schema{Type: "array", Items: &spec.Schema{Type: "number"}}},
			field("[][]"+lengthKind, "required,max=9,dive,min=1,max=3,dive,within=..1m"),
			spec.Schema{Type: "array", MaxItems: new(9), Items: &spec.Schema{Type: "array", MinItems: new(1), MaxItems: new(3),
				Items: &spec.Schema{Ref: lengthKind, Description: "At most 1000 mm."}}}},
		{"a list of words", spec.Schema{Type: "array", Items: &spec.Schema{Type: "string"}}, field("[]string", "dive,oneof=top bottom"),
			spec.Schema{Type: "array", Items: &spec.Schema{Type: "string", Enum: []jsontext.Value{literal("top"), literal("bottom")}}}},
		{"a list of numbers", spec.Schema{Type: "array", Items: &spec.Schema{Type: "number"}}, field("[]float64", "dive,gte=0,lte=9"),
			spec.Schema{Type: "array", Items: &spec.Schema{Type: "number", Format: "double", Minimum: new(0.0), Maximum: new(9.0)}}},
		{"a feed", spec.Schema{Type: "number"}, field("endpoint.Feed", "gt=0"), spec.Schema{Ref: "endpoint.Feed", Description: "Above 0."}},
	} {
		if err := f.repairField(&c.swag, c.field); err != nil || !reflect.DeepEqual(c.swag, c.want) {
			t.Errorf("%s: %+v, %v", c.name, c.swag, err)
		}
	}
	for _, c := range []struct {
		name  string
		swag  spec.Schema
		field wireField
	}{
		{"nothing", spec.Schema{}, field("any", "")},
		{"a list of nothing", spec.Schema{Type: "array", Items: &spec.Schema{}}, field("[]any", "")},
		{"a limit in a hidden unit", spec.Schema{Type: "number"}, field("endpoint.Feed", "lte=254000000")},
		{"a limit that is no number", spec.Schema{Type: "number"}, field("float64", "lte=ten")},
	} {
		if f.repairField(&c.swag, c.field) == nil {
			t.Errorf("%s passes", c.name)
		}
	}
}

func TestLostProperty(t *testing.T) {
	f := finisher{src: &source{}}
	s := spec.Schema{Type: "object"}
	s.Properties.Set("y", &spec.Schema{Type: "string"})
	for _, fields := range [][]wireField{{}, {field("string", "")}, {field("string", ""), field("string", "")}} {
		if err := f.repairFields(&s, fields); err == nil || !strings.Contains(err.Error(), "swag") {
			t.Errorf("%d fields: %v", len(fields), err)
		}
	}
}
