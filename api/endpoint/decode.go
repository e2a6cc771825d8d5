package endpoint

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"net/url"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"resawd/calc/length"
)

// reader sets the fields of one request and notes what is wrong with them. It serves
// JSON and queries alike: both are split into raw values first, so that units is known
// before any length is read.
type reader struct {
	unit     length.Length
	comma    bool // whether the decimal sign of texts is a comma
	faults   faults
	warnings []string
	inner    *jsontext.Decoder // of nested objects, which are read one after the other
}

// raw is a value whose type is not known yet.
type raw struct {
	kind jsontext.Kind // of a JSON value; 0 for a text from a query
	text []byte        // a JSON literal, or the text itself
}

// fail notes a fault in a field.
func (r *reader) fail(path, code, format string, args ...any) {
	if r.faults.full() {
		r.faults.more++
		return
	}
	r.faults.add(FieldError{path: path, Code: code, Detail: fmt.Sprintf(format, args...)})
}

// unknown notes a field that an object of the request does not have. No schema knows
// where it stands, so the fault says that itself.
func (r *reader) unknown(object, name, pointer, parameter string, known func() string) {
	if r.faults.full() {
		r.faults.more++
		return
	}
	r.faults.add(FieldError{
		path: Clip([]byte(object + name)), called: Clip([]byte(counted(object) + name)),
		Pointer: Clip([]byte(pointer)), Parameter: Clip([]byte(parameter)), Code: "unknown_field",
		Detail: "is not a field of this request; its fields are " + known(),
	})
}

// member is a name and its value in a JSON object.
type member struct {
	name  []byte
	value raw
}

// readJSON reads a JSON body into dst, a struct of the schema's type. It returns an
// error if the body is not a JSON object; faults in fields are noted.
func (r *reader) readJSON(s *schema, dst reflect.Value, body []byte) error {
	members, dropped, err := split(s, body)
	if err != nil {
		return err
	}
	r.faults.more += dropped
	for _, m := range members {
		if string(m.name) == "units" {
			r.unit = unitOf(strings.Trim(string(m.value.text), `"`))
		}
	}
	r.object(s, dst, "", members)
	return nil
}

// split splits a JSON object into its members, and refuses anything else.
func split(s *schema, body []byte) (members []member, dropped int, err error) {
	if len(bytes.TrimSpace(body)) == 0 {
		return nil, 0, errors.New("the body is empty: send a JSON object")
	}
	dec := jsontext.NewDecoder(bytes.NewBuffer(body), jsontext.AllowDuplicateNames(true))
	if kind := dec.PeekKind(); kind != '{' && kind != 0 {
		return nil, 0, fmt.Errorf("the body is %s: send a JSON object", kindName(kind))
	}
	if members, dropped, err = membersOf(dec, s, body); err != nil {
		return nil, 0, syntaxError(err)
	}
	if _, err := dec.ReadToken(); !errors.Is(err, io.EOF) {
		return nil, 0, fmt.Errorf("the body goes on after the JSON object, at byte %d", dec.InputOffset())
	}
	return members, dropped, nil
}

func syntaxError(err error) error {
	var syntax *jsontext.SyntacticError
	if errors.As(err, &syntax) && !errors.Is(err, io.ErrUnexpectedEOF) {
		return fmt.Errorf("the body is not valid JSON: %w at byte %d", syntax.Err, syntax.ByteOffset)
	}
	return errors.New("the body is not valid JSON: it ends too soon")
}

// maxMembers is how many members of an object are kept. No object has so many fields,
// so one with more is refused in any case.
const maxMembers = 1000

