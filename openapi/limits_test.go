package openapi_test

import (
	"errors"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/go-json-experiment/json/jsontext"
	"github.com/go-playground/validator/v10"

	"resawd/api"
	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/calc/length"
	"resawd/openapi/internal/spec"
)

// TestLimits gives every field of every request values at, beside and far
// beyond the limits of the document, and finds the validator of the same mind.
func TestLimits(t *testing.T) {
	l := limitsTest{t, document(t), rule.Validator("json"), 0}
	for _, k := range api.Calculators() {
		l.object(k.Request, "#/components/schemas/"+k.Request.Name())
	}
	if l.probed < 500 {
		t.Errorf("only %d values were tried", l.probed)
	}
}

type limitsTest struct {
	*testing.T
	doc      *spec.Document
	validate *validator.Validate
	probed   int
}

// object tries every field of a struct.
func (l *limitsTest) object(t reflect.Type, ref string) {
	s := *l.doc.Components.Schemas.At(strings.TrimPrefix(ref, "#/components/schemas/"))
	for _, f := range reflect.VisibleFields(t) {
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		if f.Anonymous || name == "" {
			continue
		}
		p := *s.Properties.At(name)
		switch f.Type.Kind() {
		case reflect.Struct:
			l.object(f.Type, p.Ref)
		case reflect.Slice:
			l.list(t, f, p)
			if f.Type.Elem().Kind() == reflect.Struct {
				l.object(f.Type.Elem(), p.Items.Ref)
			}
		default:
			l.scalar(t, f, p)
		}
	}
}

// scalar tries the values of one field.
func (l *limitsTest) scalar(t reflect.Type, f reflect.StructField, p *spec.Schema) {
	kind := f.Type.Elem()
	for _, probe := range probesOf(kind, p) {
		if allowed, valid := probe.allowed, l.valid(t, f, reflect.ValueOf(probe.value).Convert(kind)); allowed != valid {
			l.Errorf("%s.%s = %v: the document says %v, the validator %v", t.Name(), f.Name, probe.value, allowed, valid)
		}
		l.probed++
	}
}

// companion is a field without which another may not stand.
var companion = regexp.MustCompile(`excluded_without=(\w+)`)

// valid tells whether the validator takes a value of a field, apart from what
// it says of absent fields and of fields that contradict each other.
func (l *limitsTest) valid(t reflect.Type, f reflect.StructField, value reflect.Value) bool {
	request := reflect.New(t)
	at := request.Elem().FieldByIndex(f.Index)
	if at.Kind() == reflect.Pointer {
		at.Set(reflect.New(value.Type()))
		at = at.Elem()
	}
	at.Set(value)
	if m := companion.FindStringSubmatch(f.Tag.Get("validate")); m != nil { // else the validator stops there
		other := request.Elem().FieldByName(m[1])
		other.Set(reflect.New(other.Type().Elem()))
	}
	var found validator.ValidationErrors
	wrong := errors.As(l.validate.Struct(request.Interface()), &found)
	if quick := rule.RulesOf(t).Count(request.Elem()); (quick > 0) != wrong {
		l.Errorf("%s.%s = %v: %d are counted, the validator says %v", t.Name(), f.Name, value, quick, found)
	}
	if !wrong {
		return true
	}
	return !slices.ContainsFunc(found, func(e validator.FieldError) bool {
		return e.StructField() == f.Name && !strings.HasPrefix(e.Tag(), "required") && !strings.HasPrefix(e.Tag(), "excluded")
	})
}

// probe is a value and whether the document allows it.
type probe struct {
	value   any
	allowed bool
}

func probesOf(kind reflect.Type, p *spec.Schema) []probe {
	switch {
	case kind == reflect.TypeFor[endpoint.Object]():
		return nil
	case kind == reflect.TypeFor[length.Length]():
		return lengthProbes(p.Description)
	case kind.PkgPath() != "":
		return quantityProbes(p.Description)
	case kind.Kind() == reflect.String:
		return textProbes(p)
	case kind.Kind() == reflect.Bool:
		return nil
	}
	return numberProbes(kind.Kind() == reflect.Int, p)
}

