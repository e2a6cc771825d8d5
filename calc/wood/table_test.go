package wood

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// TestReadSpecies: a fault in the table stops the program and says where it is.
func TestReadSpecies(t *testing.T) {
	const head = "name,aliases,gum,dust,dust_source\n"
	for table, want := range map[string]string{
		head + "oak,,low,,\nash,,some,,\n":    "ash has the gum class some",
		head + "oak,,low,,\nash,,low,bad,x\n": "ash has the dust bad",
		head + "ash,,low,genus,\n":            "ash has a dust without a source",
		head + "ash,,low,,memory\n":           "ash has a dust without a source, or a source without a dust",
		head + "oak,low,high\n":               "wrong number of fields",
	} {
		func() {
			defer func() {
				if got := fmt.Sprint(recover()); !strings.Contains(got, want) {
					t.Errorf("%q: %s, want %q", table, got, want)
				}
			}()
			readSpecies(table)
		}()
	}
}

// TestDustSources: every source that a row names stands in the table's head.
func TestDustSources(t *testing.T) {
	head, _, _ := strings.Cut(speciesCSV, "\nname,")
	var named []string
	for _, s := range species {
		if s.DustSource != "" {
			named = append(named, s.DustSource)
		}
	}
	slices.Sort(named)
	named = slices.Compact(named)
	if len(named) != 4 {
		t.Errorf("the rows name %q", named)
	}
	for _, name := range named {
		if !strings.Contains(head, "#   "+name+" ") {
			t.Errorf("the table does not say what %s is", name)
		}
	}
}
