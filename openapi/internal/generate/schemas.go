package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"resawd/api/rule"
	"resawd/calc/length"
	"resawd/openapi/internal/spec"
)

// repairSchemas adds to the schemas what swag loses of the Go types.
func (f *finisher) repairSchemas() error {
	for _, c := range f.doc.Components.Schemas {
		t := f.src.structs[c.Name]
		if t == nil {
			return fmt.Errorf("component %s: the source has no such struct", c.Name)
		}
		c.Value.Description = t.comment
		if err := f.repairFields(c.Value, t.fields); err != nil {
			return fmt.Errorf("component %s: %w", c.Name, err)
		}
	}
	return nil
}

// repairFields puts the properties into the order of the source, repairs each, and
// refuses a component that lacks one.
func (f *finisher) repairFields(s *spec.Schema, fields []wireField) error {
	if len(s.Properties) != len(fields) || len(fields) == 0 {
		return fmt.Errorf("swag gives %d properties for %d fields", len(s.Properties), len(fields))
	}
	properties := s.Properties
	s.Properties = nil
	for _, field := range fields {
		at := properties.At(field.name)
		if at == nil {
			return fmt.Errorf("swag gives no property %s", field.name)
		}
		if err := f.repairField(*at, field); err != nil {
			return fmt.Errorf("%s: %w", field.name, err)
		}
		s.Properties.Set(field.name, *at)
	}
	return nil
}

func (f *finisher) repairField(s *spec.Schema, field wireField) error {
	s.Description = strings.Join(strings.Fields(s.Description), " ") // a comment may have several lines
	s.Example = nil                                                  // tests send whole examples, not a field's own
	s.UniqueItems = false                                            // swag means unique=FIELD, which JSON Schema cannot say
	if f.isQuantity(field.kind) {
		s.Description += absentWords(field)
		*s = spec.Schema{Ref: field.kind, Description: strings.TrimSpace(sentence(s.Description) + quantityLimits(field))}
		return hiddenUnit(field)
	}
	if field.kind == "endpoint.Object" {
		s.AdditionalProperties = new(true)
	}
	if empty(s) {
		return fmt.Errorf("swag gives an empty schema for the type %s", field.kind)
	}
	if s.Type == "array" && !f.hasFields(field.entry().kind) {
		return f.repairEntries(s, field)
	}
	doubles(s)
	if text := field.tag.Get("absent"); text != "" {
		s.Default = jsontext.Value(text)
		if s.Type == "string" {
			s.Default = literal(text)
		}
	}
	return numberLimits(s, field)
}

// absentWords says what an absent quantity counts as: a value with a unit of its own
// cannot be the default of a schema.
func absentWords(field wireField) string {
	text := field.tag.Get("absent")
	if text == "" {
		return ""
	}
	words := "; " + spaced(text) + " by default"
	if metric, ok := field.tag.Lookup("metric"); ok {
		words += ", " + spaced(metric) + " in a request in mm"
	}
	return words
}

// spaced puts a space between a number and its unit.
func spaced(text string) string {
	i := strings.LastIndexAny(text, "0123456789") + 1
	if strings.Contains(text, " ") || i == len(text) {
		return text
	}
	return text[:i] + " " + text[i:]
}

// hasFields reports whether a type is a struct.
func (f *finisher) hasFields(kind string) bool { return f.src.structs[kind] != nil }

// repairEntries adds to a list of scalars, or of lists, what the rules say about it and
// its entries.
func (f *finisher) repairEntries(s *spec.Schema, field wireField) error {
	for name, place := range map[string]**int{"min": &s.MinItems, "max": &s.MaxItems} {
		if param, ok := field.rule(name); ok {
			limit, err := strconv.Atoi(param)
			if err != nil {
				return err
			}
			*place = &limit
		}
	}
	if words, ok := field.entry().rule("oneof"); ok {
		s.Items.Enum = nil
		for word := range strings.FieldsSeq(words) {
			s.Items.Enum = append(s.Items.Enum, literal(word))
		}
	}
	return f.repairField(s.Items, field.entry())
}

func empty(s *spec.Schema) bool {
	return s == nil || s.Ref == "" && s.Type == "" || s.Type == "array" && empty(s.Items)
}

// doubles marks each number as a float64: otherwise client generators keep half of its
// digits.
func doubles(s *spec.Schema) {
	if s.Type == "number" {
		s.Format = "double"
	}
	if s.Items != nil {
		doubles(s.Items)
	}
}

// numberLimits sets the validator's limits of a number: swag loses gt and lt, and
// limits that are not whole numbers.
func numberLimits(s *spec.Schema, field wireField) error {
	if s.Type != "number" && s.Type != "integer" {
		return nil
	}
	s.Minimum, s.Maximum = nil, nil
	places := map[string]**float64{
		"gt": &s.ExclusiveMinimum, "gte": &s.Minimum, "min": &s.Minimum,
		"lt": &s.ExclusiveMaximum, "lte": &s.Maximum, "max": &s.Maximum,
	}
	for name, place := range places {
		param, ok := field.rule(name)
		if !ok {
			continue
		}
		limit, err := strconv.ParseFloat(param, 64)
		if err != nil {
			return err
		}
		*place = &limit
	}
	return nil
}

// comparisons are the words for the validator's limits, in the order that they are
// listed.
var comparisons = []struct{ rule, words string }{
	{"gt", "above"}, {"gte", "at least"}, {"lt", "below"}, {"lte", "at most"},
}

// quantityLimits states the limits of a quantity as a sentence: the meaning of a number
// without a unit depends on the request, and a length may be a text.
func quantityLimits(field wireField) string {
	var limits []string
	for _, c := range comparisons {
		if param, ok := field.rule(c.rule); ok {
			limits = append(limits, c.words+" "+param)
		}
	}
	if param, ok := field.rule("within"); ok {
		limits = append(limits, rule.Range(param, length.Millimetre))
	}
	text := strings.Join(limits, ", ")
	if text == "" {
		return ""
	}
	return " " + sentence(strings.ToUpper(text[:1])+text[1:])
}

func sentence(text string) string {
	if text == "" || strings.HasSuffix(text, ".") {
		return text
	}
	return text + "."
}

// hiddenUnit refuses a limit of a quantity other than 0: such a tag counts in the unit
// of the Go type, which nobody outside knows.
func hiddenUnit(field wireField) error {
	for _, c := range comparisons {
		if param, ok := field.rule(c.rule); ok && param != "0" {
			return fmt.Errorf("the limit %s=%s counts in the hidden unit of %s", c.rule, param, field.kind)
		}
	}
	return nil
}
