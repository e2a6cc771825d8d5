package endpoint

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"iter"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"resawd/calc/length"
)

// Form is a way to render an answer.
type Form struct {
	Name, MediaType string
	Stream          bool                                                              // it comes bit by bit, which only a server can send
	render          func(k *Calculator, a Answer, v View, dst []byte) ([]byte, error) // appends to dst
}

// View is what the control fields of a query ask of the rendering.
type View struct {
	Unit  length.Length
	Comma bool
	Pick  string
}

// Streamed is the same form as the last part of a stream.
func (f Form) Streamed(name, mediaType string) Form { return Form{name, mediaType, true, f.render} }

// The forms that every calculator offers.
var (
	JSON = Form{"json", "application/json", false, renderJSON}
	CSV  = Form{"csv", "text/csv; charset=utf-8", false, renderCSV}
	Text = Form{"text", "text/plain; charset=utf-8", false, renderText}
)

func renderJSON(k *Calculator, a Answer, v View, dst []byte) ([]byte, error) {
	if v.Pick == "" {
		return append(k.encode(dst, reflect.ValueOf(a), v.Unit), '\n'), nil
	}
	picked, err := pick(a, v.Pick)
	if err != nil {
		return nil, err
	}
	return append(encoderFor(picked.Type())(dst, picked, v.Unit), '\n'), nil
}

// renderText gives one scalar and nothing else.
func renderText(_ *Calculator, a Answer, v View, dst []byte) ([]byte, error) {
	if v.Pick == "" {
		return nil, Fail(BadRequest, "format=text needs pick=FIELD, the name of the one value to answer, such as pick=%s", firstScalar(a))
	}
	picked, err := pick(a, v.Pick)
	if err != nil {
		return nil, err
	}
	return append(dst, v.text(picked)...), nil
}

// Whole is a form that one kind of answer has, such as a page or a drawing.
// It shows all of the answer, so there is nothing to pick.
func Whole[A Answer](name, mediaType string, render func(a A, v View) ([]byte, error)) Form {
	return Form{name, mediaType, false, func(_ *Calculator, a Answer, v View, _ []byte) ([]byte, error) {
		whole, ok := a.(A)
		switch {
		case !ok:
			return nil, fmt.Errorf("endpoint: %s of a %T", name, a)
		case v.Pick != "":
			return nil, Fail(BadRequest, "pick=%s does not go with format=%s, which shows the whole answer: use json, csv or text", Clip([]byte(v.Pick)), name)
		}
		return render(whole, v)
	}}
}

// text tells a scalar as text: words as they are, the rest as JSON does, with
// the decimal sign asked for.
func (v View) text(scalar reflect.Value) string {
	if scalar.Kind() == reflect.String {
		return scalar.String()
	}
	text := string(encoderFor(scalar.Type())(nil, scalar, v.Unit))
	if v.Comma {
		return strings.Replace(text, ".", ",", 1)
	}
	return text
}

// renderCSV gives the answer's table, or without one a row of its scalars.
func renderCSV(_ *Calculator, a Answer, v View, _ []byte) ([]byte, error) {
	if v.Pick != "" {
		picked, err := pick(a, v.Pick)
		if err != nil {
			return nil, err
		}
		return v.csv([][]string{{v.Pick}, {v.cell(picked)}})
	}
	rows := []reflect.Value{reflect.ValueOf(a).Elem()}
	columns := scalarsOf(rows[0].Type())
	if t, ok := a.(tabular); ok {
		table := reflect.ValueOf(t.Table())
		rows, columns = slices.Collect(entries(table)), scalarsOf(table.Type().Elem())
	}
	records := [][]string{make([]string, len(columns))}
	for i, c := range columns {
		records[0][i] = nameOf(c)
	}
	for _, row := range rows {
		record := make([]string, len(columns))
		for j, c := range columns {
			if value, ok := present(row.FieldByIndex(c.Index), c); ok {
				record[j] = v.field(value)
			}
		}
		records = append(records, record)
	}
	return v.csv(records)
}

func entries(list reflect.Value) iter.Seq[reflect.Value] {
	return func(yield func(reflect.Value) bool) {
		for i := 0; i < list.Len() && yield(list.Index(i)); i++ {
		}
	}
}

