package openapi_test

import (
	"bytes"
	"fmt"
	"net/http"
	"net/http/httptest"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"resawd/api"
	"resawd/api/apitest"
	"resawd/openapi"
	"resawd/openapi/internal/spec"
)

// schemas compiles parts of the document; objects in it are closed, so that an
// answer with a field that the document does not know is found out.
type schemas struct {
	doc      any
	compiler *jsonschema.Compiler
}

func newSchemas(tb testing.TB) schemas {
	tb.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(openapi.JSON))
	if err != nil {
		tb.Fatal(err)
	}
	for _, s := range at(doc, "components/schemas").(map[string]any) {
		if object := s.(map[string]any); object["type"] == "object" {
			object["additionalProperties"] = false
		}
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("openapi.json", doc); err != nil {
		tb.Fatal(err)
	}
	return schemas{doc, c}
}

// at finds a place in the document.
func at(doc any, path string) any {
	for key := range strings.SplitSeq(path, "/") {
		object, _ := doc.(map[string]any)
		doc = object[key]
	}
	return doc
}

// check validates a body against the schema at a place.
func (s schemas) check(place, body string) error {
	schema, err := s.compiler.Compile("openapi.json#/" + place)
	if err != nil {
		return err
	}
	value, err := jsonschema.UnmarshalJSON(strings.NewReader(body))
	if err != nil {
		return err
	}
	return schema.Validate(value)
}

// schemaOf is the place of the schema of an answer in JSON.
func schemaOf(op *spec.Operation) string {
	return strings.TrimPrefix(op.Responses.At("200").Content.At("application/json").Schema.Ref, "#/")
}

const problemSchema = "components/schemas/Problem"

// TestAnswers sends every contract row and validates what comes back: its
// status and media type are in the document, its JSON fits the schema there. A
// body that was taken fits the schema of the request.
func TestAnswers(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	s, documented := newSchemas(t), operations(document(t))
	validated := map[string]int{}
	for _, row := range rows(t) {
		t.Run(row.File+"/"+row.Name, func(t *testing.T) {
			body := sendRow(t, server.URL, row)
			path, _, _ := strings.Cut(row.Target, "?")
			op := documented[row.Method+" "+path]
			mediaType, _, _ := strings.Cut(row.MediaType, ";")
			if op != nil {
				inDocument(t, op, row.Status, mediaType)
			}
			if op != nil && row.Method == http.MethodPost && row.Status == 200 && !row.Table() {
				ref := op.RequestBody.Content.At("application/json").Schema.Ref
				if err := s.check(strings.TrimPrefix(ref, "#/"), row.Body); err != nil {
					t.Errorf("the request: %v", err)
				}
			}
			var place string
			switch {
			case mediaType == "application/problem+json" && row.Method != http.MethodHead:
				place = problemSchema
			case op != nil && mediaType == "application/json" && row.Status == 200:
				place = schemaOf(op)
			default:
				return
			}
			validated[place]++
			if err := s.check(place, body); err != nil {
				t.Errorf("%v\n%s", err, body)
			}
		})
	}
	if validated[problemSchema] == 0 || len(validated) < len(api.Calculators()) {
		t.Errorf("too few answers were validated: %v", validated)
	}
}

// TestAnswersCanFail: a wrong answer is found out.
func TestAnswersCanFail(t *testing.T) {
	s := newSchemas(t)
	for _, body := range []string{
		`{}`,
		`{"type": "/problems/x", "title": "x", "status": "400", "detail": "x", "instance": "x", "errors": []}`,
		`{"type": "/problems/x", "title": "x", "status": 400, "detail": "x", "instance": "x", "errors": [], "more": 1}`,
		`{"type": "/problems/x", "title": "x", "status": 400, "detail": "x", "instance": "x", "errors": [{"detail": "x"}]}`,
	} {
		if s.check(problemSchema, body) == nil {
			t.Errorf("passes as a problem: %s", body)
		}
	}
	if s.check("components/schemas/Length", `"1 in"`) == nil {
		t.Error("a text passes as a length of an answer")
	}
}

// inDocument finds status and media type among an operation's answers.
func inDocument(t *testing.T, op *spec.Operation, status int, mediaType string) {
	t.Helper()
	r := op.Responses.At(strconv.Itoa(status))
	switch {
	case r == nil:
		t.Errorf("the document has no status %d", status)
	case r.Ref == "" && r.Content.At(mediaType) == nil:
		t.Errorf("the document has no %s of status %d", mediaType, status)
	}
}

// TestNames: where a field at the top of an answer has the name of a field of
// the request, in a body or in a query, it says what was used of that field.
func TestNames(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	compared := 0
	for _, row := range rows(t) {
		path, _, _ := strings.Cut(row.Target, "?")
		names := requestNames(path)
		if names == nil || row.Status != 200 || row.Method == http.MethodHead || row.MediaType != "application/json" {
			continue
		}
		var answer map[string]any
		if err := json.Unmarshal([]byte(sendRow(t, server.URL, row)), &answer); err != nil {
			t.Fatal(err)
		}
		for name, value := range answer {
			place, both := names[name]
			if !both {
				continue
			}
			compared++
			if used := at(answer["used"], place); fmt.Sprint(value) != fmt.Sprint(used) {
				t.Errorf("%s/%s: %s is %v in the answer and %v in used", row.File, row.Name, name, value, used)
			}
		}
	}
	if compared == 0 {
		t.Error("no field was compared")
	}
}

// requestNames lists the fields of a calculator's request by their names in a
// body and in a query, with their places in it.
func requestNames(path string) map[string]string {
	for _, k := range api.Calculators() {
		if k.Path != path {
			continue
		}
		names := map[string]string{}
		for _, f := range reflect.VisibleFields(k.Request) {
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			names[name] = name
		}
		for name, place := range k.QueryFields() {
			names[name] = strings.ReplaceAll(place, ".", "/")
		}
		return names
	}
	return nil
}
