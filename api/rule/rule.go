// Package rule states which values a field may have, by the tags of
// go-playground/validator, and says what breaks a rule in words for the person who sent
// it. One tag is added: within=LOW..HIGH limits a length, ends included, in the
// notation of lengths (within=..10in, within=0.001in..1m). Either end may be left out.
package rule

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"github.com/go-playground/validator/v10"

	"resawd/calc/length"
)

// Validator makes a validator that calls fields by their names in a tag, such as json
// or yaml.
func Validator(tag string) *validator.Validate {
	v := validator.New(validator.WithRequiredStructEnabled())
	v.RegisterTagNameFunc(func(f reflect.StructField) string {
		name, _, _ := strings.Cut(f.Tag.Get(tag), ",")
		return name
	})
	if err := v.RegisterValidation("within", within); err != nil {
		panic(err)
	}
	return v
}

// known caches limits that have been read: there are as many as there are tags.
var known sync.Map

// within checks a length against limits. It panics if these cannot be read, which the
// first test of the field shows.
func within(f validator.FieldLevel) bool {
	l := length.Length(f.Field().Int())
	if ends, ok := known.Load(f.Param()); ok {
		ends, ok := ends.([2]length.Length)
		return ok && ends[0] <= l && l <= ends[1]
	}
	low, high := Limits(f.Param())
	known.Store(f.Param(), [2]length.Length{low, high})
	return low <= l && l <= high
}

// Limits reads the parameter of a within tag. For a missing end it returns the largest
// length, or its negative.
func Limits(param string) (low, high length.Length) {
	from, to, ok := strings.Cut(param, "..")
	if !ok {
		panic("within=" + param + " has no dots")
	}
	return end(from, -length.Max), end(to, length.Max)
}

func end(text string, open length.Length) length.Length {
	if text == "" {
		return open
	}
	l, err := length.Parse(text, 0)
	if err != nil {
		panic(err)
	}
	return l
}

// Words says what is wrong with a field, continuing a sentence that begins with
// its name, with lengths in the unit given.
func Words(f validator.FieldError, unit length.Length) string {
	given := Show(f.Value(), unit)
	switch f.Tag() {
	case "required", "required_with", "required_if":
		return "is missing"
	case "required_without_all":
		return "is missing: give it, or one of " + wireNames(f.Param())
	case "required_without":
		return "is missing: give it or " + WireName(f.Param())
	case "excluded_without":
		return "has no effect without " + WireName(f.Param())
	case "within":
		return fmt.Sprintf("must be %s; %s was given", Range(f.Param(), unit), given)
	case "gt", "gte", "lt", "lte":
		return fmt.Sprintf("must be %s %s; %s was given", comparison[f.Tag()], limit(f, unit), given)
	case "max":
		if f.Kind() == reflect.Slice { // reading stops one entry past the limit
			return fmt.Sprintf("must have at most %s %s; it has more", f.Param(), things(f))
		}
		fallthrough
	case "min":
		if f.Tag() == "min" && f.Kind() == reflect.String && f.Param() == "1" {
			return "is empty: give it or leave it out"
		}
		return fmt.Sprintf("must have %s %s %s; it has %g", comparison[f.Tag()], f.Param(), things(f), sizes[f.Kind()](reflect.ValueOf(f.Value())))
	case "oneof":
		return fmt.Sprintf("must be %s; %s was given", Alternatives(strings.Fields(f.Param())), given)
	case "unique":
		return "has two entries with the same " + strings.ToLower(f.Param())
	case "iso4217":
		return "must be a currency code such as USD or EUR; " + given + " was given"
	case "datetime":
		return "must be a date such as 2026-03-14; " + given + " was given"
	case "excluded_unless":
		other, word, _ := strings.Cut(f.Param(), " ")
		return "has no effect unless " + WireName(other) + " is " + word
	case "excluded_with":
		return "cannot be given together with " + WireName(f.Param())
	case "gtefield":
		return "must be at least " + WireName(f.Param()) + "; " + given + " was given"
	}
	return "breaks the rule " + f.Tag() + "=" + f.Param()
}

var comparison = map[string]string{
	"gt": "above", "gte": "at least", "lt": "below", "lte": "at most", "min": "at least", "max": "at most",
}

// limit shows a limit in the same way as the value that it limits.
func limit(f validator.FieldError, unit length.Length) string {
	if n, err := strconv.ParseInt(f.Param(), 10, 64); err == nil && f.Type().PkgPath() != "" {
		return Show(reflect.ValueOf(n).Convert(f.Type()).Interface(), unit)
	}
	return f.Param()
}

func things(f validator.FieldError) string {
	one, more := "entry", "entries"
	if f.Kind() == reflect.String {
		one, more = "character", "characters"
	}
	if f.Param() == "1" {
		return one
	}
	return more
}

// wireNames lists the wire names of several fields.
func wireNames(fields string) string {
	names := strings.Fields(fields)
	for i, name := range names {
		names[i] = WireName(name)
	}
	return Alternatives(names)
}

// WireName turns the Go name of a field, which is what a tag has, into its name on the
// wire: BladeSpeed is blade_speed.
func WireName(field string) string {
	name, _, _ := strings.Cut(field, " ")
	var b strings.Builder
	for i, r := range name {
		if unicode.IsUpper(r) && i > 0 && !unicode.IsUpper(rune(name[i-1])) {
			b.WriteByte('_')
		}
		b.WriteRune(unicode.ToLower(r))
	}
	return b.String()
}

// Range says which lengths a within tag allows.
func Range(param string, unit length.Length) string {
	low, high := Limits(param)
	switch {
	case low == -length.Max:
		return "at most " + Show(high, unit)
	case high == length.Max:
		return "at least " + Show(low, unit)
	}
	return "from " + Show(low, unit) + " to " + Show(high, unit)
}

// Alternatives lists words as "a, b or c".
func Alternatives(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

// FirstOf lists words, or the first of them and how many more there are.
func FirstOf(words []string) string {
	const most = 8
	if len(words) > most {
		return strings.Join(words[:most], ", ") + fmt.Sprintf(" and %d more", len(words)-most)
	}
	return strings.Join(words, ", ")
}

// UnitName is the symbol of a unit.
func UnitName(unit length.Length) string { return unitNames[unit] }

var unitNames = map[length.Length]string{
	length.Inch: "in", length.Foot: "ft", length.Thou: "thou",
	length.Millimetre: "mm", length.Centimetre: "cm", length.Metre: "m", length.Micrometre: "um",
}

// Decimals is how many decimals of a length people read at the saw: 0.001 in or 0.01 mm.
func Decimals(unit length.Length) int {
	if unit == length.Millimetre {
		return 2
	}
	return 3
}

// Teller is a value that can be written with its lengths in a unit.
type Teller interface {
	Tell(unit length.Length) string
}

// Show writes a value as a person would, a length with its unit.
func Show(value any, unit length.Length) string {
	if v := reflect.ValueOf(value); v.Kind() == reflect.Pointer && v.IsNil() {
		return "nothing"
	}
	switch v := value.(type) {
	case Teller:
		return v.Tell(unit)
	case length.Length:
		return v.Decimal(unit) + " " + UnitName(unit)
	case float64:
		return strconv.FormatFloat(v, 'g', -1, 64)
	case string:
		return strconv.Quote(v)
	}
	return fmt.Sprint(value)
}
