package configfile_test

import (
	"strings"
	"testing"

	"resawd/api/configfile"
)

// A parser that panics is a file that cannot be read.
func TestParsePanics(t *testing.T) {
	made, err := configfile.Parse([]byte("x"), func(text []byte) (*int, error) { return nil, []error{}[len(text)] })
	if made != nil || err == nil || !strings.Contains(err.Error(), "not YAML") {
		t.Errorf("%v, %v", made, err)
	}
}
