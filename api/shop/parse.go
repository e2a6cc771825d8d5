package shop

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"

	"github.com/go-playground/validator/v10"
	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

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
	s := &Shop{digest: sha256.Sum256(file)}
	var bad *badLength
	switch err := decode(file, s); {
	case errors.Is(err, io.EOF):
		return nil, configfile.ErrEmpty
	case errors.As(err, &bad):
		return nil, fmt.Errorf("%s%w", placeOf(file, bad.text), bad)
	case err != nil:
		return nil, configfile.Fault(err)
	}
	faults := s.faults()
	if len(faults) == 0 {
		return s, nil
	}
	var lines []error
	for i, f := range faults {
		if i == maxFaults {
			lines = append(lines, fmt.Errorf("and %d more", len(faults)-i))
			break
		}
		lines = append(lines, fmt.Errorf("line %d: %s %s", line(tree, f.field), f.field, f.detail))
	}
	return nil, errors.Join(lines...)
}

// decode reads the file's fields into s. A length without a unit is in the file's
// units.
func decode(file []byte, s *Shop) error {
	bare := length.Inch
	var head struct {
		Units string `yaml:"units"`
	}
	if err := yaml.Unmarshal(file, &head); err != nil {
		return err
	}
	if head.Units == "mm" {
		bare = length.Millimetre
	}
	readLength := func(l *length.Length, text []byte) error {
		var word string
		if err := yaml.Unmarshal(text, &word); err != nil {
			return &badLength{string(text), fmt.Errorf("%q is not a length", text)}
		}
		var err error
		if *l, err = length.Parse(word, bare); err != nil {
			return &badLength{word, err}
		}
		return nil
	}
	return yaml.NewDecoder(bytes.NewReader(file), yaml.Strict(), yaml.CustomUnmarshaler(readLength)).Decode(s)
}

// fault is something wrong with a field of the file.
type fault struct {
	field  string // such as saws[0].lead
	detail string
}

var validate = rule.Validator("yaml")

// faults lists what the validator finds, and then names that belong to nothing.
func (s *Shop) faults() []fault {
	var found []fault
	var invalid validator.ValidationErrors
	if errors.As(validate.Struct(s), &invalid) {
		for _, f := range invalid {
			_, field, _ := strings.Cut(f.Namespace(), ".")
			found = append(found, fault{field, rule.Words(f, s.Unit())})
		}
	}
	if _, ok := s.Saw(s.DefaultSaw); !ok && s.DefaultSaw != "" {
		found = append(found, fault{"default_saw", fmt.Sprintf("is %q, which is none of the saws", s.DefaultSaw)})
	}
	if _, ok := s.Fixing(s.DefaultFixing); !ok && s.DefaultFixing != "" {
		found = append(found, fault{"default_fixing", fmt.Sprintf("is %q, which is none of the fixings", s.DefaultFixing)})
	}
	for i, saw := range s.Saws {
		if _, ok := s.Blade(saw.DefaultBlade); !ok && saw.DefaultBlade != "" {
			found = append(found, fault{fmt.Sprintf("saws[%d].default_blade", i), fmt.Sprintf("is %q, which is none of the blades", saw.DefaultBlade)})
		}
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

// badLength is a text of the file that should be a length and is not.
type badLength struct {
	text  string
	cause error
}

func (e *badLength) Error() string { return e.cause.Error() }

// placeOf is the first line that holds a value, and the field before it.
func placeOf(file []byte, value string) string {
	for _, t := range lexer.Tokenize(string(file)) {
		if t.Value == value && t.Next != nil && t.Next.Type == token.MappingValueType {
			continue // the name of a field
		}
		if t.Value == value {
			return fmt.Sprintf("line %d: %s", t.Position.Line, configfile.Field(t))
		}
	}
	return ""
}

// line is where a field stands; if it is missing, where the nearest thing around it
// stands.
func line(tree *ast.File, field string) int {
	for field != "" {
		path, err := yaml.PathString("$." + field)
		if err != nil {
			break
		}
		if node, err := path.FilterFile(tree); err == nil && node != nil && !reflect.ValueOf(node).IsNil() {
			return node.GetToken().Position.Line
		}
		field = field[:max(strings.LastIndexAny(field, ".["), 0)]
	}
	return 1
}
