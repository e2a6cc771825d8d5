package wood_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"resawd/calc/blade"
	"resawd/calc/wood"
)

func TestAllIsSortedAndUnique(t *testing.T) {
	var names []string
	for _, s := range wood.All() {
		names = append(names, strings.ToLower(s.Name))
	}
	if !slices.IsSorted(names) || len(slices.Compact(slices.Clone(names))) != len(names) || len(names) < 30 {
		t.Errorf("%d names, sorted %v: %q", len(names), slices.IsSorted(names), names)
	}
}

func TestFind(t *testing.T) {
	if s, ok := wood.Find(" Maple, SUGAR "); !ok || s.Name != "maple, sugar" || s.Gum != blade.LowGum {
		t.Errorf("got %+v, %v", s, ok)
	}
	if _, ok := wood.Find("plywood"); ok {
		t.Error("found plywood")
	}
	all := wood.All()
	all[0].Name = "changed"
	if wood.All()[0].Name == "changed" {
		t.Error("the table can be changed from outside")
	}
}

func ExampleFind() {
	s, ok := wood.Find("Rosewood, Indian")
	fmt.Println(s.Gum == blade.HighGum, ok)
	// Output: true true
}

func ExampleAll() {
	fmt.Println(wood.All()[0].Name)
	// Output: alder, red
}