// membersOf reads an object's members. Beyond maxMembers it keeps only those with a
// field's name that it has not met, and counts the others, each of which is a fault.
// Their values are parts of body.
func membersOf(dec *jsontext.Decoder, s *schema, body []byte) (members []member, dropped int, err error) {
	if _, err := dec.ReadToken(); err != nil {
		return nil, 0, err
	}
	for dec.PeekKind() != '}' {
		name, err := valueOf(dec, body)
		if err != nil {
			return nil, 0, err
		}
		m := member{name: unquoted(name.text)}
		if m.value, err = valueOf(dec, body); err != nil {
			return nil, 0, err
		}
		if members == nil {
			members = make([]member, 0, 16)
		}
		if len(members) < maxMembers || s.lacks(members, m.name) {
			members = append(members, m)
		} else {
			dropped++
		}
	}
	_, err = dec.ReadToken()
	return members, dropped, err
}

// unquoted is the text of a JSON string. Mostly that is a part of the string.
func unquoted(quoted []byte) []byte {
	if bytes.IndexByte(quoted, '\\') < 0 {
		return quoted[1 : len(quoted)-1]
	}
	text, _ := jsontext.AppendUnquote(nil, quoted) // the decoder has accepted it
	return text
}

// lacks reports whether a name is a field's and none of the members has it.
func (s *schema) lacks(members []member, name []byte) bool {
	_, known := s.byName[string(name)]
	return known && !slices.ContainsFunc(members, func(m member) bool { return bytes.Equal(m.name, name) })
}

func valueOf(dec *jsontext.Decoder, body []byte) (raw, error) {
	value, err := dec.ReadValue()
	if err != nil {
		return raw{}, err
	}
	end := dec.InputOffset()
	return raw{value.Kind(), body[end-int64(len(value)) : end]}, nil
}

// object sets the fields of one object from its members.
func (r *reader) object(s *schema, dst reflect.Value, path string, members []member) {
	seen := make([]bool, len(s.fields))
	for _, m := range members {
		i, ok := s.byName[string(m.name)]
		switch {
		case !ok:
			r.unknown(path, string(m.name), pointerOf(path)+escapePointer(string(m.name)), "", s.names)
		case seen[i]:
			r.fail(path+s.fields[i].name, "duplicate_field", "is given more than once")
		default:
			seen[i] = true
			r.set(&s.fields[i], 0, dst.FieldByIndex(s.fields[i].index), path+s.fields[i].name, m.value)
		}
	}
}

func (s *schema) names() string {
	names := make([]string, len(s.fields))
	for i, f := range s.fields {
		names[i] = f.name
	}
	return strings.Join(names, ", ")
}

// set sets a field, or at a level above 0 an entry of its list, from a JSON value.
func (r *reader) set(f *field, level int, dst reflect.Value, path string, value raw) {
	switch {
	case level < f.depth && value.kind == '[':
		r.list(f, level, dst, path, value.text)
	case level < f.depth:
		r.fail(path, "wrong_type", "must be a list%s; it is %s", f.entries(level), kindName(value.kind))
	case f.object == nil:
		f.scalar(r, dst.Addr().Interface(), path, value)
	case value.kind == '{':
		r.nested(f.object, dst, path, value.text)
	default:
		r.fail(path, "wrong_type", "must be an object; it is %s", kindName(value.kind))
	}
}

// entries says what a list at a level consists of.
func (f *field) entries(level int) string {
	switch {
	case f.object != nil:
		return " of objects"
	case level+1 < f.depth:
		return " of lists"
	}
	return ""
}

// nested sets an object from JSON that is known to be an object.
func (r *reader) nested(s *schema, dst reflect.Value, path string, text []byte) {
	if r.inner == nil {
		r.inner = new(jsontext.Decoder)
	}
	r.inner.Reset(bytes.NewBuffer(text), jsontext.AllowDuplicateNames(true))
	if members, dropped, err := membersOf(r.inner, s, text); err == nil {
		r.faults.more += dropped
		r.object(s, dst, path+".", members)
	}
}

