package endpoint

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/go-playground/validator/v10"

	"resawd/api/rule"
	"resawd/calc/length"
)

// maxFaults is how many faults of a request are listed. A body of a megabyte has room
// for a hundred thousand.
const maxFaults = 100

// faults is what is wrong with a request: the faults found first, and how many more
// there are.
type faults struct {
	list []FieldError
	more int

	query *schema // of a request that came as a query, else nil
	own   owned   // fields that may have a unit of their own
}

// full reports whether further faults are only counted.
func (f *faults) full() bool { return len(f.list) >= maxFaults }

// add notes a fault, or counts it.
func (f *faults) add(fault FieldError) {
	if f.full() {
		f.more++
		return
	}
	f.list = append(f.list, fault)
}

// moreFaults is the code of the entry that counts the faults left out.
const moreFaults = "more"

// failure makes one failure of all faults, in the order of the schema. Its type is the
// gravest of those listed.
func (f *faults) failure(s *schema) *Failure {
	list := slices.Clone(f.list)
	order := func(f FieldError) int {
		name, _, _ := strings.Cut(f.path, ".")
		if i, ok := s.byName[name]; ok {
			return i
		}
		return len(s.fields)
	}
	slices.SortStableFunc(list, func(a, b FieldError) int { return order(a) - order(b) })
	detail := fmt.Sprintf("%d fields need attention", len(list)+f.more)
	kind := InvalidFields
	if slices.ContainsFunc(list, func(f FieldError) bool { return unreadable[f.Code] }) {
		kind = BadRequest
	}
	if f.more > 0 {
		list = append(list, FieldError{Code: moreFaults, Detail: fmt.Sprintf("and %d more", f.more)})
	}
	return &Failure{ProblemType: kind, detail: detail, fields: list}
}

// unreadable are the codes of fields that could not be read.
var unreadable = map[string]bool{"unknown_field": true, "duplicate_field": true, "wrong_type": true, "not_a_length": true}

var validate = rule.Validator("json")

// check runs the validator over a request, a pointer to the struct of a schema, and
// notes what it finds in the fields that could be read. If there are more faults
// already than are listed, it looks for no others.
func (f *faults) check(s *schema, request reflect.Value, unit length.Length) {
	if f.more == 0 {
		unread := slices.DeleteFunc(slices.Clone(f.list), func(u FieldError) bool { return u.Code == "unknown_field" })
		f.object(s, request, "", unit, unread)
	}
}

// object checks an object and the entries of its lists. The validator could check these
// itself, but would keep every fault of every entry.
func (f *faults) object(s *schema, object reflect.Value, path string, unit length.Length, unread []FieldError) {
	var found validator.ValidationErrors
	var err error
	if s.hasLists {
		err = validate.StructFiltered(object.Interface(), inEntry)
	} else {
		err = validate.Struct(object.Interface())
	}
	if errors.As(err, &found) {
		for _, e := range found {
			f.invalid(e, path, unit, unread)
		}
	}
	if s.hasLists {
		f.lists(s, object.Elem(), path, unit, unread)
	}
}

// inEntry reports whether the name of a field belongs to an entry of a list.
func inEntry(name []byte) bool { return bytes.IndexByte(name, '[') >= 0 }

// lists checks the entries of an object's lists.
func (f *faults) lists(s *schema, object reflect.Value, path string, unit length.Length, unread []FieldError) {
	for _, field := range s.fields {
		value := object.FieldByIndex(field.index)
		switch {
		case field.object == nil:
		case field.depth == 0:
			f.lists(field.object, value, path+field.name+".", unit, unread)
		default:
			f.entries(field.object, value, path+field.name+".", unit, unread)
		}
	}
}

// entries checks the entries of a list. Once the list of faults is full, those of
// further entries are only counted.
func (f *faults) entries(s *schema, list reflect.Value, path string, unit length.Length, unread []FieldError) {
	for i := range list.Len() {
		entry := path + strconv.Itoa(i)
		switch n := s.rules.Count(list.Index(i)); {
		case n == 0:
		case f.full() && s.rules.Known && !isUnread(unread, entry):
			f.more += n
		default:
			f.object(s, list.Index(i).Addr(), entry+".", unit, unread)
		}
	}
}

// isUnread reports whether something at a path could not be read.
func isUnread(unread []FieldError, path string) bool {
	return slices.ContainsFunc(unread, func(u FieldError) bool {
		return strings.HasPrefix(u.path, path) && (len(u.path) == len(path) || u.path[len(path)] == '.')
	})
}

// invalid notes what the validator found, unless the field could not be read.
func (f *faults) invalid(e validator.FieldError, object string, unit length.Length, unread []FieldError) {
	if f.full() && len(unread) == 0 {
		f.more++
		return
	}
	path, words := object+pathOf(e.Namespace()), ""
	if e.Tag() == "required_without" && f.query != nil && !f.query.inQuery(path) {
		path, words = rule.WireName(e.Param()), "is missing" // no query can hold the other field: this is the one to give
	}
	within := func(u FieldError) bool {
		return u.path == path || strings.HasPrefix(path, u.path+".")
	}
	switch {
	case slices.ContainsFunc(unread, within):
	case f.full():
		f.more++
	default:
		f.add(FieldError{path: path, Code: codeOf(e.Tag()), Detail: cmp.Or(words, rule.Words(e, f.own.unit(path, unit)))})
	}
}

// pathOf turns a namespace of the validator, such as DialRequest.leaves[0].count, into
// a dotted path.
func pathOf(namespace string) string {
	_, path, _ := strings.Cut(namespace, ".")
	steps := strings.Split(dotted.Replace(path), ".")
	steps = slices.DeleteFunc(steps, func(s string) bool { return 'A' <= s[0] && s[0] <= 'Z' }) // an embedded struct has no name on the wire
	return strings.Join(steps, ".")
}

var dotted = strings.NewReplacer("[", ".", "]", "")

func codeOf(tag string) string {
	switch {
	case strings.HasPrefix(tag, "required"):
		return "required"
	case tag == "oneof":
		return "unknown_name"
	case strings.HasPrefix(tag, "excluded"):
		return "conflict"
	}
	return "out_of_range"
}
