package endpoint

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strconv"
	"strings"
)

// Table is the entries of one list of objects, or of several, a row each, under a
// header with the names of their fields.
type Table struct {
	Name string // for faults, such as a file's name; may be empty
	List string // the list that all rows belong to; empty if the column table says it of each row
	Text []byte
}

// Tables returns the fields of a query and of tables of lists.
func Tables(query []Pair, comma bool, tables ...Table) Fields {
	return Fields{query: query, comma: comma, tables: tables}
}

// kindColumn is the column that says which list a row belongs to.
const kindColumn = "table"

// rowReader reads the rows of one table.
type rowReader struct {
	*reader
	Table
	schema *schema
	dst    reflect.Value // the request
	lines  *lines
	header []string
	lost   map[string]bool // columns that no list has
	kind   int             // index of the column that says which list a row belongs to, -1 for none
	where  map[string]string
}

// readTables reads lists of objects. It returns where each entry stood, such as "row 5
// of rack.csv" for "boards.3". It returns an error for what cannot be read as a table;
// faults in fields are noted.
func (r *reader) readTables(s *schema, dst reflect.Value, tables []Table) (places, error) {
	where := places{}
	for _, t := range tables {
		rows := rowReader{reader: r, Table: t, schema: s, dst: dst, lines: newLines(bytes.NewReader(t.Text)), lost: map[string]bool{}, kind: -1, where: where}
		if err := rows.readHeader(); err != nil {
			return nil, err
		}
		if err := rows.read(); err != nil {
			return nil, err
		}
	}
	return where, nil
}

// inTable is a place in the table, with the table's name if it has one.
func (t *rowReader) inTable(place string) string {
	if t.Name == "" {
		return place
	}
	return place + " of " + t.Name
}

func (t *rowReader) readHeader() error {
	cells, err := t.lines.header()
	switch {
	case errors.Is(err, io.EOF):
		return Fail(BadRequest, "%s is empty: its first row names the fields", cmp.Or(t.Name, "the table"))
	case isRow(err):
		return Fail(BadRequest, "%s cannot be read: %s", t.inTable("the header"), err)
	case err != nil:
		return err
	}
	for _, cell := range cells {
		t.header = append(t.header, string(bytes.TrimSpace(cell)))
	}
	if t.List == "" {
		if t.kind = slices.Index(t.header, kindColumn); t.kind < 0 {
			return Fail(BadRequest, "%s has no column %s, which says of each row whether it is one of %s", t.inTable("the header"), kindColumn, strings.Join(t.schema.lists(), ", "))
		}
	}
	t.checkHeader()
	return nil
}

// checkHeader notes columns that no row can use.
func (t *rowReader) checkHeader() {
	for i, name := range t.header {
		switch {
		case name == "" || i == t.kind:
		case slices.Contains(t.header[:i], name):
			name = Clip([]byte(name))
			t.faults.add(FieldError{path: name, called: name, Parameter: name, Code: "duplicate_field", Detail: "stands twice in " + t.inTable("the header")})
		case !slices.ContainsFunc(t.schema.lists(), func(list string) bool { return (t.List == "" || t.List == list) && t.column(list, name) != nil }):
			t.lost[name] = true
			t.faults.add(FieldError{
				path: Clip([]byte(name)), called: Clip([]byte(name)), Parameter: Clip([]byte(name)), Code: "unknown_field",
				Detail: "in " + t.inTable("the header") + ": is not a field of " + cmp.Or(t.List, "any list") + t.fieldsOf(t.List),
			})
		}
	}
}

func (t *rowReader) fieldsOf(list string) string {
	if list == "" {
		return ""
	}
	return "; its fields are " + t.list(list).object.names()
}

// lists are the names of a request's lists of objects.
func (s *schema) lists() (names []string) {
	for _, f := range s.fields {
		if f.object != nil && f.depth == 1 {
			names = append(names, f.name)
		}
	}
	return names
}

func (t *rowReader) list(name string) *field { return &t.schema.fields[t.schema.byName[name]] }

// column is the field that a column holds in the entries of a list, nil if there is
// none.
func (t *rowReader) column(list, name string) *field {
	entry := t.list(list).object
	if i, ok := entry.byName[name]; ok {
		return &entry.fields[i]
	}
	return nil
}

// read reads the rows.
func (t *rowReader) read() error {
	for {
		line, err := t.lines.next()
		if err == nil {
			err = t.lines.split(line)
		}
		place := t.inTable("row " + strconv.Itoa(t.lines.row))
		switch {
		case errors.Is(err, io.EOF):
			return nil
		case isRow(err):
			return Fail(BadRequest, "%s cannot be read: %s", place, err)
		case err != nil:
			return err
		}
		cells := t.lines.cells
		if !slices.ContainsFunc(cells, func(cell []byte) bool { return len(bytes.TrimSpace(cell)) > 0 }) {
			continue
		}
		if err := t.row(place, cells); err != nil {
			return err
		}
	}
}

