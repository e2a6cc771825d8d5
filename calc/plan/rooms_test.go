package plan_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// rooms are the packages of the planner, each after all that it may import.
var rooms = []string{
	"resawd/calc/lp",
	"resawd/calc/plan/colgen",
	"resawd/calc/plan/colgen/internal/knapsack",
	"resawd/calc/plan/colgen/internal/relax",
	"resawd/calc/plan/colgen/internal/pack",
	"resawd/calc/plan/colgen/internal/exactly",
	"resawd/calc/plan/colgen/internal/mix",
	"resawd/calc/plan/colgen/solve",
	"resawd/calc/plan",
	"resawd/calc/plan/internal/board",
	"resawd/calc/plan/internal/layouts",
	"resawd/calc/plan/internal/later",
	"resawd/calc/plan/internal/outright",
	"resawd/calc/plan/internal/bound",
	"resawd/calc/plan/internal/search",
	"resawd/calc/plan/internal/keep",
	"resawd/calc/plan/solver",
}

// TestRooms: the packages import each other in one direction only. The search of
// three stages knows nothing of the engine of one dimension, nor the other way
// round.
func TestRooms(t *testing.T) {
	met := map[string]bool{}
	for _, root := range []string{".", "../lp"} {
		err := filepath.WalkDir(root, func(path string, _ fs.DirEntry, err error) error {
			if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
			if err != nil {
				return err
			}
			room := "resawd/calc/" + strings.TrimPrefix(filepath.ToSlash(filepath.Dir(filepath.Join("plan", path))), "../")
			at := slices.Index(rooms, room)
			if at < 0 {
				return nil // made-up orders and commands
			}
			met[room] = true
			for _, i := range file.Imports {
				name, _ := strconv.Unquote(i.Path.Value)
				if !strings.HasPrefix(name, "resawd/calc/plan") && name != "resawd/calc/lp" {
					continue
				}
				engine := strings.Contains(room, "/colgen")
				if n := slices.Index(rooms, name); n < 0 || n >= at || engine != strings.Contains(name, "/colgen") && name != "resawd/calc/lp" && room != "resawd/calc/plan/solver" {
					t.Errorf("%s imports %s", path, name)
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if len(met) != len(rooms) {
		t.Errorf("found %d of %d rooms: %v", len(met), len(rooms), met)
	}
}
