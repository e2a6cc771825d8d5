package endpoint

import (
	"bytes"
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"resawd/calc/length"
)

// Form is a way to render an answer.
type Form struct {
	Name, MediaType string
	Stream          bool                                                              // whether it comes bit by bit, which only a server can send
	Page            bool                                                              // whether it is made for people and may take some tenths of a second
	render          func(k *Calculator, a Answer, v View, dst []byte) ([]byte, error) // appends to dst
}

// View is how to render an answer, as the control fields of a query have it.
type View struct {
	Unit  length.Length
	Comma bool
	Pick  string
}

// Streamed returns the same form under another name, as the last part of a stream.
func (f Form) Streamed(name, mediaType string) Form {
	return Form{name, mediaType, true, f.Page, f.render}
}

// The forms that every calculator offers.
var (
	JSON = Form{"json", "application/json", false, false, renderJSON}
	CSV  = Form{"csv", "text/csv; charset=utf-8", false, false, renderCSV}
	Text = Form{"text", "text/plain; charset=utf-8", false, false, renderText}
)

func renderJSON(k *Calculator, a Answer, v View, dst []byte) ([]byte, error) {
	return append(k.encode(dst, reflect.ValueOf(a), v.Unit), '\n'), nil
}

// renderText renders one scalar and nothing else.
func renderText(_ *Calculator, a Answer, v View, dst []byte) ([]byte, error) {
	if v.Pick == "" {
		return nil, Fail(BadRequest, "format=text needs pick=FIELD, the name of the one value to answer, such as pick=%s", firstScalar(a))
	}
	picked, ours, err := pick(a, v.Pick)
	if err != nil {
		return nil, err
	}
	return append(dst, v.picked(picked, ours)...), nil
}

// Whole makes a form that one kind of answer has, such as a page or a drawing. It shows
// the whole answer, so there is nothing to pick.
func Whole[A Answer](name, mediaType string, render func(a A, v View) ([]byte, error)) Form {
	return Form{name, mediaType, false, true, func(_ *Calculator, a Answer, v View, _ []byte) ([]byte, error) {
		whole, ok := a.(A)
		if !ok {
			return nil, fmt.Errorf("endpoint: %s of a %T", name, a)
		}
		return render(whole, v)
	}}
}

// text writes a scalar: words as they are, anything else as JSON does, with the view's
// decimal sign.
func (v View) text(scalar reflect.Value) string {
	if scalar.Kind() == reflect.String {
		return scalar.String()
	}
	return string(v.number(encoderFor(scalar.Type())(nil, scalar, v.Unit)))
}

// picked writes a picked scalar: as text does, and a sentence of ours with the view's
// decimal sign.
func (v View) picked(scalar reflect.Value, ours bool) []byte {
	text := []byte(v.text(scalar))
	if ours && v.Comma {
		return withCommas(text)
	}
	return text
}

// firstScalar is the name of a field to give as an example of pick.
func firstScalar(a Answer) string {
	for _, c := range columnsFor(reflect.TypeOf(a).Elem()) {
		if !c.list && len(c.index) == 1 {
			return c.name
		}
	}
	return "units"
}

// number gives a number the view's decimal sign.
func (v View) number(text []byte) []byte {
	if i := bytes.IndexByte(text, '.'); v.Comma && i >= 0 {
		text[i] = ','
	}
	return text
}

// pick finds one scalar of an answer by a JSON Pointer (RFC 6901), whose leading slash
// may be left out. It reports whether that is a sentence of ours.
func pick(a Answer, pointer string) (at reflect.Value, ours bool, err error) {
	at = reflect.ValueOf(a).Elem()
	for _, token := range strings.Split(strings.TrimPrefix(pointer, "/"), "/") {
		token = strings.NewReplacer("~1", "/", "~0", "~").Replace(token)
		next, field, ok := child(at, token)
		if !ok {
			return at, false, Fail(BadRequest, "pick=%s: the answer has no %q there", Clip([]byte(pointer)), Clip([]byte(token)))
		}
		if at.Kind() == reflect.Struct {
			ours = isSentence(field)
		}
		at = next
	}
	if kind := at.Kind(); kind == reflect.Struct || kind == reflect.Slice {
		return at, false, Fail(BadRequest, "pick=%s: that is not a single value; name one inside it", Clip([]byte(pointer)))
	}
	return at, ours, nil
}

// child finds a member of a struct, which has a field, or an entry of a list, unless the
// JSON leaves it out.
func child(v reflect.Value, token string) (next reflect.Value, field reflect.StructField, ok bool) {
	switch v.Kind() {
	case reflect.Struct:
		for _, f := range wireFields(v.Type()) {
			if nameOf(f) == token {
				next, ok = present(v.FieldByIndex(f.Index), f)
				return next, f, ok
			}
		}
	case reflect.Slice:
		i, err := strconv.Atoi(token)
		if err == nil && 0 <= i && i < v.Len() && strconv.Itoa(i) == token {
			return v.Index(i), field, true
		}
	}
	return next, field, false
}

// isSentence reports whether a field has sentences of ours, whose numbers take the
// decimal sign of all others. Sources have not: they are numbers of pages and paragraphs.
func isSentence(f reflect.StructField) bool {
	return f.Type == reflect.TypeFor[[]string]() && nameOf(f) != "sources" || f.Tag.Get("text") == "sentence"
}

// present is the value of a field, unless the JSON leaves it out.
func present(v reflect.Value, f reflect.StructField) (reflect.Value, bool) {
	if strings.Contains(f.Tag.Get("json"), "omitzero") && v.IsZero() {
		return v, false
	}
	if v.Kind() == reflect.Pointer {
		v = v.Elem()
	}
	return v, v.IsValid()
}
