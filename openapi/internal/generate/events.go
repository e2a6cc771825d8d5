package main

import (
	"github.com/go-json-experiment/json/jsontext"

	"resawd/openapi/internal/spec"
)

// progressCode is the status under which the annotation of a long calculator has its
// progress. No answer has that status.
const progressCode = "206"

// events describes a stream: the data of each event, and an example.
func (c calculatorDoc) events() spec.Media {
	progress := c.post.Responses.At(progressCode).Content.At("application/json").Schema
	answer := c.post.Responses.At("200").Content.At("application/json").Schema
	m := spec.Media{
		Schema: &spec.Schema{Type: "string", ContentMediaType: "text/event-stream", ContentSchema: &spec.Schema{Type: "object", Properties: spec.Object[*spec.Schema]{
			{Name: "progress", Value: progress}, {Name: "result", Value: answer}, {Name: "problem", Value: &spec.Schema{Ref: schemaPath + "Problem"}},
		}}, Description: "Server-sent events: each has a name and a line of JSON as its data. " +
			"`progress` has a `" + lastName(progress) + "` whenever the search finds something better, a few times a second at most; " +
			"the last event is `result`, a `" + lastName(answer) + "`, or `problem`, a `Problem`. Lines that begin with a colon keep the connection open."},
	}
	if row, ok := c.row(c.Path, "POST", "application/json"); ok {
		result := jsontext.Value(row.WantBody)
		if result.Compact() == nil {
			m.Examples.Set(exampleName, spec.Example{Summary: row.Name, Description: "POST " + c.Path,
				Value: literal(": waiting for a worker\n\nevent: result\ndata: " + string(result) + "\n\n")})
		}
	}
	return m
}

func lastName(s *spec.Schema) string { return s.Ref[len(schemaPath):] }
