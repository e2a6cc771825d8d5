package wood

import (
	"fmt"
	"strings"
	"testing"
)

// TestReadSpecies: a fault in the table stops the program and says where it is.
func TestReadSpecies(t *testing.T) {
	for table, want := range map[string]string{
		"name,gum\noak,low\nash,some\n": "ash has the gum class some",
		"name,gum\noak,low,high\n":      "wrong number of fields",
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
