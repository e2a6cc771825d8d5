package endpoint

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// Harmless makes words safe for the cell of a spreadsheet: it puts an apostrophe before
// what a program would take for a formula. That is what begins with the sign of a
// formula, unless all of it is numbers, and what begins with a tab or a line break. A
// file may be read with another separator than it was written with, so every part
// between separators is treated as the cell that it would become.
//
// Source: common practice against formulas in data.
func Harmless(text string) string {
	if !strings.ContainsAny(text, formulaSigns+"\t\r\n") || isNumbers(text) {
		return text
	}
	var safe strings.Builder
	if strings.ContainsRune("\t\r\n", rune(text[0])) {
		safe.WriteByte('\'')
	}
	for {
		if first, _ := utf8.DecodeRuneInString(text); strings.ContainsRune(formulaSigns, first) {
			safe.WriteByte('\'')
		}
		end := strings.IndexAny(text, separators)
		if end < 0 {
			return safe.String() + text
		}
		safe.WriteString(text[:end+1])
		text = text[end+1:]
	}
}

const (
	formulaSigns = "=+-@\uFF1D\uFF0B\uFF0D\uFF20" // and their full-width forms
	separators   = ",;\t"
)

// isNumbers reports whether words are a plain decimal number, or several.
func isNumbers(text string) bool {
	if strings.Trim(text, "0123456789.eE+-,; ") != "" {
		return false
	}
	for _, one := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(",; ", r) }) {
		if _, err := strconv.ParseFloat(one, 64); err != nil {
			return false
		}
	}
	return true
}
