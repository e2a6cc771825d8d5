package endpoint

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"reflect"

	"resawd/calc/length"
)

// Bulk answers a table of requests, one a row, as the rows arrive. One request, one
// reader and one call serve all rows in turn, so its memory does not grow with them.
type Bulk struct {
	Rows, Failed int // answered so far, and those of them with an error

	k       *Calculator
	call    *Call
	reader  reader
	lines   *lines
	request reflect.Value
	cells   []bulkCell
	width   int // columns of the header; cells beyond hold the fields of the query
	units   int // index of the cell that holds the units, -1 for none
	columns []column
	out     *csvWriter
}

// bulkCell is where the cells of a column go.
type bulkCell struct {
	field *queryField // nil of a column without a name, whose cells must be empty
	name  string
	at    any    // pointer into the request
	fixed []byte // the text, if the field stands in the query
}

// NewBulk begins to answer a table: it reads the header, which is a row of field names.
// Fields in the query hold for every row. The call must not be shared.
func (k *Calculator) NewBulk(c *Call, in io.Reader, query []Pair, comma bool) (*Bulk, error) {
	b := &Bulk{k: k, call: c, lines: newLines(in), request: reflect.New(k.Request), units: -1}
	b.reader.comma = comma
	header, err := b.lines.header()
	switch {
	case errors.Is(err, io.EOF):
		return nil, Fail(BadRequest, "the table is empty: its first row names the fields")
	case isRow(err):
		return nil, Fail(BadRequest, "the header cannot be read: %s", err)
	case err != nil:
		return nil, err
	}
	b.place(header, query)
	if len(b.reader.faults.list) > 0 {
		return nil, k.Located(b.reader.faults.failure(k.schema), false)
	}
	b.columns = b.answerColumns()
	b.out = newCSVWriter(View{Comma: comma})
	b.out.separator = b.lines.separator
	return b, nil
}

// isRow reports whether an error concerns one row, and the next can be read.
func isRow(err error) bool {
	return errors.Is(err, errLineTooLong) || errors.Is(err, errOpenQuote) || errors.Is(err, errAfterQuote)
}

// place finds where the cells of each row go.
func (b *Bulk) place(header [][]byte, query []Pair) {
	b.width = len(header)
	known := map[string]string{}
	add := func(name, where string, fixed []byte) {
		i, ok := b.k.schema.byKey[name]
		switch {
		case !ok:
			b.reader.unknown("", name, "", name, b.k.schema.keys)
			return
		case known[name] == where:
			b.reader.fail(b.k.schema.query[i].path, "duplicate_field", "is given more than once")
			return
		case known[name] != "":
			b.reader.fail(b.k.schema.query[i].path, "duplicate_field", "stands in the header and in the query: give it in one of them")
			return
		}
		known[name] = where
		if name == "units" {
			b.units = len(b.cells)
		}
		f := &b.k.schema.query[i]
		b.cells = append(b.cells, bulkCell{f, name, b.request.Elem().FieldByIndex(f.way).Addr().Interface(), fixed})
	}
	for _, cell := range header {
		if name := string(bytes.TrimSpace(cell)); name != "" {
			add(name, "header", nil)
		} else {
			b.cells = append(b.cells, bulkCell{})
		}
	}
	for _, p := range query {
		add(p.Name, "query", []byte(p.Value))
	}
}

// answerColumns lists the columns of the answer that the header does not have.
func (b *Bulk) answerColumns() (list []column) {
	for _, c := range columnsFor(b.k.Answer) {
		given := false
		for i := range b.cells[:b.width] {
			given = given || b.cells[i].name == c.name
		}
		if !given {
			list = append(list, c)
		}
	}
	return list
}

