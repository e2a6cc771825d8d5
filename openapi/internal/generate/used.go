package main

import (
	"net/http"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"resawd/api"
)

// census counts the objects of each type of request in what answers repeat as
// used, and how many of them have each field.
type census map[string]map[string]int

// all is the name under which the objects themselves are counted.
const all = ""

// fewest is how many objects must be seen before a field counts as always there.
const fewest = 3

// alwaysUsed tells whether every object of a type that a contract row finds in
// used has a field. The rows are answered by the service, and what the document
// requires is held against every answer.
func (f *finisher) alwaysUsed(kind string, field wireField) bool {
	if f.used == nil {
		f.used = f.count()
	}
	if _, fixed := field.tag.Lookup("absent"); fixed || f.neededInRequest(field) {
		return true
	}
	n := f.used[kind][all]
	return n >= fewest && f.used[kind][field.name] == n
}

func (f *finisher) count() census {
	kinds := map[string]string{}
	for _, k := range api.Calculators() {
		kinds[k.Path] = k.Request.String()
	}
	c := census{}
	for _, row := range f.rows {
		path, _, _ := strings.Cut(row.Target, "?")
		var answer struct {
			Used jsontext.Value `json:"used"`
		}
		if row.Status != http.StatusOK || row.MediaType != "application/json" || row.Method == http.MethodHead || kinds[path] == "" {
			continue
		}
		if json.Unmarshal([]byte(row.WantBody), &answer) == nil && answer.Used.Kind() == '{' {
			c.add(f.src, kinds[path], answer.Used)
		}
	}
	return c
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
