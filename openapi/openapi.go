// Package openapi holds the document of the HTTP API, OpenAPI 3.1, as JSON and
// as YAML. Both are generated from the annotations and types of the source and
// are never edited by hand.
package openapi

import _ "embed"

//go:generate go run ./internal/generate

// JSON is the document as JSON.
//
//go:embed openapi.json
var JSON []byte

// YAML is the document as YAML.
//
//go:embed openapi.yaml
var YAML []byte
