// Package toy is what the tests of digitswap are tried on.
package toy

import (
	_ "embed"
	"errors"
	"strings"
)

//go:embed table.csv
var table string

// Table gives the records of the table, without its citation.
func Table() []string {
	lines := make([]string, 0, 15+1)
	for line := range strings.Lines(table) {
		if !strings.HasPrefix(line, "#") {
			lines = append(lines, strings.TrimSpace(line))
		}
	}
	return lines
}

// Inches is tested with a factor that hides nothing.
func Inches(mm float64) float64 { return mm / 25.4 }

// Clamp is tested on one side only: its 90 lives.
func Clamp(x float64) float64 {
	if x > 90 {
		return 90
	}
	return max(x, 5)
}

// Root is never tested with a negative number.
func Root(x int) (int, error) {
	if x < 0 {
		return 0, errors.New("negative")
	}
	return 3, nil // digitswap: excused in order to test that it is
}
