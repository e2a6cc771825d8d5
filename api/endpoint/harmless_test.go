package endpoint

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"
)

// TestHarmless puts the usual payloads of formula injection into cells.
func TestHarmless(t *testing.T) {
	tests := []struct{ text, want string }{
		{"=1+1", "'=1+1"},
		{"+1+1", "'+1+1"},
		{"-2+3+cmd|' /C calc'!A0", "'-2+3+cmd|' /C calc'!A0"},
		{"@SUM(1,1)", "'@SUM(1,1)"},
		{`=HYPERLINK("http://127.0.0.1","x")`, `'=HYPERLINK("http://127.0.0.1","x")`},
		{"\t=1+1", "'\t'=1+1"},
		{"\rx", "'\rx"},
		{"\n=1+1", "'\n=1+1"},
		{"x;=1+1", "x;'=1+1"},
		{"x,@A1", "x,'@A1"},
		{"x\t-A1", "x\t'-A1"},
		{"\uff1d1+1", "'\uff1d1+1"},
		{"-", "'-"},
		{"-inf", "'-inf"},
		{"+0x1p3", "'+0x1p3"},
		{"--1", "'--1"},
		{"-1;A1", "'-1;A1"},
		{"1;-2+A1", "1;'-2+A1"},
		// Left as they are.
		{"", ""},
		{"-1", "-1"},
		{"+2.5e3", "+2.5e3"},
		{"-.5", "-.5"},
		{"-0,5", "-0,5"},
		{"-0.1 0.2;-0.3", "-0.1 0.2;-0.3"},
		{"1-1/2 in", "1-1/2 in"},
		{"walnut, black; a = b", "walnut, black; a = b"},
		{"'=1+1", "'=1+1"},
		{"back-1", "back-1"},
	}
	for _, test := range tests {
		if got := Harmless(test.text); got != test.want {
			t.Errorf("Harmless(%q) = %q, want %q", test.text, got, test.want)
		}
	}
}

// FuzzHarmless writes a cell as csv and reads it with every separator there is:
// no cell may begin as a formula does. A number stays one, whatever comes after
// it where the separator is the wrong one.
func FuzzHarmless(f *testing.F) {
	f.Add("=1+1", true)
	f.Add("a;=1\",\"=2", false)
	f.Add("\t-1;+x\r\n@", true)
	f.Fuzz(func(t *testing.T, text string, comma bool) {
		s := newCSVWriter(View{Comma: comma})
		s.words([]byte("walnut"))
		s.words([]byte(text))
		s.cell([]byte("1"))
		s.end()
		written := s.dst
		for _, separator := range ",;\t" {
			r := csv.NewReader(bytes.NewReader(written))
			r.Comma, r.LazyQuotes, r.FieldsPerRecord = separator, true, -1
			records, err := r.ReadAll()
			if err != nil {
				continue
			}
			for _, record := range records {
				for _, cell := range record {
					number, _, _ := strings.Cut(strings.NewReplacer(";", ",", "\t", ",").Replace(cell), ",")
					if cell != "" && strings.ContainsRune("=+-@", rune(cell[0])) && !isNumbers(number) {
						t.Errorf("%q, read with %q, has the cell %q", written, separator, cell)
					}
				}
			}
		}
	})
}
