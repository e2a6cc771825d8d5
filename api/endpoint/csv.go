package endpoint

import (
	"bytes"
	"reflect"
	"slices"
	"strings"
	"unicode/utf8"
)

// column is a field that a table can show: a scalar, or a list of words. That of an
// object within is named after both, as summary_leaf_count is.
type column struct {
	name     string
	index    []int
	omitZero bool
	list     bool    // whether it is a list of words
	sentence bool    // whether it is a sentence of ours
	encode   encoder // of a scalar other than a text
}

// pages are lists of words that are too long for a cell: instructions, and what stands
// below every answer.
var pages = map[string]bool{"setup": true, "per_cut": true, "after": true, "cautions": true, "sources": true}

// columns caches the columns of each type.
var columns cache[[]column]

func columnsFor(t reflect.Type) []column { return columns.of(t, columnsOf) }

func columnsOf(t reflect.Type) (list []column) {
	for _, f := range wireFields(t) {
		scalar := f.Type
		if scalar.Kind() == reflect.Pointer {
			scalar = scalar.Elem()
		}
		c := column{name: nameOf(f), index: f.Index, omitZero: strings.Contains(f.Tag.Get("json"), "omitzero")}
		c.sentence = isSentence(f)
		c.list = scalar == reflect.TypeFor[[]string]() && !pages[c.name]
		switch {
		case scalar.Kind() == reflect.Struct:
			list = append(list, c.within(scalar)...)
			continue
		case scalar.Kind() == reflect.Slice && !c.list:
			continue
		case scalar.Kind() != reflect.String && !c.list:
			c.encode = encoderFor(scalar)
		}
		list = append(list, c)
	}
	return list
}

// within gives the columns of an object that a field holds; those of used say again what
// the request says.
func (c *column) within(object reflect.Type) (list []column) {
	if c.name == "used" {
		return nil
	}
	for _, inner := range columnsFor(object) {
		inner.name = c.name + "_" + inner.name
		inner.index = slices.Concat(c.index, inner.index)
		list = append(list, inner)
	}
	return list
}

// csvWriter writes CSV into memory.
type csvWriter struct {
	view      View
	separator byte
	dst       []byte
	begun     bool   // the record has a cell already
	text      []byte // of the cell, as it came
	scratch   []byte // of the cell, made harmless
	long      []byte // the last long words: the next row often has the same
	longCell  []byte // the cell that they became
}

// newCSVWriter separates columns by semicolons if the decimal sign is a comma.
func newCSVWriter(v View) *csvWriter {
	s := &csvWriter{view: v, separator: ','}
	if v.Comma {
		s.separator = ';'
	}
	return s
}

// begin begins a cell.
func (s *csvWriter) begin() {
	if s.begun {
		s.dst = append(s.dst, s.separator)
	}
	s.begun = true
}

// cell adds a cell, in quotes if it needs them.
func (s *csvWriter) cell(text []byte) {
	s.begin()
	s.write(text)
}

// write writes the text of a cell.
func (s *csvWriter) write(text []byte) {
	if len(text) == 0 {
		return
	}
	if text[0] != ' ' && bytes.IndexByte(text, s.separator) < 0 && bytes.IndexByte(text, '"') < 0 && string(text) != `\.` {
		s.dst = append(s.dst, text...)
		return
	}
	s.dst = append(s.dst, '"')
	for _, b := range text {
		if b == '"' {
			s.dst = append(s.dst, '"')
		}
		s.dst = append(s.dst, b)
	}
	s.dst = append(s.dst, '"')
}

// longWords is the length in bytes from which the words of a cell are kept for the next
// row.
const longWords = 48

// words adds a cell of words, made harmless and put on one line.
func (s *csvWriter) words(text []byte) {
	s.begin()
	if len(text) < longWords {
		s.write(s.safe(text))
		return
	}
	if !bytes.Equal(text, s.long) {
		start := len(s.dst)
		s.write(s.safe(text))
		s.long, s.longCell = append(s.long[:0], text...), append(s.longCell[:0], s.dst[start:]...)
		return
	}
	s.dst = append(s.dst, s.longCell...)
}

// sentences adds a cell of sentences of ours, with their numbers in the same decimal
// sign as all others.
func (s *csvWriter) sentences(text []byte) {
	if s.view.Comma {
		text = withCommas(text)
	}
	s.words(text)
}

