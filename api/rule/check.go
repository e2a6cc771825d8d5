package rule

import (
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"resawd/calc/length"
)

// Rules are the compiled rules of a struct. They count what breaks a rule in a fraction
// of the validator's time; the validator has the words for it.
type Rules struct {
	// Count is how many fields break a rule, entries of lists included.
	Count func(v reflect.Value) int
	// Known reports whether every rule could be compiled. If not, a field with an
	// unknown rule counts even when it is right, and the validator decides.
	Known bool
}

// test checks one rule of a field; stop ends the field's rules.
type test func(parent, field reflect.Value) (ok, stop bool)

// counter counts how often a field, or an entry of a list, breaks its rules.
type counter func(parent, field reflect.Value) int

// RulesOf compiles the rules of a struct.
func RulesOf(t reflect.Type) Rules {
	c := compiler{known: true}
	count := c.object(t)
	return Rules{count, c.known}
}

// compiler compiles rules.
type compiler struct{ known bool }

// object compiles the rules of a struct.
func (c *compiler) object(t reflect.Type) func(v reflect.Value) int {
	type fieldCount struct {
		index int
		count counter
	}
	var fields []fieldCount
	for i := range t.NumField() {
		f := t.Field(i)
		inner := f.Type
		if inner.Kind() == reflect.Struct {
			count := c.object(inner)
			fields = append(fields, fieldCount{i, func(_, field reflect.Value) int { return count(field) }})
		} else if rules := f.Tag.Get("validate"); rules != "" {
			fields = append(fields, fieldCount{i, c.field(t, inner, rules)})
		}
	}
	return func(v reflect.Value) (n int) {
		for i := range fields {
			n += fields[i].count(v, v.Field(fields[i].index))
		}
		return n
	}
}

// field compiles the rules of a field, or of an entry of a list. Of a field at most one
// broken rule counts. Of a list that breaks none of its own, those of the entries
// count.
func (c *compiler) field(parent, t reflect.Type, rules string) counter {
	own, entry, dives := strings.Cut(rules, "dive")
	var tests []test
	for rule := range strings.SplitSeq(strings.Trim(own, ","), ",") {
		tests = append(tests, c.test(parent, t, rule))
	}
	var entries counter
	if dives {
		entries = c.entries(t.Elem(), strings.TrimPrefix(entry, ","))
	}
	return func(parent, field reflect.Value) int {
		for _, test := range tests {
			switch ok, stop := test(parent, field); {
			case !ok:
				return 1
			case stop:
				return 0
			}
		}
		if entries == nil {
			return 0
		}
		return entries(parent, field)
	}
}

// entries compiles the rules of the entries of a list.
func (c *compiler) entries(t reflect.Type, rules string) counter {
	var count counter
	if t.Kind() == reflect.Struct {
		object := c.object(t)
		count = func(_, entry reflect.Value) int { return object(entry) }
	} else if rules != "" {
		count = c.field(nil, t, rules)
	}
	return func(parent, list reflect.Value) (n int) {
		for i := 0; count != nil && i < list.Len(); i++ {
			n += count(parent, list.Index(i))
		}
		return n
	}
}

// test compiles one rule.
func (c *compiler) test(parent, t reflect.Type, rule string) test {
	name, param, _ := strings.Cut(rule, "=")
	switch name {
	case "":
		return func(_, _ reflect.Value) (ok, stop bool) { return true, false }
	case "required":
		return func(_, field reflect.Value) (ok, stop bool) { return given(field), false }
	case "omitempty":
		return func(_, field reflect.Value) (ok, stop bool) { return true, !given(field) }
	case "required_with", "required_without", "excluded_with", "excluded_without":
		return c.company(parent, name, param)
	}
	value := c.value(t, name, param)
	return func(_, field reflect.Value) (ok, stop bool) {
		if field.Kind() == reflect.Pointer {
			if field.IsNil() {
				return false, true
			}
			field = field.Elem()
		}
		return value(field), false
	}
}

// given reports whether a field has a value.
func given(field reflect.Value) bool {
	switch field.Kind() {
	case reflect.Pointer, reflect.Slice:
		return !field.IsNil()
	}
	return !field.IsZero()
}

// company compiles a rule about whether a field may have a value beside another, or
// without it.
func (c *compiler) company(parent reflect.Type, name, param string) test {
	other, ok := parent.FieldByName(param)
	if !ok {
		return c.unknown()
	}
	return func(parent, field reflect.Value) (ok, stop bool) {
		switch has, with := given(field), given(parent.FieldByIndex(other.Index)); name {
		case "required_with":
			return has || !with, false
		case "required_without":
			return has || with, false
		case "excluded_with":
			return !has || !with, false
		default:
			return !has || with, false
		}
	}
}

// unknown is a rule that nothing passes.
func (c *compiler) unknown() test {
	c.known = false
	return func(_, _ reflect.Value) (ok, stop bool) { return false, true }
}

// value compiles a rule about a value.
func (c *compiler) value(t reflect.Type, name, param string) func(reflect.Value) bool {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch name {
	case "within":
		low, high := Limits(param)
		return func(v reflect.Value) bool { l := length.Length(v.Int()); return low <= l && l <= high }
	case "oneof":
		words := strings.Fields(param)
		return func(v reflect.Value) bool { return slices.Contains(words, v.String()) }
	}
	limit, err := strconv.ParseFloat(param, 64)
	keeps := comparisons[name]
	size := sizes[t.Kind()]
	if err != nil || keeps == nil || size == nil {
		c.known = false
		return func(reflect.Value) bool { return false }
	}
	return func(v reflect.Value) bool { return keeps(size(v), limit) }
}

var comparisons = map[string]func(size, limit float64) bool{
	"gt":  func(size, limit float64) bool { return size > limit },
	"gte": func(size, limit float64) bool { return size >= limit },
	"lt":  func(size, limit float64) bool { return size < limit },
	"lte": func(size, limit float64) bool { return size <= limit },
	"min": func(size, limit float64) bool { return size >= limit },
	"max": func(size, limit float64) bool { return size <= limit },
}

// sizes is what a limit counts: the value of a number, the characters of a text, the
// entries of a list. No limit is near 2^53, beyond which a float skips whole numbers.
var sizes = map[reflect.Kind]func(reflect.Value) float64{
	reflect.Int:     func(v reflect.Value) float64 { return float64(v.Int()) },
	reflect.Int64:   func(v reflect.Value) float64 { return float64(v.Int()) },
	reflect.Float64: func(v reflect.Value) float64 { return v.Float() },
	reflect.String:  func(v reflect.Value) float64 { return float64(utf8.RuneCountInString(v.String())) },
	reflect.Slice:   func(v reflect.Value) float64 { return float64(v.Len()) },
}
