package endpoint

import (
	"math"
	"net/url"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"resawd/api/rule"
	"resawd/calc/length"
)

// schema is how a request type is read: its fields, found by the names they
// have in JSON and in a query.
type schema struct {
	fields []field
	absent []absent
	byName map[string]int // by member name
	query  []queryField   // the scalars, nested ones dotted
	byKey  map[string]int // into query, by name

	rules rule.Rules

	hasLists bool // of objects, itself or an object in it
}

// field is one member of an object: a scalar, an object, or a list of either, or
// of lists of scalars.
type field struct {
	name   string
	index  []int
	object *schema // of a nested object, or of each entry of a list
	scalar scalar  // reads a scalar, or each one in a list
	depth  int     // 0: no list, 1: a list, 2: a list of lists
	most   [2]int  // entries of a list and of each list in it; reading stops one past it
}

// queryField is a field as a query names it, with the way to it.
type queryField struct {
	field
	path  string // as in errors and JSON, dotted; its name is that in the query
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
// by value, or a slice of objects, of scalars or of slices of scalars; an
// embedded struct lends its fields to its parent. The tag query names a nested
// field in a query where the dotted name would be clumsy.
func schemaOf(t reflect.Type) *schema {
	s := &schema{byName: map[string]int{}, byKey: map[string]int{}, rules: rule.RulesOf(t)}
	for _, sf := range wireFields(t) {
		f := field{name: nameOf(sf), index: sf.Index, most: mostOf(sf.Tag.Get("validate"))}
		inner := sf.Type
		for inner.Kind() == reflect.Slice {
			inner, f.depth = inner.Elem(), f.depth+1
		}
		switch {
		case inner.Kind() == reflect.Struct && f.depth < 2:
			f.object = schemaOf(inner)
		case inner.Kind() == reflect.Pointer && f.depth == 0:
			f.scalar = scalars[inner.Elem()]
		default:
			f.scalar = scalars[inner]
		}
		if f.object == nil && (f.scalar == nil || f.depth > 2) {
			panic("endpoint: a request cannot have a field of type " + sf.Type.String())
		}
		s.hasLists = s.hasLists || f.object != nil && (f.depth > 0 || f.object.hasLists)
		s.addAbsent(&f, sf.Tag, sf.Type)
		s.byName[f.name] = len(s.fields)
		s.fields = append(s.fields, f)
		s.addQuery(f, sf.Tag.Get("query"))
	}
	return s
}

// mostOf reads the limits of a list, and of each list in it, from its rules.
func mostOf(rules string) (most [2]int) {
	most = [2]int{math.MaxInt - 1, math.MaxInt - 1}
	for i, level := range strings.Split(rules, "dive") {
		if i == len(most) {
			break
		}
		for rule := range strings.SplitSeq(level, ",") {
			if limit, ok := strings.CutPrefix(rule, "max="); ok {
				most[i] = must(strconv.Atoi(limit))
			}
		}
	}
	return most
}

// addQuery makes a field reachable from a query: a scalar and a list of scalars
// by its name, an object's fields dotted or by their own query names, a list of
// objects not at all.
func (s *schema) addQuery(f field, name string) {
	inner := []queryField{{field: f, named: name != ""}}
	inner[0].name = name
	switch {
	case f.object != nil && f.depth > 0:
		return
	case f.object != nil:
		inner = f.object.query
	}
	for _, q := range inner {
		path := strings.TrimSuffix(f.name+"."+q.path, ".")
		if !q.named {
			q.name = path
		}
		q.path, q.way = path, slices.Concat(f.index, q.way)
		s.byKey[q.name] = len(s.query)
		s.query = append(s.query, q)
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

// asks tells whether a query can hold a path.
func (s *schema) asks(path string) bool {
	return slices.ContainsFunc(s.query, func(q queryField) bool { return q.path == path })
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
