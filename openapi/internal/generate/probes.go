package main

import "resawd/openapi/internal/spec"

// probes describes the addresses for those who run the service.
func probes() spec.Object[spec.PathItem] {
	const tag = "running the service"
	answer := func(description string) spec.Response {
		text := spec.Media{Schema: &spec.Schema{Type: "string"}}
		return spec.Response{Description: description, Headers: answerHeaders(false), Content: spec.Object[spec.Media]{{Name: "text/plain", Value: text}}}
	}
	probe := func(id, summary, description string, responses ...spec.Member[spec.Response]) spec.PathItem {
		codes := []string{"405", "500"}
		if id == "metrics" {
			codes = append(codes, "401", "403", "429")
		}
		responses = append(responses, refsTo(codes...)...)
		return spec.PathItem{Get: &spec.Operation{Tags: []string{tag}, Summary: summary, Description: description, OperationID: id, Responses: responses}}
	}
	well := func(text string) spec.Member[spec.Response] {
		return spec.Member[spec.Response]{Name: "200", Value: answer(text)}
	}
	return spec.Object[spec.PathItem]{
		{Name: "/healthz", Value: probe("healthz", "Whether the service is alive", "Answers as long as the service can answer at all. Restart the service if this fails.", well("ok"))},
		{Name: "/readyz", Value: probe("readyz", "Whether the service takes requests", "Says no once the service is stopping, some time before it closes its address. Send it no more requests then.",
			well("ready"), spec.Member[spec.Response]{Name: "503", Value: answer("draining")})},
		{Name: "/metrics", Value: probe("metrics", "Metrics for Prometheus", "Requests, problems, leaves, plans and rows of tables, counted and timed, in the text format of Prometheus.", well("The metrics"))},
	}
}
