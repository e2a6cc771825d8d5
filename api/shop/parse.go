package shop

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/go-playground/validator/v10"
	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"

	"resawd/api/configfile"
	"resawd/api/rule"
	"resawd/calc/length"
)

// Read reads the shop file at a path.
func Read(path string) (read *Shop, err error) {
	text, err := configfile.Read(path)
	if err == nil {
		read, err = Parse(text)
	}
	if err != nil {
		return nil, fmt.Errorf("shop file %s:\n%w", path, err)
	}
	return read, nil
}

// maxFaults is how many faults of a file are listed.
const maxFaults = 100

// Parse reads the text of a shop file. The error lists every fault with its line and
// field; what cannot be read, or is no field, comes alone and first.
func Parse(file []byte) (*Shop, error) { return configfile.Parse(file, parse) }

func parse(file []byte) (*Shop, error) {
	tree, err := parser.ParseBytes(file, 0)
	if err != nil {
		return nil, configfile.Fault(err)
	}
	at := slices.IndexFunc(tree.Docs, func(d *ast.DocumentNode) bool { return d.Body != nil })
	if at < 0 {
		return nil, configfile.ErrEmpty
	}
	body := tree.Docs[at].Body
	n := numbers{unit: unitOf(body)}
	ast.Walk(&n, body)
	if len(n.faults) > 0 {
		return nil, joined(tree, n.faults)
	}
	s := &Shop{digest: sha256.Sum256(file), Demo: bytes.Equal(file, demo)}
	if err := yaml.NodeToValue(body, s, yaml.Strict()); err != nil {
		return nil, configfile.Fault(err)
	}
	if faults := s.faults(); len(faults) > 0 {
		return nil, joined(tree, faults)
	}
	s.Warnings = listed(tree, s.doubts())
	return s, nil
}

// joined makes one error of faults.
func joined(tree *ast.File, faults []fault) error {
	return errors.New(strings.Join(listed(tree, faults), "\n"))
}

// listed words faults with their lines, and counts those beyond the most that are listed.
func listed(tree *ast.File, faults []fault) []string {
	lines := make([]string, 0, len(faults))
	for i, f := range faults {
		if i == maxFaults {
			return append(lines, fmt.Sprintf("and %d more", len(faults)-i))
		}
		if f.line == 0 {
			f.line = configfile.Line(tree, f.field)
		}
		lines = append(lines, fmt.Sprintf("line %d: %s %s", f.line, f.field, f.detail))
	}
	return lines
}

// unitOf is the unit of a file's lengths; inches until it names another.
func unitOf(body ast.Node) length.Length {
	var head struct {
		Units string `yaml:"units"`
	}
	_ = yaml.NodeToValue(body, &head) // what is wrong with the file is told later
	return (&Shop{Units: head.Units}).Unit()
}

// fault is something wrong with a field of the file.
type fault struct {
	field  string // such as saws[0].lead
	detail string
	line   int // where it stands; where the field stands if 0
}

var validate = rule.Validator("yaml")

// faults lists what the validator finds, and then names that two have or nothing has.
func (s *Shop) faults() []fault {
	var found []fault
	var invalid validator.ValidationErrors
	if errors.As(validate.Struct(s), &invalid) {
		for _, f := range invalid {
			if f.Tag() == "unique" {
				continue // sameNames tells which name
			}
			_, field, _ := strings.Cut(f.Namespace(), ".")
			found = append(found, fault{field: field, detail: rule.Words(f, s.Unit())})
		}
	}
	found = append(found, s.sameNames()...)
	if _, ok := s.Saw(s.DefaultSaw); !ok && s.DefaultSaw != "" {
		found = append(found, fault{field: "default_saw", detail: fmt.Sprintf("is %q, which is none of the saws", s.DefaultSaw)})
	}
	if _, ok := s.Fixing(s.DefaultFixing); !ok && s.DefaultFixing != "" {
		found = append(found, fault{field: "default_fixing", detail: fmt.Sprintf("is %q, which is none of the fixings", s.DefaultFixing)})
	}
	for i, saw := range s.Saws {
		if _, ok := s.Blade(saw.DefaultBlade); !ok && saw.DefaultBlade != "" {
			found = append(found, fault{field: fmt.Sprintf("saws[%d].default_blade", i), detail: fmt.Sprintf("is %q, which is none of the blades", saw.DefaultBlade)})
		}
	}
	return found
}

// sameNames lists the entries that have the name of one before them.
func (s *Shop) sameNames() []fault {
	return slices.Concat(
		sameNames("saws", s.Saws, func(w *Saw) string { return w.Name }),
		sameNames("blades", s.Blades, func(b *Blade) string { return b.Name }),
		sameNames("fixings", s.Fixings, func(f *Fixing) string { return f.Name }),
		sameNames("care.intervals", s.Care.Intervals, func(i *Interval) string { return i.Name }),
	)
}

func sameNames[T any](field string, list []T, nameOf func(*T) string) (found []fault) {
	first := map[string]int{}
	for i := range list {
		name := nameOf(&list[i])
		if before, ok := first[name]; ok {
			found = append(found, fault{field: fmt.Sprintf("%s[%d].name", field, i), detail: fmt.Sprintf("is %q, the name of %s[%d] too", name, field, before)})
			continue
		}
		first[name] = i
	}
	return found
}

// Unit is the unit of the file's lengths.
func (s *Shop) Unit() length.Length {
	if s.Units == "mm" {
		return length.Millimetre
	}
	return length.Inch
}
