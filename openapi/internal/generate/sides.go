package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"resawd/openapi/internal/spec"
)

// schemaPath is where references to schemas begin.
const schemaPath = "#/components/schemas/"

// A request takes a length as a number or a text, and an answer has it as a number; a request refuses unknown fields, and an answer may grow. So each
// schema belongs to one side, and one that serves both, as the request that an
// answer repeats in "used", becomes two. A request ready to send, as the one for
// a billet's run sheet in a plan, is on the side of requests wherever it stands.

// part gives each side its own schemas, under names without packages.
func (f *finisher) part() error {
	swag := f.doc.Components.Schemas
	f.doc.Components.Schemas = nil
	answering := side{taken: closure(swag, f.requests()), bodies: map[string]bool{}}
	for _, ref := range f.requests() {
		answering.bodies[strings.TrimPrefix(*ref, schemaPath)] = true
	}
	if err := f.publish(swag, f.requests(), inRequest); err != nil {
		return err
	}
	return f.publish(swag, f.answers(), answering)
}

// publish adds every schema that references lead to, and points the references there.
func (f *finisher) publish(swag spec.Object[*spec.Schema], refs []*string, on side) error {
	for _, name := range slices.Sorted(maps.Keys(closure(swag, refs))) {
		if err := f.add(name, *swag.At(name), on); err != nil {
			return err
		}
	}
	for _, ref := range refs {
		on.point(ref)
	}
	return nil
}

// side is where a schema is used: in a request, or in an answer. taken are the schemas
// of requests, bodies those that are a request's body; both are nil on the side of
// requests.
type side struct{ taken, bodies map[string]bool }

var inRequest = side{}

// name is the published name of a schema on a side.
func (s side) name(swag string) string {
	_, name, _ := strings.Cut(swag, ".")
	switch {
	case asText[swag] && s.taken == nil:
		return name + "Input"
	case s.taken[swag]:
		return strings.TrimSuffix(name, "Request") + "Used"
	}
	return name
}

// point changes a reference from swag's name to the published one.
func (s side) point(ref *string) {
	*ref = schemaPath + s.name(strings.TrimPrefix(*ref, schemaPath))
}

// of is the side of what a field refers to: a request in an answer is ready to send,
// and so on the side of requests, unless it is the one that was used.
func (s side) of(field, ref string) side {
	if field != "used" && s.bodies[strings.TrimPrefix(ref, schemaPath)] {
		return inRequest
	}
	return s
}

// add publishes a copy of a schema for one side.
func (f *finisher) add(swag string, s *spec.Schema, on side) error {
	name := on.name(swag)
	if f.doc.Components.Schemas.At(name) != nil {
		return fmt.Errorf("two schemas are named %s", name)
	}
	s = clone(s)
	fields := f.src.structs[swag].fields
	switch {
	case on.taken == nil:
		s.Required = namesOf(fields, f.neededInRequest)
		s.AdditionalProperties = new(false)
	case on.taken[swag]:
		s.Required = namesOf(fields, func(field wireField) bool { return f.alwaysUsed(swag, field) })
		s.Description = "What was used of " + inRequest.name(swag) + ": as given, from the shop file or by default."
	default:
		s.Required = namesOf(fields, neededInAnswer)
	}
	eachRef(s.Items, on.point)
	for _, p := range s.Properties {
		eachRef(p.Value, func(ref *string) { on.of(p.Name, *ref).point(ref) })
	}
	f.doc.Components.Schemas.Set(name, s)
	return nil
}

func namesOf(fields []wireField, wanted func(wireField) bool) []string {
	var names []string
	for _, field := range fields {
		if wanted(field) {
			names = append(names, field.name)
		}
	}
	return names
}

// neededInRequest reports whether a field is required, or is an object with a required
// field.
func (f *finisher) neededInRequest(field wireField) bool {
	if object := f.src.structs[field.kind]; object != nil {
		return len(namesOf(object.fields, f.neededInRequest)) > 0
	}
	_, ok := field.rule("required")
	return ok
}

func neededInAnswer(field wireField) bool {
	return !strings.Contains(field.tag.Get("json"), ",omitzero")
}

// requests lists the references of every request body, which have swag's names.
func (f *finisher) requests() (refs []*string) {
	for _, p := range f.doc.Paths {
		if p.Value.Post != nil && p.Value.Post.RequestBody != nil {
			refs = append(refs, refsOf(p.Value.Post.RequestBody.Content)...)
		}
	}
	return refs
}

// answers lists the references of every answer, which have swag's names.
func (f *finisher) answers() (refs []*string) {
	for _, p := range f.doc.Paths {
		for _, op := range []*spec.Operation{p.Value.Get, p.Value.Post} {
			if op == nil {
				continue
			}
			for _, r := range op.Responses {
				refs = append(refs, refsOf(r.Value.Content)...)
			}
		}
	}
	return refs
}

func refsOf(content spec.Object[spec.Media]) (refs []*string) {
	for _, m := range content {
		eachRef(m.Value.Schema, func(ref *string) { refs = append(refs, ref) })
	}
	return refs
}

// closure is the names of the structs that references lead to.
func closure(schemas spec.Object[*spec.Schema], refs []*string) map[string]bool {
	seen := map[string]bool{}
	var visit func(*string)
	visit = func(ref *string) {
		name := strings.TrimPrefix(*ref, schemaPath)
		if at := schemas.At(name); at != nil && !seen[name] {
			seen[name] = true
			eachRef(*at, visit)
		}
	}
	for _, ref := range refs {
		visit(ref)
	}
	return seen
}

// eachRef calls visit with the place of every reference in a schema.
func eachRef(s *spec.Schema, visit func(*string)) {
	if s == nil {
		return
	}
	if s.Ref != "" {
		visit(&s.Ref)
	}
	eachRef(s.Items, visit)
	for _, p := range s.Properties {
		eachRef(p.Value, visit)
	}
}

// clone copies a schema with everything in it that a repair may change.
func clone(s *spec.Schema) *spec.Schema {
	if s == nil {
		return nil
	}
	copied := *s
	copied.Items = clone(s.Items)
	copied.Properties = nil
	for _, p := range s.Properties {
		copied.Properties.Set(p.Name, clone(p.Value))
	}
	return &copied
}
