package api

import (
	"context"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/go-playground/validator/v10"

	"resawd/api/rule"
	"resawd/api/shop"
	"resawd/calc/length"
)

// Calculator is one endpoint apart from HTTP: it takes fields, however they
// came, and gives an answer or an error that becomes a problem.
type Calculator struct {
	Path    string       // such as /v1/dial
	Request reflect.Type // a struct of pointers; see schemaOf
	Answer  reflect.Type
	Long    bool // a search: by POST only, on workers of its own, with events of its progress
	schema  *schema
	encode  encoder // of a pointer to the answer
	forms   []form  // what it answers in, the default first
	solve   func(*call, any) (answer, error)
}

// answer is what a calculator returns: a pointer to a struct with Notes.
type answer interface{ notes() *Notes }

// tabular is an answer that has a table of its own, a slice of structs.
type tabular interface{ table() any }

// calculator describes an endpoint by its path and its function.
func calculator[Q any, A answer](path string, solve func(*call, *Q) (A, error)) Calculator {
	request := reflect.TypeFor[Q]()
	return Calculator{
		Path: path, Request: request, Answer: reflect.TypeFor[A]().Elem(), schema: schemaOf(request), encode: encoderOf(reflect.TypeFor[A]()),
		forms: []form{formJSON, formCSV, formText},
		solve: func(c *call, q any) (answer, error) {
			request, ok := q.(*Q)
			if !ok {
				return nil, fmt.Errorf("api: %s was given a %T", path, q)
			}
			return solve(c, request)
		},
	}
}

// call is what a calculator's function knows besides its request.
type call struct {
	context.Context //nolint:containedctx // a call lives exactly as long as its request
	shop            *shop.Shop
	build           string
	unit            length.Length
	schema          *schema
	faults          []FieldError
	warnings        []string
	demo            []string // fields that the demo shop supplied

	searching
}

// warn adds a warning to the answer.
func (c *call) warn(text string) { c.warnings = append(c.warnings, text) }

// refuse notes a fault that only the endpoint can see; checked gives them.
func (c *call) refuse(path, code, detail string) {
	c.faults = append(c.faults, FieldError{path: path, Code: code, Detail: detail})
}

// checked is the error of all faults noted so far.
func (c *call) checked() error {
	if len(c.faults) == 0 {
		return nil
	}
	return refuse(c.schema, c.faults)
}

// also adds forms that this calculator offers beside those of all.
func (k Calculator) also(more ...form) Calculator {
	k.forms = append(k.forms, more...)
	return k
}

// long makes a calculator a search: see Long.
func (k Calculator) long() Calculator {
	k.Long = true
	return k
}

// Fields is a request as it comes: a JSON body, or the pairs of a query.
type Fields struct {
	body  []byte
	query []pair
	comma bool
}

// Solve answers one request. The unit is that of the request even where there
// is an error.
func (k *Calculator) Solve(c *call, fields Fields) (answer, error) {
	q := reflect.New(k.Request)
	r := reader{unit: length.Inch, comma: fields.comma}
	if fields.body != nil {
		if err := r.readJSON(k.schema, q.Elem(), fields.body); err != nil {
			return nil, fail(badRequest, "%s", err)
		}
	} else {
		r.readQuery(k.schema, q.Elem(), fields.query)
	}
	c.unit, c.warnings, c.schema = r.unit, r.warnings, k.schema
	c.faults = slices.Concat(r.faults, invalid(q.Interface(), r.faults, r.unit))
	if err := c.checked(); err != nil {
		return nil, err
	}
	a, err := k.solve(c, q.Interface())
	if err == nil {
		err = c.checked()
	}
	if err != nil {
		return nil, worded(err, k.schema, c.unit)
	}
	c.finish(a.notes())
	return a, nil
}

func (c *call) finish(n *Notes) {
	n.Units = rule.UnitName(c.unit)
	if len(c.demo) > 0 {
		c.warn(strings.Join(c.demo, ", ") + ": from the built-in demo shop; give your own, or start the service with --shop FILE")
	}
	n.Warnings = c.warnings
	if n.Warnings == nil {
		n.Warnings = []string{}
	}
}

var validate = rule.Validator("json")

// invalid lists what the validator finds in fields that could be read.
func invalid(q any, unread []FieldError, unit length.Length) []FieldError {
	var found validator.ValidationErrors
	if !errors.As(validate.Struct(q), &found) {
		return nil
	}
	faults := make([]FieldError, 0, len(found))
	for _, f := range found {
		path := pathOf(f.Namespace())
		isUnread := func(u FieldError) bool {
			return u.Code != "unknown_field" && (u.path == path || strings.HasPrefix(path, u.path+"."))
		}
		if !slices.ContainsFunc(unread, isUnread) {
			faults = append(faults, FieldError{path: path, Code: codeOf(f.Tag()), Detail: rule.Words(f, unit)})
		}
	}
	return faults
}

// pathOf turns a validator's namespace, such as DialRequest.leaves[0].count,
// into a dotted path.
func pathOf(namespace string) string {
	_, path, _ := strings.Cut(namespace, ".")
	path = strings.TrimPrefix(path, "Settings.")
	return strings.NewReplacer("[", ".", "]", "").Replace(path)
}

func codeOf(tag string) string {
	switch {
	case strings.HasPrefix(tag, "required"):
		return "required"
	case tag == "oneof":
		return "unknown_name"
	case strings.HasPrefix(tag, "excluded"):
		return "conflict"
	}
	return "out_of_range"
}

// Render answers one JSON request without HTTP, in one of the forms that the
// calculator offers.
func (k *Calculator) Render(ctx context.Context, s *shop.Shop, build string, body []byte, format string) ([]byte, error) {
	if err := k.Offers(format); err != nil {
		return nil, err
	}
	a, err := k.Ask(ctx, s, build, body, Patience{})
	if err != nil {
		return nil, err
	}
	return a.Render(format)
}

// CalculatorAt finds a calculator by its path.
func CalculatorAt(path string) (*Calculator, bool) {
	for _, k := range Calculators() {
		if k.Path == path {
			return &k, true
		}
	}
	return nil, false
}
