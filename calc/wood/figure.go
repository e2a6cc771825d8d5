package wood

import (
	"strconv"
	"strings"
)

// Figure is a figure of the table; the zero value says that none is published, or
// none was at hand.
type Figure struct {
	Value      float64
	Source     string // the publication and its table
	FromMemory bool   // the publication was not at hand: unconfirmed
}

// Known reports whether there is a figure.
//
// Source: definition.
func (f Figure) Known() bool { return f.Value != 0 }

// The publications of the figures.
const (
	coefficientTable = "Wood Handbook table 13-5 (FPL-GTR-190)"
	coefficientLists = "flooring lists after Agriculture Handbook 72 (1987)"
	shrinkageTables  = "Wood Handbook tables 4-3 and 4-4 (FPL-GTR-190)"
	gravityTables    = "Wood Handbook tables 5-3b and 5-5b (FPL-GTR-282)"
)

// readFigures reads the figures of a row, in the order of the table.
func (s *Species) readFigures(cells []string) {
	for i, column := range []struct {
		to     *Figure
		source string
	}{
		{&s.RadialCoefficient, coefficientTable},
		{&s.TangentialCoefficient, coefficientTable},
		{&s.RadialShrinkage, shrinkageTables},
		{&s.TangentialShrinkage, shrinkageTables},
		{&s.VolumetricShrinkage, shrinkageTables},
		{&s.GravityGreen, gravityTables},
		{&s.Gravity12, gravityTables},
	} {
		if cells[i] != "" {
			*column.to = readFigure(s.Name, cells[i], column.source)
		}
	}
}

// readFigure reads a number and the letter behind it that says where it stands.
func readFigure(name, cell, source string) Figure {
	number := strings.TrimRight(cell, "am")
	f := Figure{Source: source}
	switch cell[len(number):] {
	case "":
	case "a":
		f.Source = coefficientLists
	case "m":
		f.FromMemory = true
	default:
		panic("wood: " + name + " has the figure " + cell)
	}
	var err error
	f.Value, err = strconv.ParseFloat(number, 64) // digitswap: the function takes 32 and anything else for 64
	if err != nil || f.Value <= 0 {
		panic("wood: " + name + " has the figure " + cell)
	}
	return f
}
