package sheet

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"resawd/api/endpoint"
)

// A column is as wide as its longest cell, within these.
const (
	narrowestColumn = 7
	widestColumn    = 70
)

// table is a list to show as the rows of a sheet, without columns that would be empty.
type table struct {
	columns []tableColumn
	rows    [][]any
}

// tableColumn is a column that is not empty.
type tableColumn struct {
	head  string
	width int
	above look // of the head
}

// tableOf lays out a slice of structs.
func tableOf(list any) table {
	grid := endpoint.GridOf(list)
	rows := slices.Collect(grid.Rows)
	t := table{rows: make([][]any, len(rows))}
	for i, name := range grid.Columns {
		c := tableColumn{strings.ReplaceAll(name, "_", " "), narrowestColumn, lookAbove}
		for word := range strings.SplitSeq(c.head, " ") {
			c.width = max(c.width, len(word)+1)
		}
		full := false
		for _, row := range rows {
			words, _ := row[i].(string)
			if lookOf(row[i]) == lookWords && row[i] != nil {
				c.above, c.width = lookHead, max(c.width, utf8.RuneCountInString(words))
			}
			full = full || row[i] != nil && row[i] != ""
		}
		if !full {
			continue
		}
		c.width = min(c.width, widestColumn) + 2
		t.columns = append(t.columns, c)
		for r := range rows {
			t.rows[r] = append(t.rows[r], rows[r][i])
		}
	}
	return t
}

// stream fills the sheet with a title, lines below it, and a table whose heads stay in
// sight and are printed on every page. It writes as it goes, so nothing else can be put
// on the sheet.
func (w *workbook) stream(title string, below []string, t table) {
	heads := len(below) + 3
	rows := "$" + strconv.Itoa(heads) + ":$" + strconv.Itoa(heads)
	w.keep(w.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: "'" + w.sheet + "'!" + rows, Scope: w.sheet}))
	s, err := w.file.NewStreamWriter(w.sheet)
	if err != nil {
		w.keep(err)
		return
	}
	for i, c := range t.columns {
		w.keep(s.SetColWidth(i+1, i+1, float64(c.width)))
	}
	w.keep(s.SetPanes(&excelize.Panes{Freeze: true, YSplit: heads, TopLeftCell: "A" + strconv.Itoa(heads+1), ActivePane: "bottomLeft"}))
	w.row(s, 1, w.cell(lookTitle, title))
	for i, line := range below {
		w.row(s, 2+i, w.shown(line))
	}
	cells := make([]any, len(t.columns))
	for i, c := range t.columns {
		cells[i] = w.cell(c.above, c.head)
	}
	w.row(s, heads, cells...)
	for i, row := range t.rows {
		for j, value := range row {
			cells[j] = w.cell(lookOf(value), value)
		}
		w.row(s, heads+1+i, cells...)
	}
	w.keep(s.Flush())
}

func (w *workbook) cell(as look, value any) excelize.Cell {
	return excelize.Cell{StyleID: w.looks[as], Value: w.shown(value)}
}

func (w *workbook) row(s *excelize.StreamWriter, row int, cells ...any) {
	w.keep(s.SetRow("A"+strconv.Itoa(row), cells))
}

// block puts a table on the sheet from a row on, and returns the row after it.
func (w *workbook) block(row int, head string, t table) int {
	if len(t.rows) == 0 {
		return row
	}
	w.put(1, row, lookTitle, head)
	for i, c := range t.columns {
		w.put(i+1, row+1, c.above, c.head)
		for j := range t.rows {
			w.put(i+1, row+2+j, lookOf(t.rows[j][i]), t.rows[j][i])
		}
	}
	return row + len(t.rows) + 3
}
