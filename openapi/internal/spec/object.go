package spec

import (
	"bytes"
	"os"
	"slices"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// Object is a JSON object that keeps the order of its members, so that readers of the
// document meet fields in the order of the request.
type Object[T any] []Member[T]

// Member is a name and its value.
type Member[T any] struct {
	Name  string
	Value T
}

// At returns a pointer to a member's value, nil if there is no such member.
func (o Object[T]) At(name string) *T {
	i := slices.IndexFunc(o, func(m Member[T]) bool { return m.Name == name })
	if i < 0 {
		return nil
	}
	return &o[i].Value
}

// Set sets the value of a member, and adds the member if there is none of that name.
func (o *Object[T]) Set(name string, value T) {
	if at := o.At(name); at != nil {
		*at = value
		return
	}
	*o = append(*o, Member[T]{name, value})
}

// MarshalJSONTo writes the members in their order.
func (o Object[T]) MarshalJSONTo(enc *jsontext.Encoder) error {
	if err := enc.WriteToken(jsontext.BeginObject); err != nil {
		return err
	}
	for _, m := range o {
		if err := enc.WriteToken(jsontext.String(m.Name)); err != nil {
			return err
		}
		if err := json.MarshalEncode(enc, m.Value); err != nil {
			return err
		}
	}
	return enc.WriteToken(jsontext.EndObject)
}

// UnmarshalJSONFrom reads the members in the order they come.
func (o *Object[T]) UnmarshalJSONFrom(dec *jsontext.Decoder) error {
	if _, err := dec.ReadToken(); err != nil {
		return err
	}
	for dec.PeekKind() == '"' {
		name, err := dec.ReadToken()
		if err != nil {
			return err
		}
		m := Member[T]{Name: name.String()}
		if err := json.UnmarshalDecode(dec, &m.Value); err != nil {
			return err
		}
		*o = append(*o, m)
	}
	_, err := dec.ReadToken()
	return err
}

// Parse reads a document. A member that this package does not know is an error.
func Parse(text []byte) (*Document, error) {
	var d Document
	if err := json.Unmarshal(text, &d, json.RejectUnknownMembers(true)); err != nil {
		return nil, err
	}
	return &d, nil
}

// Read reads the document of a file.
func Read(path string) (*Document, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	return Parse(text)
}

// Write writes the document as JSON, the same bytes every time.
func (d *Document) Write() ([]byte, error) {
	var out bytes.Buffer
	err := json.MarshalWrite(&out, d, jsontext.WithIndent("  "), json.Deterministic(true))
	out.WriteByte('\n')
	return out.Bytes(), err
}
