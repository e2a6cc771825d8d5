package main

import (
	"fmt"
	"math/big"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// literal is one number as it stands in a file.
type literal struct {
	file      string // absolute path
	offset    int    // of its first byte in the file
	line, col int    // 1-based
	text      string
}

// mutant is a literal with one digit changed.
type mutant struct {
	literal
	pkg  string // import path of the package that holds it
	text string // the literal as changed
}

func (m mutant) String() string {
	return fmt.Sprintf("%s:%d:%d %s -> %s", shorten(m.file), m.line, m.col, m.literal.text, m.text)
}

// shorten names a file below the working folder from there.
func shorten(path string) string {
	here, err := os.Getwd()
	if err != nil {
		return path
	}
	name, err := filepath.Rel(here, path)
	if err != nil || strings.HasPrefix(name, "..") {
		return path
	}
	return name
}

// apply returns src with the mutant's literal in the place of the original.
func (m mutant) apply(src []byte) []byte {
	out := make([]byte, 0, len(src))
	out = append(out, src[:m.offset]...)
	out = append(out, m.text...)
	return append(out, src[m.offset+len(m.literal.text):]...)
}

// mutants returns one mutant for each digit of l, without those of equal value.
func mutants(pkg string, l literal) []mutant {
	var out []mutant
	top, start := base(l.text)
	for i := start; i < len(l.text); i++ {
		digit := swap(l.text[i], top)
		if digit == 0 || top == 'f' && exponent(l.text[:i]) {
			continue
		}
		text := l.text[:i] + string(digit) + l.text[i+1:]
		if !sameValue(l.text, text) {
			out = append(out, mutant{literal: l, pkg: pkg, text: text})
		}
	}
	return out
}

// base returns the largest digit of the literal's number base and the index after its
// prefix.
func base(text string) (top byte, start int) {
	lower := strings.ToLower(text)
	switch {
	case strings.HasPrefix(lower, "0x"):
		return 'f', 2
	case strings.HasPrefix(lower, "0b"):
		return '1', 2
	case strings.HasPrefix(lower, "0o"):
		return '7', 2
	case len(text) > 1 && text[0] == '0' && strings.Trim(text, "01234567_") == "":
		return '7', 1
	}
	return '9', 0
}

// exponent reports whether what follows head is the exponent of a hexadecimal
// floating-point number, which is left alone.
func exponent(head string) bool { return strings.ContainsAny(head, "pP") }

// swap returns the digit to put in the place of c: the next one, or for the largest the
// one before. It returns 0 if c is not a digit of the base.
func swap(c, top byte) byte {
	if c >= 'A' && c <= 'F' && top == 'f' {
		c += 'a' - 'A'
	}
	isDigit := c >= '0' && c <= '9' || c >= 'a' && c <= 'f'
	switch {
	case !isDigit || c > top:
		return 0
	case c == top:
		return c - 1
	case c == '9':
		return 'a'
	}
	return c + 1
}

// sameValue reports whether two literals are the same float64. Whole numbers are
// compared exactly.
func sameValue(a, b string) bool {
	x, okX := new(big.Int).SetString(a, 0)
	y, okY := new(big.Int).SetString(b, 0)
	if okX && okY {
		return x.Cmp(y) == 0
	}
	f, errF := strconv.ParseFloat(a, 64)
	g, errG := strconv.ParseFloat(b, 64)
	return errF == nil && errG == nil && f == g
}
