package main

import (
	"slices"
	"strconv"

	"github.com/go-json-experiment/json/jsontext"

	"resawd/api/endpoint"
	"resawd/calc/length"
	"resawd/openapi/internal/spec"
)

// status is an answer that many operations share.
type status struct{ code, name, description string }

var statuses = []status{
	{"304", "NotModified", "The answer is still the one that If-None-Match names"},
	{"400", "BadRequest", "The request cannot be read: no JSON object, an unknown or repeated field, a value of the wrong type, a control field with an unknown value"},
	{"401", "Unauthorized", "Keys are in use, and the request has none that is known and has not expired"},
	{"403", "Forbidden", "The key lacks the role that this address needs"},
	{"405", "MethodNotAllowed", "The address takes other methods, which Allow lists"},
	{"406", "NotAcceptable", "None of the media types in the Accept header is offered"},
	{"408", "TimedOut", "The body, or the rest of a table, did not arrive in time"},
	{"413", "TooLarge", "The body is longer than the service reads"},
	{"415", "UnsupportedMediaType", "The body is not of a media type that is read here"},
	{"422", "Unprocessable", "A field is missing or outside its limits, or what is asked for cannot be cut"},
	{"429", "TooManyRequests", "This key, or this address if there is no key, asks more often than it may; Retry-After says after how many seconds to ask again"},
	{"500", "InternalError", "Something went wrong in the service; its log has more under the request ID"},
	{"503", "Unavailable", "The service gets more requests than it works on at once, or is stopping; Retry-After says after how many seconds to ask again"},
}

// sharedResponses describes each status; those from 400 on are problems, with an
// example each.
func (f *finisher) sharedResponses() spec.Object[spec.Response] {
	var list spec.Object[spec.Response]
	for _, s := range statuses {
		r := spec.Response{Description: s.description, Headers: spec.Object[spec.Header]{{Name: requestID, Value: spec.Header{Ref: headerPath + "RequestId"}}}}
		if s.code >= "400" {
			m := spec.Media{Schema: &spec.Schema{Ref: schemaPath + "Problem"}}
			m.Examples.Set(exampleName, f.problemExample(s.code))
			r.Content.Set("application/problem+json", m)
		}
		switch s.code {
		case "405":
			r.Headers.Set("Allow", spec.Header{Description: "The methods that this address takes", Schema: &spec.Schema{Type: "string"}})
		case "401":
			r.Headers.Set("WWW-Authenticate", spec.Header{Description: "The scheme to authenticate with: Bearer", Schema: &spec.Schema{Type: "string"}})
		case "429", "503":
			r.Headers.Set("Retry-After", retryAfter)
		}
		list.Set(s.name, r)
	}
	return list
}

const (
	headerPath = "#/components/headers/"
	requestID  = "X-Request-Id"
)

// sharedHeaders describes the header that every answer has.
func sharedHeaders() spec.Object[spec.Header] {
	return spec.Object[spec.Header]{{Name: "RequestId", Value: spec.Header{
		Description: "Names the request in the log of the service, and in `instance` of a problem. A request may bring its own in the same header: up to 64 letters, digits, hyphens and underscores.",
		Schema:      &spec.Schema{Type: "string"},
	}}}
}

// unseen are problems that no contract row can bring about.
var unseen = map[string]*endpoint.Failure{
	"401": endpoint.Fail(endpoint.Unauthorized, "no key was given: send the header Authorization: Bearer KEY"),
	"403": endpoint.Fail(endpoint.Forbidden, "this key lacks the role prices"),
	"429": endpoint.Fail(endpoint.TooMany, "this key, or this address where there is none, asks more often than it may: ask again when Retry-After says"),
	"408": endpoint.Fail(endpoint.TimedOut, "the rest of the body did not come in time"),
	"413": endpoint.Fail(endpoint.TooLarge, "the body is longer than the limit of 1048576 bytes"),
	"500": endpoint.Fail(endpoint.InternalError, "the log has more under the request ID"),
	"503": endpoint.Fail(endpoint.Unavailable, "all workers are busy and the queue is full: ask again when Retry-After says"),
}

// problemExample is the answer of the first contract row that is refused with a status,
// or a problem that none can bring about.
func (f *finisher) problemExample(code string) spec.Example {
	if failure := unseen[code]; failure != nil {
		p := endpoint.ProblemOf(failure)
		p.Instance = "f2c9a7d01b6e4853"
		return spec.Example{Summary: p.Title, Value: endpoint.JSONOf(p, length.Inch)}
	}
	for _, row := range f.rows {
		if strconv.Itoa(row.Status) == code && row.MediaType == "application/problem+json" && row.WantBody != "" {
			return spec.Example{Summary: row.Name, Description: row.Method + " " + row.Target, Value: jsontext.Value(row.WantBody)}
		}
	}
	panic("generate: no contract row is refused with " + code) // every status has one
}

var retryAfter = spec.Header{Description: "Seconds to wait before asking again", Schema: &spec.Schema{Type: "integer"}}

// refsTo lists references to shared answers by their statuses.
func refsTo(codes ...string) spec.Object[spec.Response] {
	var list spec.Object[spec.Response]
	for _, s := range statuses {
		if slices.Contains(codes, s.code) {
			list.Set(s.code, spec.Response{Ref: "#/components/responses/" + s.name})
		}
	}
	return list
}
