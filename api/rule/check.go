package rule

import (
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"resawd/calc/length"
)

// Check tells in a fraction of the validator's time whether a struct keeps all
// of its rules. What does not pass may still be right: the validator decides,
// and has the words.
type Check func(v reflect.Value) bool

// test is one rule of a field; stop ends the rules of the field.
type test func(parent, field reflect.Value) (ok, stop bool)

// CheckOf compiles the rules of a struct. Where it does not know a rule, nothing
// passes.
func CheckOf(t reflect.Type) Check {
	type fieldCheck struct {
		index int
		check func(parent, field reflect.Value) bool
	}
	var fields []fieldCheck
	for i := range t.NumField() {
		f := t.Field(i)
		inner := f.Type
		if inner.Kind() == reflect.Struct {
			check := CheckOf(inner)
			fields = append(fields, fieldCheck{i, func(_, field reflect.Value) bool { return check(field) }})
		} else if rules := f.Tag.Get("validate"); rules != "" {
			fields = append(fields, fieldCheck{i, checkOf(t, inner, rules)})
		}
	}
	return func(v reflect.Value) bool {
		for i := range fields {
			if !fields[i].check(v, v.Field(fields[i].index)) {
				return false
			}
		}
		return true
	}
}

// checkOf compiles the rules of a field, or of an entry of a list.
func checkOf(parent, t reflect.Type, rules string) func(parent, field reflect.Value) bool {
	own, entry, dives := strings.Cut(rules, "dive")
	var tests []test
	for rule := range strings.SplitSeq(strings.Trim(own, ","), ",") {
		tests = append(tests, testOf(parent, t, rule))
	}
	if dives {
		tests = append(tests, entriesTest(t.Elem(), strings.TrimPrefix(entry, ",")))
	}
	return func(parent, field reflect.Value) bool {
		for _, test := range tests {
			if ok, stop := test(parent, field); !ok || stop {
				return ok
			}
		}
		return true
	}
}

// entriesTest checks every entry of a list.
func entriesTest(t reflect.Type, rules string) test {
	var check func(parent, field reflect.Value) bool
	if t.Kind() == reflect.Struct {
		object := CheckOf(t)
		check = func(_, entry reflect.Value) bool { return object(entry) }
	} else if rules != "" {
		check = checkOf(nil, t, rules)
	}
	return func(parent, list reflect.Value) (ok, stop bool) {
		for i := 0; check != nil && i < list.Len(); i++ {
			if !check(parent, list.Index(i)) {
				return false, true
			}
		}
		return true, false
	}
}

func testOf(parent, t reflect.Type, rule string) test {
	name, param, _ := strings.Cut(rule, "=")
	switch name {
	case "":
		return func(_, _ reflect.Value) (ok, stop bool) { return true, false }
	case "required":
		return func(_, field reflect.Value) (ok, stop bool) { return given(field), false }
	case "omitempty":
		return func(_, field reflect.Value) (ok, stop bool) { return true, !given(field) }
	case "required_with", "required_without", "excluded_with", "excluded_without":
		return companyTest(parent, name, param)
	}
	value := valueTest(t, name, param)
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

// given tells whether a field is there.
func given(field reflect.Value) bool {
	switch field.Kind() {
	case reflect.Pointer, reflect.Slice:
		return !field.IsNil()
	}
	return !field.IsZero()
}

// companyTest checks whether a field may stand beside another, or without it.
func companyTest(parent reflect.Type, name, param string) test {
	other, ok := parent.FieldByName(param)
	if !ok {
		return unknown
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

// unknown passes nothing.
func unknown(_, _ reflect.Value) (ok, stop bool) { return false, true }

// valueTest checks a value that is there.
func valueTest(t reflect.Type, name, param string) func(reflect.Value) bool {
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

// sizes is what limits count: of numbers their value, of texts their characters,
// of lists their entries. Whole numbers beyond 2^53 have no limit near them.
var sizes = map[reflect.Kind]func(reflect.Value) float64{
	reflect.Int:     func(v reflect.Value) float64 { return float64(v.Int()) },
	reflect.Int64:   func(v reflect.Value) float64 { return float64(v.Int()) },
	reflect.Float64: func(v reflect.Value) float64 { return v.Float() },
	reflect.String:  func(v reflect.Value) float64 { return float64(utf8.RuneCountInString(v.String())) },
	reflect.Slice:   func(v reflect.Value) float64 { return float64(v.Len()) },
}