// row reads a row into an entry of its list. One entry past the limit is enough to
// refuse the list.
func (t *rowReader) row(place string, cells [][]byte) error {
	list, err := t.listOf(place, cells)
	if err != nil {
		return err
	}
	f := t.list(list)
	entries := t.dst.FieldByIndex(f.index)
	at := entries.Len()
	if at > f.maxLen[0] {
		return nil
	}
	entry, path := grown(entries), list+"."+strconv.Itoa(at)
	t.where[path] = place
	for i, cell := range cells {
		text := string(bytes.TrimSpace(cell))
		switch {
		case text == "" || i == t.kind:
		case i < len(t.header) && t.lost[t.header[i]]:
		case i >= len(t.header) || t.header[i] == "":
			return Fail(BadRequest, "%s has %q in a column without a name", place, Clip([]byte(text)))
		default:
			t.cell(t.column(list, t.header[i]), entry, path, t.header[i], text)
		}
	}
	return nil
}

// listOf is the list that a row belongs to; the row may have the list's name in the
// singular.
func (t *rowReader) listOf(place string, cells [][]byte) (string, error) {
	if t.List != "" {
		return t.List, nil
	}
	kind := ""
	if t.kind < len(cells) {
		kind = lower(string(bytes.TrimSpace(cells[t.kind])))
	}
	for _, list := range t.schema.lists() {
		if kind == list || kind == strings.TrimSuffix(list, "s") {
			return list, nil
		}
	}
	return "", Fail(BadRequest, "%s has %q under %s: it must be one of %s", place, Clip([]byte(kind)), kindColumn, strings.Join(t.schema.lists(), ", "))
}

// cell sets a field of an entry.
func (t *rowReader) cell(f *field, entry reflect.Value, path, name, text string) {
	at, warned := path+"."+name, len(t.warnings)
	switch {
	case f == nil: // the column is of another list
		list, _, _ := strings.Cut(path, ".")
		t.fail(at, "unknown_field", "is not a field of %s%s", list, t.fieldsOf(list))
	case f.object == nil:
		t.text(f, entry.FieldByIndex(f.index), at, text)
	case f.depth == 0:
		t.object(f, entry.FieldByIndex(f.index), at, at, text)
	default:
		t.objects(f, entry.FieldByIndex(f.index), at, text)
	}
	for i := warned; i < len(t.warnings); i++ {
		t.warnings[i] = strings.Replace(t.warnings[i], counted(at), name+" in "+t.where[path], 1)
	}
}

// objects sets a list of objects from one text, separated by semicolons.
func (t *rowReader) objects(f *field, dst reflect.Value, path, text string) {
	dst.Set(reflect.MakeSlice(dst.Type(), 0, 4))
	for part := range strings.SplitSeq(strings.TrimSuffix(text, ";"), ";") {
		i := dst.Len()
		if i > f.maxLen[0] || !t.object(f, grown(dst), path, path+"."+strconv.Itoa(i), part) {
			return
		}
	}
}

// object sets an object from one text: its values separated by spaces, in the order of
// its fields. If the first value is a name, it may contain spaces. It returns false,
// and notes the whole cell as wrong, if the number of values does not fit.
func (t *rowReader) object(f *field, dst reflect.Value, cell, path, text string) bool {
	values, fields := strings.Fields(text), f.object.fields
	first := dst.FieldByIndex(fields[0].index).Type()
	if more := len(values) - len(fields); more > 0 && first == reflect.TypeFor[*string]() {
		values = append([]string{strings.Join(values[:more+1], " ")}, values[more+1:]...)
	}
	if len(values) != len(fields) {
		next := ", and a semicolon before the next"
		if f.depth == 0 {
			next = ""
		}
		t.fail(cell, "wrong_type", "must be %s%s; %q was given", strings.ReplaceAll(f.object.names(), ", ", " and "), next, Clip([]byte(text)))
		return false
	}
	for j, value := range values {
		one := &fields[j]
		at := path + "." + one.name
		if one.scalar == nil || one.depth > 0 {
			t.fail(at, "wrong_type", "can only be given as JSON")
			continue
		}
		t.text(one, dst.FieldByIndex(one.index), at, value)
	}
	return true
}

// places says where the entries of lists stood in tables.
type places map[string]string

// tell rewords the faults of entries to say where these stood: column and row.
func (w places) tell(err error) error {
	var f *Failure
	if !errors.As(err, &f) {
		return err
	}
	for i := range f.fields {
		e := &f.fields[i]
		steps := strings.SplitN(e.path, ".", 3)
		if len(steps) < 2 || e.Parameter != "" || w[steps[0]+"."+steps[1]] == "" {
			continue
		}
		place := w[steps[0]+"."+steps[1]]
		e.path = strings.Join(steps[2:], "")
		e.Parameter = e.path
		e.Detail = fmt.Sprintf("in %s: %s", place, e.Detail)
	}
	return f
}
