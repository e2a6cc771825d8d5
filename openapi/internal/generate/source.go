package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
)

// source is what the Go source says about the wire types and swag does not pass on:
// comments, the order of fields, the tags of the validator.
type source struct {
	structs    map[string]*structType // by package and name, such as calculator.DialRequest
	quantities map[string]string      // comments of numbers with a unit of their own, such as endpoint.Feed
	folders    map[string]string      // of packages, by their names
}

type structType struct {
	comment string
	fields  []wireField
}

// wireField is a field with a name on the wire.
type wireField struct {
	name string
	kind string // the type without its stars, such as length.Length or []calculator.DialStep
	tag  reflect.StructTag
}

// rule returns the parameter of a rule of the validator.
func (f wireField) rule(name string) (param string, ok bool) {
	rules, _, _ := strings.Cut(f.tag.Get("validate"), ",dive")
	for rule := range strings.SplitSeq(rules, ",") {
		if key, param, _ := strings.Cut(rule, "="); key == name {
			return param, true
		}
	}
	return "", false
}

// entry is an entry of a list, with the rules for entries.
func (f wireField) entry() wireField {
	_, rules, _ := strings.Cut(f.tag.Get("validate"), "dive")
	tag := reflect.StructTag(`validate:"` + strings.TrimPrefix(rules, ",") + `"`)
	return wireField{f.name, strings.TrimPrefix(f.kind, "[]"), tag}
}

// readSource reads every package in and below a folder.
func readSource(folder string) (*source, error) {
	specs := map[string]*ast.TypeSpec{}
	comments := map[string]string{}
	folders := map[string]string{"length": "calc/length"}
	err := filepath.WalkDir(folder, func(path string, _ fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ParseComments)
		if err == nil {
			folders[file.Name.Name] = filepath.ToSlash(filepath.Dir(path))
			collect(file, specs, comments)
		}
		return err
	})
	s := &source{map[string]*structType{}, map[string]string{lengthKind: ""}, folders}
	for name, spec := range specs {
		s.add(name, spec, specs, comments[name])
	}
	return s, err
}

// collect notes the exported types of a file.
func collect(file *ast.File, specs map[string]*ast.TypeSpec, comments map[string]string) {
	for _, decl := range file.Decls {
		group, ok := decl.(*ast.GenDecl)
		if !ok || group.Tok != token.TYPE {
			continue
		}
		for _, spec := range group.Specs {
			if t, ok := spec.(*ast.TypeSpec); ok && t.Name.IsExported() {
				name := file.Name.Name + "." + t.Name.Name
				specs[name] = t
				comments[name] = strings.Join(strings.Fields(group.Doc.Text()), " ")
			}
		}
	}
}

func (s *source) add(name string, spec *ast.TypeSpec, specs map[string]*ast.TypeSpec, comment string) {
	switch t := spec.Type.(type) {
	case *ast.StructType:
		pkg, _, _ := strings.Cut(name, ".")
		s.structs[name] = &structType{comment, fieldsOf(pkg, t, specs)}
	case *ast.Ident:
		if t.Name == "float64" || t.Name == "int64" {
			s.quantities[name] = comment
		}
	case *ast.SelectorExpr:
		s.quantities[name] = comment
	}
}

// overrides has swag take quantities for numbers: by their Go types it would take them
// for whole numbers.
func (s *source) overrides() []byte {
	var text bytes.Buffer
	for kind := range s.quantities {
		pkg, name, _ := strings.Cut(kind, ".")
		fmt.Fprintf(&text, "replace resawd/%s.%s number\n", s.folders[pkg], name)
	}
	return text.Bytes()
}

// fieldsOf lists the fields of a struct, with those of embedded structs at their
// places.
func fieldsOf(pkg string, t *ast.StructType, specs map[string]*ast.TypeSpec) []wireField {
	var fields []wireField
	for _, f := range t.Fields.List {
		kind := kindOf(pkg, f.Type)
		if len(f.Names) == 0 && specs[kind] != nil {
			if inner, ok := specs[kind].Type.(*ast.StructType); ok {
				home, _, _ := strings.Cut(kind, ".")
				fields = append(fields, fieldsOf(home, inner, specs)...)
			}
			continue
		}
		if f.Tag == nil {
			continue
		}
		text, _ := strconv.Unquote(f.Tag.Value) // the parser has checked it
		tag := reflect.StructTag(text)
		name, _, _ := strings.Cut(tag.Get("json"), ",")
		if name != "" && name != "-" {
			fields = append(fields, wireField{name, kind, tag})
		}
	}
	return fields
}

// kindOf names a type as another package would.
func kindOf(pkg string, t ast.Expr) string {
	switch t := t.(type) {
	case *ast.StarExpr:
		return kindOf(pkg, t.X)
	case *ast.ArrayType:
		return "[]" + kindOf(pkg, t.Elt)
	case *ast.SelectorExpr:
		return kindOf("", t.X) + "." + t.Sel.Name
	case *ast.Ident:
		if t.IsExported() {
			return pkg + "." + t.Name
		}
		return t.Name
	}
	return ""
}