// Header is the header of the answer: the columns of the table, the scalars of the
// answer, its warnings, and the column error.
func (b *Bulk) Header() []byte {
	b.out.dst = b.out.dst[:0]
	for i := range b.cells[:b.width] {
		b.out.words([]byte(b.cells[i].name))
	}
	for i := range b.columns {
		b.out.cell([]byte(b.columns[i].name))
	}
	b.out.cell([]byte("error"))
	b.out.end()
	return b.out.dst
}

// Next answers the next row. The bytes are valid until the next call. It returns io.EOF
// after the last row; any other error concerns the reading of the table.
func (b *Bulk) Next() ([]byte, error) {
	b.out.dst = b.out.dst[:0]
	line, err := b.lines.next()
	if err == nil {
		err = b.lines.split(line)
	}
	if err != nil && !isRow(err) {
		return nil, err
	}
	b.Rows++
	b.echo(err == nil)
	var a Answer
	if err == nil {
		a, err = b.answer()
	}
	row := reflect.Value{}
	if err == nil {
		row = reflect.ValueOf(a).Elem()
	}
	for i := range b.columns {
		if err == nil {
			b.out.field(row, &b.columns[i])
		} else {
			b.out.cell(nil)
		}
	}
	b.fault(err)
	b.out.end()
	return b.out.dst, nil
}

// echo repeats the cells of a row, as many as the header has.
func (b *Bulk) echo(readable bool) {
	for i := range b.width {
		if readable && i < len(b.lines.cells) {
			b.out.words(b.lines.cells[i])
		} else {
			b.out.cell(nil)
		}
	}
}

// fault fills the column error of a row.
func (b *Bulk) fault(err error) {
	if err == nil {
		b.out.cell(nil)
		return
	}
	b.Failed++
	text := err.Error()
	if !isRow(err) {
		text = ProblemOf(b.k.Located(err, false)).summary()
	}
	b.out.sentences([]byte(text))
}

// answer answers the row that was read last.
func (b *Bulk) answer() (Answer, error) {
	for i, cell := range b.lines.cells {
		if i >= b.width && len(bytes.TrimSpace(cell)) > 0 {
			return nil, Fail(BadRequest, "the row has %d cells, and the header %d", len(b.lines.cells), b.width)
		}
	}
	r := &b.reader
	r.unit, r.faults, r.warnings = length.Inch, faults{list: r.faults.list[:0], query: b.k.schema, own: r.faults.own[:0]}, r.warnings[:0]
	if b.units >= 0 {
		r.unit = unitOf(string(b.cellText(b.units)))
	}
	b.request.Elem().SetZero()
	for i := range b.cells {
		text := b.cellText(i)
		switch {
		case len(text) == 0:
		case b.cells[i].field == nil:
			return nil, Fail(BadRequest, "the row has %q in a column without a name", Clip(text))
		default:
			b.set(&b.cells[i], text)
		}
	}
	c := b.call
	c.demo, c.warned = c.warned[:0], c.demo
	a, err := b.k.solved(c, b.request, r)
	r.warnings = c.warnings // the next row uses its memory again
	b.out.view.Unit = c.Unit
	return a, err
}

// cellText is the text of a cell of the row, or of a field in the query.
func (b *Bulk) cellText(i int) []byte {
	switch {
	case i >= b.width:
		return b.cells[i].fixed
	case i < len(b.lines.cells):
		return bytes.TrimSpace(b.lines.cells[i])
	}
	return nil
}

func (b *Bulk) set(cell *bulkCell, text []byte) {
	f := cell.field
	if f.depth == 0 {
		f.scalar(&b.reader, cell.at, f.path, raw{text: text})
		return
	}
	b.reader.text(&f.field, reflect.ValueOf(cell.at).Elem(), f.path, string(text))
}

// Broken is a last row that says why there are no more.
func (b *Bulk) Broken(err error) []byte {
	b.out.dst = b.out.dst[:0]
	b.echo(false)
	for range b.columns {
		b.out.cell(nil)
	}
	b.out.words(fmt.Appendf(nil, "the table ends here: %s", err))
	b.out.end()
	return b.out.dst
}
