package upkeep

import (
	_ "embed"
	"encoding/csv"
	"slices"
	"strconv"
	"strings"
)

// Cause is what may be behind a symptom.
type Cause struct {
	Cause  string
	Check  string // how to find out
	Remedy string
	Cost   int // of the remedy: 1 minutes, 2 an hour, 3 a part
}

//go:embed symptoms.csv
var symptomsCSV string

var symptoms, causes = readSymptoms(symptomsCSV)

// readSymptoms reads the embedded table; a fault in it shows at start.
func readSymptoms(table string) (names []string, byName map[string][]Cause) {
	r := csv.NewReader(strings.NewReader(table))
	r.Comment = '#'
	records, err := r.ReadAll()
	if err != nil {
		panic(err)
	}
	byName = map[string][]Cause{}
	for _, record := range records[1:] {
		cost, err := strconv.Atoi(record[4])
		if err != nil {
			panic("upkeep: " + record[0] + " has the cost " + record[4])
		}
		if !slices.Contains(names, record[0]) {
			names = append(names, record[0])
		}
		byName[record[0]] = append(byName[record[0]], Cause{record[1], record[2], record[3], cost})
	}
	return names, byName
}

// Symptoms lists the symptoms there are causes for.
//
// Source: common practice.
func Symptoms() []string { return slices.Clone(symptoms) }

// Causes gives what may cause a symptom, the cheapest remedy first; none where the
// symptom is not in the list.
//
// Source: common practice.
func Causes(symptom string) []Cause { return slices.Clone(causes[symptom]) }
