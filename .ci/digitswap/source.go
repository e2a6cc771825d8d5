package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"os"
	"regexp"
	"strings"
)

// optOut is the comment that excuses a line.
var optOut = regexp.MustCompile(`^//\s*digitswap:\s*(.*)$`)

// number is a CSV cell that can be changed: a decimal, a fraction or both.
var number = regexp.MustCompile(`^\s*[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+|/\d+|[ -]\d+/\d+)?\s*$`)

// goLiterals finds the numbers of a Go file, without those that the tool's rules leave
// alone.
func goLiterals(path string) ([]literal, error) {
	fset := token.NewFileSet()
	file, err := parser.ParseFile(fset, path, nil, parser.ParseComments)
	if err != nil {
		return nil, err
	}
	excused, err := excusedLines(fset, file)
	if err != nil {
		return nil, err
	}
	var out []literal
	idle := map[ast.Node]bool{} // literals whose value no test could see
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			markAll(idle, capacityHint(n))
		case *ast.FuncDecl:
			markZeros(idle, n.Type, n.Body)
		case *ast.FuncLit:
			markZeros(idle, n.Type, n.Body)
		}
		lit, ok := n.(*ast.BasicLit)
		if !ok || lit.Kind != token.INT && lit.Kind != token.FLOAT && lit.Kind != token.IMAG {
			return n != nil
		}
		at := fset.Position(lit.Pos())
		if !idle[lit] && !excused[at.Line] {
			out = append(out, literal{path, at.Offset, at.Line, at.Column, lit.Value})
		}
		return true
	})
	return out, nil
}

// excusedLines finds the lines with the opt-out comment and its reason.
func excusedLines(fset *token.FileSet, file *ast.File) (map[int]bool, error) {
	lines := map[int]bool{}
	for _, group := range file.Comments {
		for _, comment := range group.List {
			found := optOut.FindStringSubmatch(comment.Text)
			at := fset.Position(comment.Pos())
			switch {
			case found == nil:
			case strings.TrimSpace(found[1]) == "":
				return nil, fmt.Errorf("%s: the opt-out gives no reason", at)
			default:
				lines[at.Line] = true
			}
		}
	}
	return lines, nil
}

// capacityHint returns the argument of a make call that only sizes memory, or nil.
func capacityHint(call *ast.CallExpr) ast.Expr {
	name, ok := call.Fun.(*ast.Ident)
	if !ok || name.Name != "make" || len(call.Args) < 2 {
		return nil
	}
	_, isMap := call.Args[0].(*ast.MapType)
	if isMap || len(call.Args) == 3 {
		return call.Args[len(call.Args)-1]
	}
	return nil
}

// markAll marks every literal of an expression, which may be nil.
func markAll(idle map[ast.Node]bool, e ast.Expr) {
	if e == nil {
		return
	}
	ast.Inspect(e, func(n ast.Node) bool {
		idle[n] = true
		return true
	})
}

// markZeros marks each plain 0 that a function returns beside an error or
// beside ok = false: by convention its caller does not look at it.
func markZeros(idle map[ast.Node]bool, signature *ast.FuncType, body *ast.BlockStmt) {
	fine := success(signature)
	if body == nil || fine == "" {
		return
	}
	ast.Inspect(body, func(n ast.Node) bool {
		statement, ok := n.(*ast.ReturnStmt)
		if ok && len(statement.Results) > 1 && refuses(statement.Results[len(statement.Results)-1], fine) {
			for _, result := range statement.Results {
				lit, ok := result.(*ast.BasicLit)
				idle[result] = idle[result] || ok && lit.Value == "0"
			}
		}
		_, inner := n.(*ast.FuncLit) // has a signature of its own
		return !inner
	})
}

// success returns the last result that means success: nil for an error, true for a bool
// called ok, empty for anything else.
func success(signature *ast.FuncType) string {
	if signature.Results == nil {
		return ""
	}
	last := signature.Results.List[len(signature.Results.List)-1]
	kind, _ := last.Type.(*ast.Ident)
	switch {
	case kind != nil && kind.Name == "error":
		return "nil"
	case kind != nil && kind.Name == "bool" && len(last.Names) == 1 && last.Names[0].Name == "ok":
		return "true"
	}
	return ""
}

// refuses reports whether a last result means failure: any error but nil, or the word
// false.
func refuses(last ast.Expr, fine string) bool {
	name, _ := last.(*ast.Ident)
	if fine == "true" {
		return name != nil && name.Name == "false"
	}
	return name == nil || name.Name != fine
}

// csvLiterals finds the cells of a CSV table that are numbers.
func csvLiterals(path string) ([]literal, error) {
	src, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	starts := lineStarts(src)
	reader := csv.NewReader(bytes.NewReader(src))
	reader.Comment, reader.FieldsPerRecord, reader.LazyQuotes = '#', -1, true
	var out []literal
	for header := true; ; header = false {
		record, err := reader.Read()
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
		for i, cell := range record {
			if header || !number.MatchString(cell) {
				continue
			}
			line, col := reader.FieldPos(i)
			offset := starts[line-1] + col - 1
			offset += bytes.Index(src[offset:], []byte(cell))
			out = append(out, literal{path, offset, line, col, cell})
		}
	}
}

// lineStarts returns the offset of the first byte of each line.
func lineStarts(src []byte) []int {
	starts := []int{0}
	for i, c := range src {
		if c == '\n' {
			starts = append(starts, i+1)
		}
	}
	return starts
}
