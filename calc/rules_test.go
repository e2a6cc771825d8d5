// Package calc_test holds the rules that every package of calculations keeps.
package calc_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// source is one parsed Go file below this folder.
type source struct {
	path string
	file *ast.File
}

func (s source) test() bool { return strings.HasSuffix(s.path, "_test.go") }

func sources(t *testing.T) []source {
	t.Helper()
	var all []source
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || filepath.Dir(path) == "." {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ParseComments)
		all = append(all, source{path, file})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(all) < 20 {
		t.Fatalf("found only %d files", len(all))
	}
	return all
}

// helpers are the packages that no calculation imports: benchmarks, and made-up orders
// for tests. They may read files and the environment.
var helpers = map[string]bool{
	"plan/internal/planbench": true, "plan/internal/instance": true, "plan/internal/trial": true,
	"plan/colgen/internal/trial": true, "internal/refusal": true,
}

// TestImports: calc imports the standard library, calc itself and gonum, of the
// standard library nothing that reaches the world, and of calc no helpers.
func TestImports(t *testing.T) {
	world := map[string]bool{"os": true, "time": true, "net": true, "log": true, "syscall": true, "unsafe": true, "plugin": true}
	for _, s := range sources(t) {
		if s.test() || helpers[filepath.ToSlash(filepath.Dir(s.path))] {
			continue
		}
		for _, i := range s.file.Imports {
			path, _ := strconv.Unquote(i.Path.Value)
			first, _, _ := strings.Cut(path, "/")
			own, isCalc := strings.CutPrefix(path, "resawd/calc/")
			inside := isCalc && !helpers[own] || strings.HasPrefix(path, "gonum.org/")
			if world[first] || !inside && (first == "resawd" || strings.Contains(first, ".")) {
				t.Errorf("%s imports %s", s.path, path)
			}
		}
	}
}

// TestDocumentation: every exported function names its source and has an
// Example, one that can refuse says what is valid, and every package has a chapter
// of its own.
func TestDocumentation(t *testing.T) {
	examples, chapters, functions := map[string]bool{}, map[string]bool{}, 0
	all := sources(t)
	for _, s := range all {
		dir := filepath.Dir(s.path)
		if filepath.Base(s.path) == "doc.go" && s.file.Doc != nil {
			chapters[dir] = true
		}
		for _, d := range s.file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && s.test() && strings.HasPrefix(f.Name.Name, "Example") {
				examples[dir+" "+strings.TrimPrefix(f.Name.Name, "Example")] = true
			}
		}
	}
	for _, s := range all {
		dir := filepath.Dir(s.path)
		if s.test() || strings.Contains(dir, "internal") {
			continue
		}
		if !chapters[dir] && dir != "fault" {
			t.Errorf("%s has no doc.go", dir)
		}
		for _, d := range s.file.Decls {
			f, ok := d.(*ast.FuncDecl)
			if !ok || !exported(f) {
				continue
			}
			functions++
			if !strings.Contains(f.Doc.Text(), "Source:") {
				t.Errorf("%s: %s names no source", s.path, f.Name.Name)
			}
			if refuses(f) && dir != "fault" && !strings.Contains(f.Doc.Text(), "Valid:") {
				t.Errorf("%s: %s does not say what is valid", s.path, f.Name.Name)
			}
			if name := exampleName(f); !examples[dir+" "+name] {
				t.Errorf("%s: %s has no Example%s", s.path, f.Name.Name, name)
			}
		}
	}
	if functions < 20 {
		t.Errorf("found only %d exported functions", functions)
	}
}

// plumbing are the methods that make a type an error or a text.
var plumbing = map[string]bool{"Error": true, "Unwrap": true, "String": true}

// exported reports whether a function is for users; what makes a type an error
// needs no source.
func exported(f *ast.FuncDecl) bool {
	if !f.Name.IsExported() || plumbing[f.Name.Name] {
		return false
	}
	return f.Recv == nil || ast.IsExported(receiver(f))
}

// refuses reports whether a function's last result is an error.
func refuses(f *ast.FuncDecl) bool {
	if f.Type.Results == nil {
		return false
	}
	last, _ := f.Type.Results.List[len(f.Type.Results.List)-1].Type.(*ast.Ident)
	return last != nil && last.Name == "error"
}

func exampleName(f *ast.FuncDecl) string {
	if f.Recv == nil {
		return f.Name.Name
	}
	return receiver(f) + "_" + f.Name.Name
}

func receiver(f *ast.FuncDecl) string {
	t := f.Recv.List[0].Type
	if star, ok := t.(*ast.StarExpr); ok {
		t = star.X
	}
	if generic, ok := t.(*ast.IndexExpr); ok {
		t = generic.X
	}
	name, _ := t.(*ast.Ident)
	return name.Name
}
