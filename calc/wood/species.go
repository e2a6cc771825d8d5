package wood

import (
	_ "embed"
	"encoding/csv"
	"strings"

	"resawd/calc/blade"
)

// Species is a kind of wood.
type Species struct {
	Name       string
	Aliases    []string
	Gum        blade.Gum
	Dust       Dust
	DustSource string // short name of a source of Dust; empty where that is Unlisted
	Softwood   bool

	RadialCoefficient, TangentialCoefficient                  Figure // share of the size for each percent of moisture, 6 to 14 percent
	RadialShrinkage, TangentialShrinkage, VolumetricShrinkage Figure // percent, from green to ovendry
	GravityGreen, Gravity12                                   Figure // ovendry mass over the volume when green and at 12 percent, to water's
}

// Dust is what is published of a wood's dust.
type Dust int

// What is published of a wood's dust.
const (
	Unlisted   Dust = iota // in no list that the table rests on
	Sensitises             // the species is listed as one that sensitises
	OfItsGenus             // others of its genus are
)

//go:embed species.csv
var speciesCSV string

var (
	species = readSpecies(speciesCSV)
	byName  = index(species)
)

var (
	gums     = map[string]blade.Gum{"low": blade.LowGum, "medium": blade.MediumGum, "high": blade.HighGum}
	softwood = map[string]bool{"hardwood": false, "softwood": true}
	dusts    = map[string]Dust{"": Unlisted, "sensitises": Sensitises, "genus": OfItsGenus}
)

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
		all = append(all, readOne(record))
	}
	return all
}

func readOne(record []string) Species {
	s := Species{Name: record[0], DustSource: record[4]}
	if record[1] != "" {
		s.Aliases = strings.Split(record[1], "|")
	}
	var known, knownDust, knownClass bool
	s.Gum, known = gums[record[2]]
	s.Dust, knownDust = dusts[record[3]]
	s.Softwood, knownClass = softwood[record[5]]
	switch {
	case !known:
		panic("wood: " + s.Name + " has the gum class " + record[2])
	case !knownDust:
		panic("wood: " + s.Name + " has the dust " + record[3])
	case (s.Dust == Unlisted) != (s.DustSource == ""):
		panic("wood: " + s.Name + " has a dust without a source, or a source without a dust")
	case !knownClass:
		panic("wood: " + s.Name + " has the class " + record[5])
	}
	s.readFigures(record[6:])
	return s
}
