package shop

import (
	"errors"
	"fmt"
	"maps"
	"reflect"
	"regexp"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"resawd/calc/length"
)

// kinds are the types of the fields that hold numbers or lengths. A name means the same
// wherever it stands in the file.
var kinds = kindsOf(reflect.TypeFor[Shop]())

// kindsOf lists the fields of a struct, and of those within it.
func kindsOf(t reflect.Type) map[string]reflect.Type {
	found := map[string]reflect.Type{}
	for f := range t.Fields() {
		name, _, _ := strings.Cut(f.Tag.Get("yaml"), ",")
		switch of := bare(f.Type); of.Kind() {
		case reflect.Struct:
			maps.Copy(found, kindsOf(of))
		case reflect.Int, reflect.Int64, reflect.Float64:
			found[name] = of
		default: // texts, and what is true or false
		}
	}
	return found
}

// bare is a type without its pointers and lists.
func bare(t reflect.Type) reflect.Type {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	return t
}

// numbers looks at every number and length of a file before it is decoded, and puts the
// lengths there in nanometres. The decoder would cut 12.5 down to the whole number 12,
// read 0100 as 64, and take seconds for the lengths of a long file.
type numbers struct {
	unit   length.Length
	faults []fault
}

// Visit looks at a field, if the node is one.
func (n *numbers) Visit(node ast.Node) ast.Visitor {
	entry, ok := node.(*ast.MappingValueNode)
	if !ok {
		return n
	}
	name := entry.Key.GetToken().Value
	t, ok := kinds[name]
	if !ok || entry.Value.Type() == ast.NullType {
		return n
	}
	at, look := entry.Value.GetToken(), number
	if t == reflect.TypeFor[length.Length]() {
		look = n.length
	}
	if err := look(t, entry); err != nil {
		n.faults = append(n.faults, fault{name, err.Error(), at.Position.Line})
	}
	return n
}

// length reads a length.
func (n *numbers) length(_ reflect.Type, entry *ast.MappingValueNode) error {
	if _, scalar := entry.Value.(ast.ScalarNode); !scalar {
		return errors.New("must be a length")
	}
	at := entry.Value.GetToken()
	l, err := length.Parse(at.Value, n.unit)
	if err == nil {
		entry.Value = &ast.IntegerNode{BaseNode: &ast.BaseNode{}, Token: at, Value: int64(l)}
	}
	return err
}

// plainDigits are how a number is written: in decimal digits, without zeros before them.
var plainDigits = regexp.MustCompile(`^[-+]?(0|[1-9][0-9]*)?(\.[0-9]*)?([eE][-+]?[0-9]+)?$`)

// number says what is wrong with a value that should be a number.
func number(t reflect.Type, entry *ast.MappingValueNode) (err error) {
	what, text := "a number", entry.Value.GetToken().Value
	if t.Kind() == reflect.Int {
		what = "a whole number"
		_, err = strconv.Atoi(text)
	} else {
		_, err = strconv.ParseFloat(text, 64)
	}
	switch {
	case errors.Is(err, strconv.ErrRange):
		return fmt.Errorf("is far too large; %s was given", text)
	case err != nil:
		return fmt.Errorf("must be %s; %q was given", what, text)
	case !plainDigits.MatchString(text):
		return fmt.Errorf("must be written in decimal digits, without zeros before them; %q was given", text)
	}
	return nil
}