// numberProbes are around the limits of a schema, and far out.
func numberProbes(whole bool, p *spec.Schema) []probe {
	values := []float64{-1e15, -1, 0, 1, 1e15}
	for _, limit := range []*float64{p.Minimum, p.Maximum, p.ExclusiveMinimum, p.ExclusiveMaximum} {
		switch {
		case limit != nil && whole:
			values = append(values, *limit-1, *limit, *limit+1)
		case limit != nil:
			values = append(values, math.Nextafter(*limit, -1e9), *limit, math.Nextafter(*limit, 1e9))
		}
	}
	var list []probe
	for _, v := range values {
		ok := (p.Minimum == nil || v >= *p.Minimum) && (p.Maximum == nil || v <= *p.Maximum) &&
			(p.ExclusiveMinimum == nil || v > *p.ExclusiveMinimum) && (p.ExclusiveMaximum == nil || v < *p.ExclusiveMaximum)
		list = append(list, probe{v, ok})
	}
	return list
}

// The limits of quantities stand in words at the end of their descriptions.
var (
	lowest  = regexp.MustCompile(`(?:[Aa]bove|[Aa]t least|[Ff]rom) (0|-?[0-9.]+ mm)`)
	above   = regexp.MustCompile(`Above 0`)
	highest = regexp.MustCompile(`(?:at most|to) ([0-9.]+ mm)`)
)

// lengthProbes are around the limits that a description tells.
func lengthProbes(description string) []probe {
	low, high := -length.Max, length.Max
	values := []length.Length{-length.Max, -1, 0, 1, length.Max}
	if m := lowest.FindStringSubmatch(description); m != nil {
		low = parsed(m[1])
		values = append(values, low-1, low, low+1)
	}
	if m := highest.FindStringSubmatch(description); m != nil {
		high = parsed(m[1])
		values = append(values, high-1, high, min(high+1, length.Max))
	}
	var list []probe
	for _, v := range values {
		list = append(list, probe{v, low <= v && v <= high && (v != low || !above.MatchString(description))})
	}
	return list
}

func parsed(text string) length.Length {
	l, err := length.Parse(text, length.Millimetre)
	if err != nil {
		panic(err)
	}
	return l
}

// quantityProbes are around 0, the only limit that a quantity can have whose
// number depends on the unit.
func quantityProbes(description string) []probe {
	positive, least := above.MatchString(description), strings.Contains(description, "At least 0")
	return []probe{{-1, !positive && !least}, {0, !positive}, {1, true}, {1 << 40, true}}
}

// textProbes are the words that a field takes and others, short and long.
func textProbes(p *spec.Schema) []probe {
	if len(p.Enum) > 0 {
		list := []probe{{"another", false}}
		for _, word := range p.Enum {
			list = append(list, probe{plainText(word), true})
		}
		return list
	}
	longest := 1000
	if p.MaxLength != nil {
		longest = *p.MaxLength
	}
	return []probe{{"x", true}, {strings.Repeat("x", longest), true}, {strings.Repeat("x", longest+1), p.MaxLength == nil}}
}

func plainText(v jsontext.Value) string { return strings.Trim(string(v), `"`) }

// list tries lists of as many entries as the document allows, and of more.
func (l *limitsTest) list(t reflect.Type, f reflect.StructField, p *spec.Schema) {
	most := 1000
	if p.MaxItems != nil {
		most = *p.MaxItems
	}
	for n, allowed := range map[int]bool{most: true, most + 1: p.MaxItems == nil} {
		if l.valid(t, f, reflect.MakeSlice(f.Type, n, n)) != allowed {
			l.Errorf("%s.%s of %d entries: the document says %v, the validator does not", t.Name(), f.Name, n, allowed)
		}
		l.probed++
	}
}
