package openapi

import (
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/go-json-experiment/json/jsontext"

	"resawd/openapi/internal/spec"
)

// row is a field as the page shows it.
type row struct {
	Name, Kind, Description string
	Mark                    string // what sets it apart: required, or not always there
}

// marks are what sets a field apart, by whether it is required.
type marks map[bool]string

var (
	requestMarks = marks{true: "required"}
	answerMarks  = marks{false: "not always"}
)

// rowsOf lists the fields of an object, those of objects inside under dotted
// names, those of the entries of a list under names with []. What an answer
// repeats of the request is one row.
func rowsOf(doc *spec.Document, s *spec.Schema, prefix string, by marks) []row {
	object := resolve(doc, s)
	var rows []row
	for _, p := range object.Properties {
		name := prefix + p.Name
		rows = append(rows, rowOf(doc, name, p.Value, p.Value.Description, by[slices.Contains(object.Required, p.Name)]))
		switch inner := resolve(doc, p.Value); {
		case p.Name == "used":
		case inner.Type == "object":
			rows = append(rows, rowsOf(doc, inner, name+".", by)...)
		case inner.Type == "array" && resolve(doc, inner.Items).Type == "object":
			rows = append(rows, rowsOf(doc, inner.Items, name+"[].", by)...)
		}
	}
	return rows
}

// resolve follows a reference.
func resolve(doc *spec.Document, s *spec.Schema) *spec.Schema {
	if at := doc.Components.Schemas.At(refName(s)); at != nil {
		return *at
	}
	return s
}

func refName(s *spec.Schema) string { return strings.TrimPrefix(s.Ref, "#/components/schemas/") }

func rowOf(doc *spec.Document, name string, s *spec.Schema, description, mark string) row {
	kind := kindOf(doc, s)
	if limits := limitsOf(s); limits != "" {
		kind += ", " + limits
	}
	if s.Items != nil && s.Items.Ref != "" && s.Items.Description != "" {
		description = strings.TrimSpace(description + " Each: " + lower(s.Items.Description))
	}
	if s.Default != nil {
		kind += "; " + plain(s.Default) + " by default"
	}
	return row{name, kind, description, mark}
}

// kindOf says what a value looks like.
func kindOf(doc *spec.Document, s *spec.Schema) string {
	switch {
	case s.Ref != "" && resolve(doc, s).Type == "object":
		return "object"
	case s.Ref != "":
		return quantity(refName(s))
	case len(s.Enum) > 0:
		return alternatives(s.Enum)
	case s.Type == "array":
		return "list of " + kindOf(doc, s.Items)
	}
	return kinds[s.Type]
}

var kinds = map[string]string{"string": "text", "number": "number", "integer": "whole number", "boolean": "true or false", "object": "object"}

// quantity turns the name of a number with a unit of its own into words: BladeSpeed
// becomes blade speed.
func quantity(name string) string {
	var words strings.Builder
	for i, r := range strings.TrimSuffix(name, "Input") {
		if i > 0 && unicode.IsUpper(r) {
			words.WriteByte(' ')
		}
		words.WriteRune(unicode.ToLower(r))
	}
	return words.String()
}

func lower(text string) string { return strings.ToLower(text[:1]) + text[1:] }

func alternatives(values []jsontext.Value) string {
	words := make([]string, len(values))
	for i, v := range values {
		words[i] = plain(v)
	}
	return strings.Join(words, " | ")
}

func plain(v jsontext.Value) string { return strings.Trim(string(v), `"`) }

// limitsOf words the limits of a schema.
func limitsOf(s *spec.Schema) string {
	var limits []string
	add := func(words, unit string, limit *float64) {
		if limit != nil {
			limits = append(limits, words+" "+strconv.FormatFloat(*limit, 'f', -1, 64)+unit)
		}
	}
	add("above", "", s.ExclusiveMinimum)
	add("at least", "", s.Minimum)
	add("below", "", s.ExclusiveMaximum)
	add("at most", "", s.Maximum)
	add("at least", " characters", float(s.MinLength))
	add("at most", " characters", float(s.MaxLength))
	add("at least", " entries", float(s.MinItems))
	add("at most", " entries", float(s.MaxItems))
	return strings.Join(limits, ", ")
}

func float(n *int) *float64 {
	if n == nil {
		return nil
	}
	return new(float64(*n))
}
