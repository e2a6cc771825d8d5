package wood

import (
	_ "embed"
	"encoding/csv"
	"strings"

	"resawd/calc/blade"
)

// Species is a kind of wood.
type Species struct {
	Name string
	Gum  blade.Gum
}

//go:embed species.csv
var speciesCSV string

var species = readSpecies(speciesCSV)

var gums = map[string]blade.Gum{"low": blade.LowGum, "medium": blade.MediumGum, "high": blade.HighGum}

// readSpecies reads the embedded table; a fault in it shows at start.
func readSpecies(table string) []Species {
	r := csv.NewReader(strings.NewReader(table))
	r.Comment = '#'
	records, err := r.ReadAll()
	if err != nil {
		panic(err)
	}
	var all []Species
	for _, record := range records[1:] {
		gum, ok := gums[record[1]]
		if !ok {
			panic("wood: " + record[0] + " has the gum class " + record[1])
		}
		all = append(all, Species{record[0], gum})
	}
	return all
}

// All lists every species, by name.
//
// Source: names after the Wood Handbook, FPL-GTR-282; gum classes common
// practice.
func All() []Species { return append([]Species(nil), species...) }

// Find finds a species by name, whatever the case.
//
// Source: as [All].
func Find(name string) (Species, bool) {
	for _, s := range species {
		if strings.EqualFold(s.Name, strings.TrimSpace(name)) {
			return s, true
		}
	}
	return Species{}, false
}
