package main

import (
	"bytes"
	"context"
	"iter"
	"maps"
	"net/http"
	"net/http/httptest"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"resawd/api"
)

// census counts, for each type of request that answers repeat as used, the objects that
// were seen and how many of them have each field.
type census map[string]map[string]int

// all is the name under which the objects themselves are counted.
const all = ""

// fewest is how many objects must have been seen before a field counts as always there.
const fewest = 3

// alwaysUsed reports whether every object of a type seen in used has a field: in the
// answers of contract rows, and in those to their requests with one field taken out.
// Tests check what the document requires against every answer.
func (f *finisher) alwaysUsed(kind string, field wireField) bool {
	if f.used == nil {
		f.used, f.usedOfLess = f.count()
	}
	if field.tag.Get("absent") != "" || f.neededInRequest(field) {
		return true
	}
	n, of := f.used[kind], f.usedOfLess[kind]
	return n[all] >= fewest && n[field.name] == n[all] && of[field.name] == of[all]
}

// count takes the census of the rows, and of their requests with one field taken out.
func (f *finisher) count() (rows, less census) {
	kinds, again := map[string]string{}, map[string]bool{}
	for _, k := range api.Calculators() {
		kinds[k.Path], again[k.Path] = k.Request.String(), !k.Long
	}
	rows, less = census{}, census{}
	for _, row := range f.rows {
		path, _, _ := strings.Cut(row.Target, "?")
		if row.Status != http.StatusOK || row.MediaType != "application/json" || row.Method == http.MethodHead || kinds[path] == "" {
			continue
		}
		used := usedOf([]byte(row.WantBody))
		rows.add(f.src, kinds[path], used)
		for request := range without(used) {
			if again[path] {
				less.add(f.src, kinds[path], usedOf(f.post(path, request)))
			}
		}
	}
	return rows, less
}

func usedOf(body []byte) jsontext.Value {
	var answer struct {
		Used jsontext.Value `json:"used"`
	}
	_ = json.Unmarshal(body, &answer) // a problem has none
	return answer.Used
}

// without yields an object again and again, each time without one of its members, or
// one of those of an object in it.
func without(object jsontext.Value) iter.Seq[jsontext.Value] {
	return func(yield func(jsontext.Value) bool) {
		var members map[string]jsontext.Value
		if json.Unmarshal(object, &members) != nil {
			return
		}
		for name, value := range members {
			less := maps.Clone(members)
			delete(less, name)
			if !yield(marshalled(less)) {
				return
			}
			for inner := range without(value) {
				less[name] = inner
				if !yield(marshalled(less)) {
					return
				}
			}
		}
	}
}

func marshalled(members map[string]jsontext.Value) jsontext.Value {
	text, err := json.Marshal(members)
	if err != nil {
		panic(err) // they were just read
	}
	return text
}

// post sends a request to the service.
func (f *finisher) post(path string, body jsontext.Value) []byte {
	request := httptest.NewRequestWithContext(context.Background(), http.MethodPost, path, bytes.NewReader(body))
	request.Header.Set("Content-Type", "application/json")
	answer := httptest.NewRecorder()
	f.service.ServeHTTP(answer, request)
	return answer.Body.Bytes()
}

// add counts an object and those inside it.
func (c census) add(src *source, kind string, object jsontext.Value) {
	var members map[string]jsontext.Value
	if json.Unmarshal(object, &members) != nil {
		return
	}
	if c[kind] == nil {
		c[kind] = map[string]int{}
	}
	c[kind][all]++
	for _, field := range src.structs[kind].fields {
		value, ok := members[field.name]
		if !ok {
			continue
		}
		c[kind][field.name]++
		inner := strings.TrimPrefix(field.kind, "[]")
		if src.structs[inner] == nil {
			continue
		}
		list := []jsontext.Value{value}
		if value.Kind() == '[' && json.Unmarshal(value, &list) != nil {
			continue
		}
		for _, one := range list {
			c.add(src, inner, one)
		}
	}
}