func (v View) csv(records [][]string) ([]byte, error) {
	var buf bytes.Buffer
	w := csv.NewWriter(&buf)
	if v.Comma {
		w.Comma = ';'
	}
	if err := w.WriteAll(records); err != nil {
		return nil, err
	}
	return buf.Bytes(), nil
}

// field tells a field of a table's row, a list of words joined.
func (v View) field(f reflect.Value) string {
	if words, ok := f.Interface().([]string); ok {
		f = reflect.ValueOf(strings.Join(words, "; "))
	}
	return v.cell(f)
}

// cell tells a scalar as a spreadsheet's cell. Words that a spreadsheet would
// take for a formula are neutralised with a leading apostrophe.
func (v View) cell(scalar reflect.Value) string {
	text := v.text(scalar)
	if scalar.Kind() != reflect.String || text == "" || !strings.ContainsRune("=+-@\t\r", rune(text[0])) {
		return text
	}
	if _, err := strconv.ParseFloat(text, 64); err == nil {
		return text
	}
	return "'" + text
}

// scalarsOf lists the fields of a struct that a table can show: scalars, and
// lists of words.
func scalarsOf(t reflect.Type) []reflect.StructField {
	var columns []reflect.StructField
	for _, f := range wireFields(t) {
		kind := f.Type.Kind()
		if kind == reflect.Pointer {
			kind = f.Type.Elem().Kind()
		}
		words := f.Type == reflect.TypeFor[[]string]() && f.Name != "Sources" && f.Name != "Cautions"
		if kind != reflect.Struct && (kind != reflect.Slice || words) {
			columns = append(columns, f)
		}
	}
	return columns
}

// firstScalar names a field that pick could name.
func firstScalar(a Answer) string {
	for _, f := range scalarsOf(reflect.TypeOf(a).Elem()) {
		if f.Type.Kind() != reflect.Slice {
			return nameOf(f)
		}
	}
	return "units"
}

// pick finds one scalar of an answer by a JSON Pointer (RFC 6901) whose leading
// slash may be left out.
func pick(a Answer, pointer string) (reflect.Value, error) {
	at := reflect.ValueOf(a).Elem()
	for _, token := range strings.Split(strings.TrimPrefix(pointer, "/"), "/") {
		token = strings.NewReplacer("~1", "/", "~0", "~").Replace(token)
		next, ok := child(at, token)
		if !ok {
			return at, Fail(BadRequest, "pick=%s: the answer has no %q there", Clip([]byte(pointer)), Clip([]byte(token)))
		}
		at = next
	}
	if kind := at.Kind(); kind == reflect.Struct || kind == reflect.Slice {
		return at, Fail(BadRequest, "pick=%s: that is not a single value; name one inside it", Clip([]byte(pointer)))
	}
	return at, nil
}

// child finds a member of a struct or an entry of a list; what is absent from
// the JSON is not found.
func child(v reflect.Value, token string) (reflect.Value, bool) {
	switch v.Kind() {
	case reflect.Struct:
		for _, f := range wireFields(v.Type()) {
			if nameOf(f) == token {
				return present(v.FieldByIndex(f.Index), f)
			}
		}
	case reflect.Slice:
		i, err := strconv.Atoi(token)
		if err == nil && 0 <= i && i < v.Len() && strconv.Itoa(i) == token {
			return v.Index(i), true
		}
	}
	return reflect.Value{}, false
}

// present gives the value of a field unless the JSON would leave it out.
func present(v reflect.Value, f reflect.StructField) (reflect.Value, bool) {
	if strings.Contains(f.Tag.Get("json"), "omitzero") && v.IsZero() {
		return v, false
	}
	if v.Kind() == reflect.Pointer {
		v = v.Elem()
	}
	return v, v.IsValid()
}

// InCell tells a problem as the text or the table that was asked for.
func (p Problem) InCell(f Form, v View) []byte {
	if f.Name == CSV.Name {
		table, _ := v.csv([][]string{{"error"}, {v.cell(reflect.ValueOf(p.inCell()))}})
		return table
	}
	return []byte(p.inCell())
}
