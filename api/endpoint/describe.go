package endpoint

import (
	"iter"
	"strings"
)

// Formats lists the names of the forms that a calculator answers in, the default first.
func (k *Calculator) Formats() []string {
	names := make([]string, len(k.forms))
	for i, f := range k.forms {
		names[i] = f.Name
	}
	return names
}

// MediaTypes lists the media types of the forms, without their parameters.
func (k *Calculator) MediaTypes() []string { return strings.Split(mediaTypes(k.forms), ", ") }

// QueryFields lists the fields that a query can hold: the name in the query, and the
// dotted path in the request.
func (k *Calculator) QueryFields() iter.Seq2[string, string] {
	return func(yield func(string, string) bool) {
		for _, q := range k.schema.query {
			if !yield(q.name, q.path) {
				return
			}
		}
	}
}