// safe makes words harmless and puts them on one line.
func (s *csvWriter) safe(text []byte) []byte {
	if plainWords(text) {
		return text
	}
	s.scratch = s.scratch[:0]
	for _, b := range []byte(strings.ToValidUTF8(Harmless(string(text)), "\uFFFD")) {
		if b == '\r' || b == '\n' {
			b = ' '
		}
		s.scratch = append(s.scratch, b)
	}
	return s.scratch
}

// plainWords reports whether words are harmless and on one line as they are.
func plainWords(text []byte) bool {
	before := byte(',')
	for _, b := range text {
		switch b {
		case '\t', '\r', '\n':
			return false
		case '=', '+', '-', '@':
			if before == ',' || before == ';' {
				return false
			}
		}
		if b >= utf8.RuneSelf {
			return false
		}
		before = b
	}
	return true
}

// of is the value of a column in a row. It is invalid where the JSON leaves the field
// out.
func (c *column) of(row reflect.Value) reflect.Value {
	f := row
	for _, i := range c.index {
		if f.Kind() == reflect.Pointer {
			if f = f.Elem(); !f.IsValid() {
				return f
			}
		}
		f = f.Field(i)
	}
	if f.Kind() == reflect.Pointer {
		return f.Elem()
	}
	if c.omitZero && f.IsZero() {
		return reflect.Value{}
	}
	return f
}

// field adds a field of a struct as a cell.
func (s *csvWriter) field(row reflect.Value, c *column) {
	f := c.of(row)
	switch {
	case !f.IsValid():
		s.cell(nil)
	case c.encode != nil:
		s.scratch = s.view.number(c.encode(s.scratch[:0], f, s.view.Unit))
		s.cell(s.scratch)
	case f.Kind() == reflect.String:
		s.text = append(s.text[:0], f.String()...)
		if c.sentence {
			s.sentences(s.text)
		} else {
			s.words(s.text)
		}
	default:
		s.text = s.text[:0]
		for i := range f.Len() {
			if i > 0 {
				s.text = append(s.text, "; "...)
			}
			s.text = append(s.text, f.Index(i).String()...)
		}
		s.sentences(s.text)
	}
}

// picked adds a picked value as a cell.
func (s *csvWriter) picked(value reflect.Value, ours bool) {
	if text := s.view.picked(value, ours); value.Kind() == reflect.String {
		s.words(text)
	} else {
		s.cell(text)
	}
}

// end ends a record.
func (s *csvWriter) end() {
	s.dst = append(s.dst, '\n')
	s.begun = false
}

// renderCSV renders the answer's table or, if it has none, its scalars as one row.
func renderCSV(_ *Calculator, a Answer, v View, dst []byte) ([]byte, error) {
	s := newCSVWriter(v)
	s.dst = dst
	if v.Pick != "" {
		picked, ours, err := pick(a, v.Pick)
		if err != nil {
			return nil, err
		}
		s.words([]byte(v.Pick))
		s.end()
		s.picked(picked, ours)
		s.end()
		return s.dst, nil
	}
	rows := reflect.ValueOf(a).Elem()
	if t, ok := a.(tabular); ok {
		rows = reflect.ValueOf(t.Table())
	}
	s.table(rows)
	return s.dst, nil
}

// table adds a header and below it a struct as one row, or a slice of structs as one
// row each.
func (s *csvWriter) table(rows reflect.Value) {
	row, n := rows.Type(), 1
	if rows.Kind() == reflect.Slice {
		row, n = row.Elem(), rows.Len()
	}
	list := columnsFor(row)
	for i := range list {
		s.cell([]byte(list[i].name))
	}
	s.end()
	for i := range n {
		one := rows
		if rows.Kind() == reflect.Slice {
			one = rows.Index(i)
		}
		for j := range list {
			s.field(one, &list[j])
		}
		s.end()
	}
}

// InCell renders a problem as the text or the table that was asked for.
func (p Problem) InCell(f Form, v View) []byte {
	if f.Name != CSV.Name {
		text := []byte(p.inCell())
		if v.Comma {
			text = withCommas(text)
		}
		return text
	}
	s := newCSVWriter(v)
	s.cell([]byte("error"))
	s.end()
	s.sentences([]byte(p.inCell()))
	s.end()
	return s.dst
}
