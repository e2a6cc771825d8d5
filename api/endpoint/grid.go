package endpoint

import (
	"iter"
	"reflect"
	"strings"
)

// Grid is a table as a spreadsheet shows it. A cell is a scalar, a list of words joined
// into one text, or nil where the JSON leaves the field out.
type Grid struct {
	Columns []string // names of fields
	Rows    iter.Seq[[]any]
}

// GridOf lays out a slice of structs, one a row.
func GridOf(list any) Grid {
	rows := reflect.ValueOf(list)
	columns := columnsFor(rows.Type().Elem())
	g := Grid{Columns: make([]string, len(columns))}
	for i := range columns {
		g.Columns[i] = columns[i].name
	}
	g.Rows = func(yield func([]any) bool) {
		for i := range rows.Len() {
			cells := make([]any, len(columns))
			for j := range columns {
				if value := columns[j].of(rows.Index(i)); value.IsValid() {
					cells[j] = joined(value.Interface())
				}
			}
			if !yield(cells) {
				return
			}
		}
	}
	return g
}

func joined(value any) any {
	if words, ok := value.([]string); ok {
		return strings.Join(words, "; ")
	}
	return value
}
