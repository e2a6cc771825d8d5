package endpoint

import (
	"strings"
	"testing"

	"resawd/api/shop"
	"resawd/calc/length"
)

// TestOwnUnits: a fault is worded in the unit that its value came in, in a body, a
// query and a table alike.
func TestOwnUnits(t *testing.T) {
	for given, want := range map[string]string{
		"1001 mm":   "at most 1000 mm; 1001 mm was given",
		"101cm":     "at most 100 cm; 101 cm was given",
		"1.01 M":    "at most 1 m; 1.01 m was given",
		"40 in":     "at most 39.37007874 in; 40 in was given",
		"4ft":       "at most 39.37007874 in; 48 in was given",
		"3' 4\"":    "at most 39.37007874 in; 40 in was given",
		"200/4":     "at most 39.37007874 in; 50 in was given",
		"41e3 thou": "at most 39370.07874 thou; 41000 thou was given",
		"1000001um": "at most 1000000 um; 1000001 um was given",
		"1234":      "at most 1000 mm; 1234 mm was given",
		"-1 in":     "above 0 in; -1 in was given",
	} {
		body := Body([]byte(`{"units": "mm", "readings": [["` + strings.ReplaceAll(given, `"`, `\"`) + `"]]}`))
		_, f := read(t, body)
		if f == nil || f.fields[0].Detail != "must be "+want {
			t.Errorf("body: %s: %v, want %s", given, f, want)
		}
		if strings.Contains(given, " ") {
			continue // which separates the values of a list
		}
		_, f = read(t, Query([]Pair{{"units", "mm"}, {"readings", given}}, false))
		if f == nil || f.fields[0].Detail != "must be "+want {
			t.Errorf("query: %s: %v, want %s", given, f, want)
		}
	}
}

// TestOwnUnitsOfRows: a row's units are its own.
func TestOwnUnitsOfRows(t *testing.T) {
	k := New("/measured", measure)
	b, err := k.NewBulk(&Call{Context: t.Context(), Shop: &shop.Shop{}}, strings.NewReader("readings\n2000mm\n2000\n2m\n40 1 in\n"), nil, false)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"1000 mm; 2000 mm", "39.37007874 in; 2000 in", "at most 1 m; 2 m", "39.37007874 in; 40 in"} {
		row, err := b.Next()
		if err != nil || !strings.Contains(string(row), want) {
			t.Errorf("%s %v, want %s", row, err, want)
		}
	}
}

// TestTellingSpeeds: a speed can be written in every unit that one can be given in.
func TestTellingSpeeds(t *testing.T) {
	for unit, want := range map[length.Length]string{
		length.Inch: "1 ft/min", length.Thou: "1 ft/min", length.Foot: "1 ft/min", length.Metre: "0.3048 m/min", length.Centimetre: "0.3048 m/min",
	} {
		if got := BladeSpeed(length.Foot).Tell(unit); got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}
