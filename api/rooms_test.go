package api_test

import (
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// rooms are the packages of api that calculators go through, each with those
// above it, which it does not import.
var rooms = map[string][]string{
	"endpoint":   {"resawd/api", "resawd/api/sheet", "resawd/api/calculator", "github.com/labstack/echo/v4"},
	"calculator": {"resawd/api", "resawd/api/sheet", "github.com/labstack/echo/v4", "net/http"},
	"sheet":      {"resawd/api", "github.com/labstack/echo/v4", "net/http"},
}

// TestDirection: api imports sheet, sheet calculator, and calculator endpoint;
// nothing imports back.
func TestDirection(t *testing.T) {
	for room, above := range rooms {
		files, err := filepath.Glob(room + "/*.go")
		if err != nil || len(files) < 5 {
			t.Fatalf("%s: %d files, %v", room, len(files), err)
		}
		for _, name := range files {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
			if err != nil {
				t.Fatal(err)
			}
			for _, i := range file.Imports {
				if path, _ := strconv.Unquote(i.Path.Value); slices.Contains(above, path) {
					t.Errorf("%s imports %s", name, path)
				}
			}
		}
	}
}
