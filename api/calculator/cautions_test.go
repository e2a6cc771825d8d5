package calculator

import (
	"strings"
	"testing"

	"resawd/api/endpoint"
	"resawd/calc/blade"
	"resawd/calc/wood"
)

// TestDustCautions: the cautions name each wood, and say what is published about it.
func TestDustCautions(t *testing.T) {
	for _, c := range []struct {
		species []string
		want    []string // one a line, in order
	}{
		{nil, []string{"Some woods sensitise"}},
		{[]string{"Rosewood, Indian"}, []string{"Known to sensitise skin or lungs: Indian rosewood (TRGS 907"}},
		{[]string{"koa"}, []string{"Of a genus with woods that sensitise skin or lungs: koa (TRGS 907"}},
		{[]string{"oak"}, []string{"Of a genus with woods that sensitise skin or lungs: oak (Oregon State University Extension)"}},
		{[]string{"rosewood"}, []string{"Of a genus with woods that sensitise skin or lungs: rosewood (TRGS 907"}}, // not all of them are listed
		{[]string{"plywood"}, []string{"Unknown here, what their dust does: plywood."}},
		{[]string{"hard maple"}, []string{"In none of the lists of sensitising woods used here: sugar maple."}},
		{[]string{"sapele"}, []string{"Known to sensitise skin or lungs: sapele (from memory)"}},
		{[]string{"teak", "plywood", "koa", "cocobolo"}, []string{"Known to sensitise skin or lungs: teak, cocobolo (TRGS 907, annex 2)", "Of a genus", "Unknown here"}},
	} {
		got := dustCautions(c.species)
		if len(got) != len(c.want) {
			t.Errorf("%q: %q, want %d lines", c.species, got, len(c.want))
			continue
		}
		for i, line := range got {
			if !strings.HasPrefix(line, c.want[i]) {
				t.Errorf("%q: %q, want %q", c.species, line, c.want[i])
			}
		}
	}
}

// TestDustSources: there are words for each source that the table of woods names.
func TestDustSources(t *testing.T) {
	for _, s := range wood.All() {
		if s.Dust != wood.Unlisted && DustSources[s.DustSource] == "" {
			t.Errorf("%s: nothing tells what %q is", s.Name, s.DustSource)
		}
	}
}

// TestCautionsDefer: whatever the work, the machine's manual has the last word.
func TestCautionsDefer(t *testing.T) {
	for _, list := range [][]string{sawCautions(), sawCautions("koa"), planCautions(true, "oak", "plywood")} {
		if last := list[len(list)-1]; !strings.Contains(last, "manual, local codes and licensed practice") {
			t.Errorf("the last caution is %q", last)
		}
	}
}

// TestGumOf: a wood's own gum class, that of woods which share a name where they
// are alike, and otherwise a warning.
func TestGumOf(t *testing.T) {
	for name, want := range map[string]blade.Gum{
		"black walnut": blade.LowGum, "oak": blade.LowGum, "Indian rosewood": blade.HighGum, "rosewood": blade.HighGum, "blackwood": blade.UnknownGum, "plywood": blade.UnknownGum,
	} {
		if got := gumOf(&endpoint.Call{}, name); got != want {
			t.Errorf("%s: %v, want %v", name, got, want)
		}
	}
}
