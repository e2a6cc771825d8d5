package api_test

import (
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// rooms are the packages within api, each with those of them that it may import. What
// is for tests stands outside.
var rooms = map[string][]string{
	"configfile": nil,
	"form":       nil,
	"rule":       nil,
	"key":        {"configfile"},
	"shop":       {"configfile", "rule"},
	"endpoint":   {"rule", "shop"},
	"calculator": {"endpoint", "rule", "shop"},
	"sheet":      {"calculator", "endpoint", "rule"},
}

// TestDirection: api imports its rooms, and they import each other in one direction. They
// know no server; of HTTP the core takes the statuses of its problems.
func TestDirection(t *testing.T) {
	folders, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range folders {
		_, known := rooms[f.Name()]
		if known = known || slices.Contains([]string{"apitest", "contract", "testdata"}, f.Name()); f.IsDir() && !known {
			t.Errorf("%s is no room", f.Name())
		}
	}
	for room, below := range rooms {
		files, err := filepath.Glob(room + "/*.go")
		if err != nil || len(files) == 0 {
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
				path, _ := strconv.Unquote(i.Path.Value)
				other, within := strings.CutPrefix(path, "resawd/api")
				server := strings.HasPrefix(path, "github.com/labstack/echo/") || path == "net/http" && room != "endpoint"
				if server || within && !slices.Contains(below, strings.TrimPrefix(other, "/")) {
					t.Errorf("%s imports %s", name, path)
				}
			}
		}
	}
}
