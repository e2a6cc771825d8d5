// Package spec holds an OpenAPI 3.1 document as Go values, as far as this project's
// document uses the format. Reading refuses anything else, so that nothing gets lost
// unnoticed.
package spec

import "github.com/go-json-experiment/json/jsontext"

// Document is the whole document.
type Document struct {
	OpenAPI    string           `json:"openapi"`
	Info       Info             `json:"info"`
	Servers    []Server         `json:"servers,omitzero"`
	Security   []Requirement    `json:"security"` // one of these
	Tags       []Tag            `json:"tags,omitzero"`
	Paths      Object[PathItem] `json:"paths"`
	Components Components       `json:"components"`

	ExternalDocs *ExternalDocs `json:"externalDocs,omitzero"`
}

// Info says what the API is.
type Info struct {
	Title       string   `json:"title"`
	Version     string   `json:"version"`
	Summary     string   `json:"summary,omitzero"`
	Description string   `json:"description,omitzero"`
	Contact     *Contact `json:"contact,omitzero"`
	License     *License `json:"license,omitzero"`
}

// Contact says whom to ask.
type Contact struct {
	Name string `json:"name,omitzero"`
}

// License names the licence by its SPDX identifier.
type License struct {
	Name       string `json:"name"`
	Identifier string `json:"identifier,omitzero"`
}

// Server is where the paths begin.
type Server struct {
	URL         string `json:"url"`
	Description string `json:"description,omitzero"`
}

// Tag is a group of operations.
type Tag struct {
	Name        string `json:"name"`
	Description string `json:"description,omitzero"`
}

// ExternalDocs points to other documentation.
type ExternalDocs struct {
	Description string `json:"description"`
	URL         string `json:"url"`
}

// PathItem is what a path answers.
type PathItem struct {
	Get  *Operation `json:"get,omitzero"`
	Post *Operation `json:"post,omitzero"`
}

// Operation is one method of one path.
type Operation struct {
	Tags        []string         `json:"tags,omitzero"`
	Summary     string           `json:"summary"`
	Description string           `json:"description"`
	OperationID string           `json:"operationId"`
	Parameters  []Parameter      `json:"parameters,omitzero"`
	RequestBody *Body            `json:"requestBody,omitzero"`
	Responses   Object[Response] `json:"responses"`
}

// Parameter is a field of a query, or a reference to a shared one.
type Parameter struct {
	Ref         string         `json:"$ref,omitzero"`
	Name        string         `json:"name,omitzero"`
	In          string         `json:"in,omitzero"`
	Description string         `json:"description,omitzero"`
	Required    bool           `json:"required,omitzero"`
	Schema      *Schema        `json:"schema,omitzero"`
	Example     jsontext.Value `json:"example,omitzero"`
}

// Body is the body of a request.
type Body struct {
	Description string        `json:"description,omitzero"`
	Required    bool          `json:"required,omitzero"`
	Content     Object[Media] `json:"content"`
}

// Response is an answer of one status, or a reference to a shared one.
type Response struct {
	Ref         string         `json:"$ref,omitzero"`
	Description string         `json:"description,omitzero"`
	Headers     Object[Header] `json:"headers,omitzero"`
	Content     Object[Media]  `json:"content,omitzero"`
}

// Header is a header of an answer, or a reference to a shared one.
type Header struct {
	Ref         string  `json:"$ref,omitzero"`
	Description string  `json:"description,omitzero"`
	Schema      *Schema `json:"schema,omitzero"`
}

// Media is a body of one media type.
type Media struct {
	Schema   *Schema         `json:"schema,omitzero"` // of what is no text, none
	Examples Object[Example] `json:"examples,omitzero"`
}

// Example is a body as it was sent or answered.
type Example struct {
	Summary     string         `json:"summary,omitzero"`
	Description string         `json:"description,omitzero"`
	Value       jsontext.Value `json:"value"`
}

// Components are the parts that others refer to.
type Components struct {
	Schemas    Object[*Schema]   `json:"schemas,omitzero"`
	Parameters Object[Parameter] `json:"parameters,omitzero"`
	Responses  Object[Response]  `json:"responses,omitzero"`
	Headers    Object[Header]    `json:"headers,omitzero"`
	Security   Object[Scheme]    `json:"securitySchemes,omitzero"`
}

// Requirement names the schemes that a request must all satisfy; none when empty.
type Requirement = map[string][]string

// Scheme is a way to say who asks.
type Scheme struct {
	Type        string `json:"type"`
	Scheme      string `json:"scheme,omitzero"`
	Description string `json:"description,omitzero"`
}

// Schema is a JSON Schema (2020-12).
type Schema struct {
	Ref                  string           `json:"$ref,omitzero"`
	Summary              string           `json:"summary,omitzero"`
	Type                 string           `json:"type,omitzero"`
	Format               string           `json:"format,omitzero"`
	Description          string           `json:"description,omitzero"`
	OneOf                []*Schema        `json:"oneOf,omitzero"`
	Enum                 []jsontext.Value `json:"enum,omitzero"`
	Default              jsontext.Value   `json:"default,omitzero"`
	Minimum              *float64         `json:"minimum,omitzero"`
	ExclusiveMinimum     *float64         `json:"exclusiveMinimum,omitzero"`
	Maximum              *float64         `json:"maximum,omitzero"`
	ExclusiveMaximum     *float64         `json:"exclusiveMaximum,omitzero"`
	MinLength            *int             `json:"minLength,omitzero"`
	MaxLength            *int             `json:"maxLength,omitzero"`
	MinItems             *int             `json:"minItems,omitzero"`
	MaxItems             *int             `json:"maxItems,omitzero"`
	UniqueItems          bool             `json:"uniqueItems,omitzero"`
	Items                *Schema          `json:"items,omitzero"`
	Properties           Object[*Schema]  `json:"properties,omitzero"`
	Required             []string         `json:"required,omitzero"`
	AdditionalProperties *bool            `json:"additionalProperties,omitzero"`
	ContentMediaType     string           `json:"contentMediaType,omitzero"` // of a text that is something else
	ContentSchema        *Schema          `json:"contentSchema,omitzero"`
	Example              jsontext.Value   `json:"example,omitzero"`
}
