package main

import (
	"slices"

	"resawd/openapi/internal/spec"
)

// status is an answer that many operations share.
type status struct{ code, name, description string }

var statuses = []status{
	{"304", "NotModified", "The answer is still the one that If-None-Match names"},
	{"400", "BadRequest", "The request cannot be read: no JSON object, an unknown or repeated field, a value of the wrong type, a control field with an unknown value"},
	{"406", "NotAcceptable", "None of the media types in the Accept header is offered"},
	{"413", "TooLarge", "The body is longer than the service reads"},
	{"415", "UnsupportedMediaType", "The body is not of a media type that is read here"},
	{"422", "Unprocessable", "A field is missing or outside its limits, or what is asked for cannot be cut"},
	{"500", "InternalError", "Something went wrong in the service; its log tells more under the request ID"},
	{"503", "Unavailable", "Too many plans are waiting already, or the service is stopping; Retry-After says after how many seconds to ask again"},
}

// sharedResponses describes each status; those above 400 are problems.
func sharedResponses() spec.Object[spec.Response] {
	problem := spec.Object[spec.Media]{{Name: "application/problem+json", Value: spec.Media{Schema: &spec.Schema{Ref: schemaPath + "Problem"}}}}
	var list spec.Object[spec.Response]
	for _, s := range statuses {
		r := spec.Response{Description: s.description, Content: problem}
		if s.code < "400" {
			r.Content = nil
		}
		if s.code == "503" {
			r.Headers = spec.Object[spec.Header]{{Name: "Retry-After", Value: retryAfter}}
		}
		list.Set(s.name, r)
	}
	return list
}

var retryAfter = spec.Header{Description: "Seconds to wait before asking again", Schema: &spec.Schema{Type: "integer"}}

// refsTo lists shared answers by their codes.
func refsTo(codes ...string) spec.Object[spec.Response] {
	var list spec.Object[spec.Response]
	for _, s := range statuses {
		if slices.Contains(codes, s.code) {
			list.Set(s.code, spec.Response{Ref: "#/components/responses/" + s.name})
		}
	}
	return list
}
