package endpoint

import (
	"math"
	"net/url"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"resawd/api/rule"
	"resawd/calc/length"
)

// schema is how a type of request is read: its fields, by their names in JSON and in a
// query.
type schema struct {
	fields []field
	absent []absent
	byName map[string]int // index into fields, by the name in JSON
	query  []queryField   // what a query can hold, the fields of objects among it
	byKey  map[string]int // index into query, by the name there

	rules rule.Rules

	hasLists bool // whether it, or an object in it, has a list of objects
}

// field is a member of an object: a scalar, an object, a list of either, or a list of
// lists of scalars.
type field struct {
	name   string
	index  []int
	object *schema // of an object, or of each in a list
	scalar scalar  // reads a scalar, or each in a list
	depth  int     // 0 for no list, 1 for a list, 2 for a list of lists
	maxLen [2]int  // entries of the list, and of each list in it; reading stops one past it
}

// queryField is a field as a query has it, and the way to it.
type queryField struct {
	field
	path  string // dotted, as in JSON and in faults; name is that in the query
	way   []int
	named bool // whether a tag, not the path, names it
}

// schemas caches the schema of each type of request.
var schemas cache[*schema]

func schemaFor(t reflect.Type) *schema { return schemas.of(t, schemaOf) }

// schemaOf compiles a type of request. A field is a pointer to a scalar, an object by
// value, or a slice of objects, of scalars or of slices of scalars. The fields of an
// embedded struct count as its parent's. The tag query gives a nested field a name in
// queries where the dotted one would be clumsy.
func schemaOf(t reflect.Type) *schema {
	s := &schema{byName: map[string]int{}, byKey: map[string]int{}, rules: rule.RulesOf(t)}
	for _, sf := range wireFields(t) {
		f := field{name: nameOf(sf), index: sf.Index, maxLen: maxLenOf(sf.Tag.Get("validate"))}
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

// maxLenOf reads from the rules of a list how many entries it may have, and how many
// each list in it.
func maxLenOf(rules string) (most [2]int) {
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

// addQuery adds a field to those of queries: a scalar or a list of scalars under its
// name, the fields of an object dotted or under names of their own, a list of objects
// not at all.
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

// inQuery reports whether a query can hold a path.
func (s *schema) inQuery(path string) bool {
	return slices.ContainsFunc(s.query, func(q queryField) bool { return q.path == path })
}

// field is the path of a quantity that a calculation names in words: "board thickness"
// is board_thickness, or the field with that name in a query.
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

// unitOf is the unit that the field units names.
func unitOf(units string) length.Length {
	if units == "mm" {
		return length.Millimetre
	}
	return length.Inch
}

// QueryOf writes a request, a pointer to its struct, as a query. Lists are left out.
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
