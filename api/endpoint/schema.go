package endpoint

import (
	"net/url"
	"reflect"
	"slices"
	"strings"
	"sync"

	"resawd/calc/length"
)

// schema is how a request type is read: its fields, found by the names they
// have in JSON and in a query.
type schema struct {
	fields []field
	byName map[string]int // by member name
	query  []queryField   // the scalars, nested ones dotted
	byKey  map[string]int // into query, by name
}

// field is one member of an object.
type field struct {
	name   string
	index  []int
	object *schema // of a nested object, or of each entry of a list
	list   bool
}

// queryField is a scalar as a query names it, with the way to it.
type queryField struct {
	name  string // as in the query
	path  string // as in errors and JSON, dotted
	way   []int
	named bool // by a tag, not by its path
}

// schemas holds the schema of each request type that was met.
var schemas sync.Map

func schemaFor(t reflect.Type) *schema {
	if s, ok := schemas.Load(t); ok {
		return s.(*schema) //nolint:forcetypeassert // nothing else is kept
	}
	s := schemaOf(t)
	schemas.Store(t, s)
	return s
}

// schemaOf compiles a request type. A field is a pointer to a scalar, an object
// by value, or a slice of objects; an embedded struct lends its fields to its
// parent. The tag query names a nested field in a query where the dotted name
// would be clumsy.
func schemaOf(t reflect.Type) *schema {
	s := &schema{byName: map[string]int{}, byKey: map[string]int{}}
	for _, sf := range wireFields(t) {
		f := field{name: nameOf(sf), index: sf.Index}
		switch sf.Type.Kind() {
		case reflect.Struct:
			f.object = schemaOf(sf.Type)
		case reflect.Slice:
			f.object, f.list = schemaOf(sf.Type.Elem()), true
		}
		s.byName[f.name] = len(s.fields)
		s.fields = append(s.fields, f)
		s.addQuery(f, sf.Tag.Get("query"))
	}
	return s
}

// addQuery makes a field reachable from a query: a scalar by its name, an
// object's scalars dotted or by their own query names, a list not at all.
func (s *schema) addQuery(f field, name string) {
	if f.list {
		return
	}
	inner := []queryField{{name: name, named: name != ""}}
	if f.object != nil {
		inner = f.object.query
	}
	for _, q := range inner {
		path := strings.TrimSuffix(f.name+"."+q.path, ".")
		if !q.named {
			q.name = path
		}
		s.byKey[q.name] = len(s.query)
		s.query = append(s.query, queryField{q.name, path, slices.Concat(f.index, q.way), q.named})
	}
}

// key is the name that a query has for a field's path.
func (s *schema) key(path string) string {
	for _, q := range s.query {
		if q.path == path {
			return q.name
		}
	}
	return path
}

// field is the path of a quantity that a calculation names in words: the board
// thickness is board_thickness, or the field that has this name in a query.
func (s *schema) field(quantity string) string {
	name := strings.ReplaceAll(quantity, " ", "_")
	if i, ok := s.byKey[name]; ok {
		return s.query[i].path
	}
	return name
}

// nameOf is a field's name on the wire.
func nameOf(f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	return name
}

// unitOf gives the unit of length that a name stands for.
func unitOf(units string) length.Length {
	if units == "mm" {
		return length.Millimetre
	}
	return length.Inch
}

// QueryOf tells a request, a pointer to its struct, as the query that asks the
// same; lists are left out.
func QueryOf(request any, unit length.Length) url.Values {
	values := url.Values{}
	whole := reflect.ValueOf(request).Elem()
	for _, q := range schemaFor(whole.Type()).query {
		if field := whole.FieldByIndex(q.way); !field.IsNil() {
			values.Set(q.name, View{Unit: unit}.text(field.Elem()))
		}
	}
	return values
}