// list sets a list at a level of lists from JSON that is known to be a list. It stops
// one entry past the limit, which is enough to refuse the list.
func (r *reader) list(f *field, level int, dst reflect.Value, path string, text []byte) {
	dec := jsontext.NewDecoder(bytes.NewBuffer(text), jsontext.AllowDuplicateNames(true))
	_, err := dec.ReadToken()
	dst.Set(reflect.MakeSlice(dst.Type(), 0, 4))
	for i := 0; err == nil && i <= f.maxLen[level] && dec.PeekKind() != ']'; i++ {
		var value raw
		if value, err = valueOf(dec, text); err == nil {
			r.set(f, level+1, grown(dst), path+"."+strconv.Itoa(i), value)
		}
	}
}

// grown adds an entry to a list and returns it.
func grown(list reflect.Value) reflect.Value {
	n := list.Len()
	list.Grow(1)
	list.SetLen(n + 1)
	return list.Index(n)
}

// text sets a field from a text of a query: a scalar, a list with its values separated
// by spaces, or a list of lists with these separated by semicolons or, as in a column of
// cells, by the ends of lines.
func (r *reader) text(f *field, dst reflect.Value, path, text string) {
	if f.depth == 0 {
		f.scalar(r, dst.Addr().Interface(), path, raw{text: []byte(text)})
		return
	}
	dst.Set(reflect.MakeSlice(dst.Type(), 0, 4))
	if f.depth == 1 {
		r.textList(f, 0, dst, path, text)
		return
	}
	i := 0
	text = lineEnds.Replace(strings.TrimSpace(text))
	for list := range strings.SplitSeq(strings.TrimSuffix(text, ";"), ";") {
		if i > f.maxLen[0] {
			break
		}
		r.textList(f, 1, grown(dst), path+"."+strconv.Itoa(i), list)
		i++
	}
}

var lineEnds = strings.NewReplacer(";\r\n", ";", ";\n", ";", "\r\n", ";", "\n", ";")

func (r *reader) textList(f *field, level int, dst reflect.Value, path, text string) {
	i := 0
	for word := range strings.FieldsSeq(text) {
		if i > f.maxLen[level] {
			break
		}
		f.scalar(r, grown(dst).Addr().Interface(), path+"."+strconv.Itoa(i), raw{text: []byte(word)})
		i++
	}
}

// readQuery reads a query into dst. Control fields have been taken out of it.
func (r *reader) readQuery(s *schema, dst reflect.Value, query []Pair) {
	for _, p := range query {
		if p.Name == "units" {
			r.unit = unitOf(p.Value)
		}
	}
	seen := make([]bool, len(s.query))
	for _, p := range query {
		i, ok := s.byKey[p.Name]
		switch {
		case !ok:
			r.unknown("", p.Name, "", p.Name, s.keys)
		case seen[i]:
			r.fail(s.query[i].path, "duplicate_field", "is given more than once")
		default:
			seen[i] = true
			r.text(&s.query[i].field, dst.FieldByIndex(s.query[i].way), s.query[i].path, p.Value)
		}
	}
}

func (s *schema) keys() string {
	names := make([]string, len(s.query))
	for i, q := range s.query {
		names[i] = q.name
	}
	return strings.Join(names, ", ")
}

// Pair is a field of a query and its value.
type Pair struct{ Name, Value string }

// Pairs splits a raw query into its fields, in order.
func Pairs(query string) ([]Pair, error) {
	if query == "" {
		return nil, nil
	}
	list := make([]Pair, 0, 8)
	for query != "" {
		var part string
		part, query, _ = strings.Cut(query, "&")
		if part == "" {
			continue
		}
		name, value, _ := strings.Cut(part, "=")
		name, err := url.QueryUnescape(name)
		if err != nil {
			return nil, fmt.Errorf("the query cannot be read: %w", err)
		}
		if value, err = url.QueryUnescape(value); err != nil {
			return nil, fmt.Errorf("the query field %s cannot be read: %w", name, err)
		}
		list = append(list, Pair{name, value})
	}
	return list, nil
}
