package openapi

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"html/template"
	"slices"
	"strings"
	"sync"

	"github.com/go-json-experiment/json/jsontext"

	"resawd/openapi/internal/spec"
)

//go:embed page.html
var pageText string

//go:embed page.css
var pageStyle string

// PagePolicy is the Content-Security-Policy of the page: its own style sheet
// and an empty icon, no script and nothing from elsewhere.
var PagePolicy = "default-src 'none'; style-src 'sha256-" + styleDigest() + "'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

func styleDigest() string {
	sum := sha256.Sum256([]byte(pageStyle))
	return base64.StdEncoding.EncodeToString(sum[:])
}

// Page renders the document as an HTML page that needs no script and no network.
var Page = sync.OnceValues(func() ([]byte, error) {
	doc, err := spec.Parse(JSON)
	if err != nil {
		return nil, err
	}
	page, err := template.New("page").Funcs(template.FuncMap{"paragraphs": paragraphs, "spans": spans}).Parse(pageText)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = page.Execute(&out, view{Document: doc, Style: template.CSS(pageStyle), Groups: groupsOf(doc)}) //nolint:gosec // the style sheet is our own file
	return out.Bytes(), err
})

func paragraphs(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return r == '\n' })
}

// span is a part of a text; what stood between backticks is code.
type span struct {
	Text string
	Code bool
}

func spans(text string) []span {
	var list []span
	for i, part := range strings.Split(text, "`") {
		list = append(list, span{part, i%2 == 1})
	}
	return list
}

// view is what the page shows.
type view struct {
	*spec.Document
	Style  template.CSS
	Groups []group
}

// Controls are the query fields that every calculator takes.
func (v view) Controls() []row {
	var rows []row
	for _, p := range v.Components.Parameters {
		rows = append(rows, rowOf(v.Document, p.Name, p.Value.Schema, p.Value.Description, ""))
	}
	return rows
}

// Lengths says how a length is written.
func (v view) Lengths() string {
	if at := v.Components.Schemas.At("LengthInput"); at != nil {
		return (*at).Description
	}
	return ""
}

// Refusals lists the statuses of problems, with their descriptions.
func (v view) Refusals() []refusal {
	var list []refusal
	for _, g := range v.Groups {
		for _, e := range g.Endpoints {
			list = slices.Concat(list, e.refusals(v.Document))
		}
	}
	slices.SortFunc(list, func(a, b refusal) int { return strings.Compare(a.Status, b.Status) })
	return slices.Compact(list)
}

// refusal is a status and what it means.
type refusal struct{ Status, Description string }

// group is the endpoints of one tag.
type group struct {
	spec.Tag
	Endpoints []endpoint
}

func groupsOf(doc *spec.Document) []group {
	var groups []group
	for _, tag := range doc.Tags {
		g := group{Tag: tag}
		for _, p := range doc.Paths {
			if e := (endpoint{p.Name, p.Value, doc}); slices.Contains(e.Main().Tags, tag.Name) {
				g.Endpoints = append(g.Endpoints, e)
			}
		}
		groups = append(groups, g)
	}
	return groups
}

// endpoint is what one path answers.
type endpoint struct {
	Path string
	spec.PathItem
	doc *spec.Document
}

// Main is the operation that describes the endpoint.
func (e endpoint) Main() *spec.Operation {
	if e.Post != nil {
		return e.Post
	}
	return e.Get
}

func (e endpoint) refusals(doc *spec.Document) []refusal {
	var list []refusal
	for _, op := range []*spec.Operation{e.Get, e.Post} {
		if op == nil {
			continue
		}
		for _, r := range op.Responses {
			name := strings.TrimPrefix(r.Value.Ref, "#/components/responses/")
			if shared := doc.Components.Responses.At(name); shared != nil && r.Name >= "400" {
				list = append(list, refusal{r.Name, shared.Description})
			}
		}
	}
	return list
}

// Fields lists the fields of the request.
func (e endpoint) Fields() []row {
	if e.Post == nil || e.Post.RequestBody == nil {
		return nil
	}
	return rowsOf(e.doc, e.Post.RequestBody.Content.At("application/json").Schema, "", requestMarks)
}

// AnswerFields lists the fields of the answer.
func (e endpoint) AnswerFields() []row {
	answer := e.Main().Responses.At("200").Content.At("application/json")
	if answer == nil {
		return nil // a text has none
	}
	return rowsOf(e.doc, answer.Schema, "", answerMarks)
}

// Queries are examples of a GET, each in one form.
func (e endpoint) Queries() []example { return examplesOf(e.Get) }

// Body is the example of a POST and its answer.
func (e endpoint) Body() (pair struct{ Request, Answer string }) {
	if e.Post == nil {
		return pair
	}
	for _, x := range e.Post.RequestBody.Content.At("application/json").Examples {
		pair.Request = laidOut(x.Value.Value)
	}
	for _, x := range examplesOf(e.Post) {
		pair.Answer = x.Answer
	}
	return pair
}

// example is a request line and its answer.
type example struct{ Target, Answer string }

func examplesOf(op *spec.Operation) []example {
	if op == nil {
		return nil
	}
	var list []example
	for _, m := range op.Responses.At("200").Content {
		for _, x := range m.Value.Examples {
			_, target, _ := strings.Cut(x.Value.Description, " ")
			list = append(list, example{target, laidOut(x.Value.Value)})
		}
	}
	return list
}

// laidOut shows a text as it is, and other JSON in lines that fit on a page.
func laidOut(v jsontext.Value) string {
	if v.Kind() == '"' {
		text, err := jsontext.AppendUnquote(nil, v)
		if err == nil {
			return string(text)
		}
	}
	v = v.Clone()
	if err := v.Indent(jsontext.WithIndent("  ")); err != nil {
		return string(v)
	}
	return string(v)
}
