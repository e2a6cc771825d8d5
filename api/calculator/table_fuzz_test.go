package calculator_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"testing"

	"resawd/api"
	"resawd/api/endpoint"
	"resawd/api/shop"
)

// FuzzTable: whatever comes as a table, to any calculator that takes one, every row is answered in one line of as
// many cells as the header has, and nothing panics.
func FuzzTable(f *testing.F) {
	tabled := slices.DeleteFunc(api.Calculators(), func(k endpoint.Calculator) bool { return k.ByPost })
	for which, k := range tabled {
		f.Add([]byte("saw,board_thickness,leaf_thickness,kerf,readings\n,1,1/2,0.045,1 2;3 4\n"), false, uint8(which))
		for name := range k.QueryFields() {
			f.Add([]byte(name+"\n1\nx\n"), false, uint8(which))
		}
	}
	f.Add([]byte("\uFEFFleaf_thickness;units\r\n1,5;mm\r\n\"=1+1\";\r\n"), true, uint8(0))
	f.Add([]byte("saw,leaf_thickness\n\"a\"\"b\n-5,@x\n\t,\r\n"), false, uint8(0))
	f.Add([]byte("leaf_thickness\n1/2\"\n8/4\n3' 2\"\n"), false, uint8(0))
	demo, err := shop.Demo()
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, table []byte, comma bool, which uint8) {
		k := tabled[int(which)%len(tabled)]
		b, err := k.NewBulk(&endpoint.Call{Context: t.Context(), Shop: demo}, bytes.NewReader(table), nil, comma)
		if err != nil {
			return // a header that is refused
		}
		header := bytes.Clone(b.Header())
		separator := ','
		if bytes.IndexByte(header, ';') >= 0 {
			separator = ';'
		}
		width := len(cellsOf(t, header, separator))
		for {
			row, err := b.Next()
			if errors.Is(err, io.EOF) {
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if n := len(cellsOf(t, row, separator)); n != width || bytes.Count(row, []byte("\n")) != 1 {
				t.Fatalf("%d cells, not %d: %q", n, width, row)
			}
		}
	})
}

func cellsOf(t *testing.T, line []byte, separator rune) []string {
	t.Helper()
	r := csv.NewReader(bytes.NewReader(line))
	r.Comma = separator
	cells, err := r.Read()
	if err != nil {
		t.Fatalf("%q: %v", line, err)
	}
	return cells
}
