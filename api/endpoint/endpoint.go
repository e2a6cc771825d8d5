// Package endpoint is the core of every calculator: it reads fields, from JSON or
// from a query, checks them, hands them to the calculator's function, and renders
// the answer, or words what is wrong as a problem. It knows no server and no
// calculator.
package endpoint

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/go-playground/validator/v10"

	"resawd/api/rule"
	"resawd/api/shop"
	"resawd/calc/fault"
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
	check   rule.Check // of the request
	encode  encoder    // of a pointer to the answer
	forms   []Form     // what it answers in, the default first
	solve   func(*Call, any) (Answer, error)
}

// Answer is what a calculator returns: a pointer to a struct with Notes.
type Answer interface{ notes() *Notes }

// tabular is an answer that has a table of its own, a slice of structs.
type tabular interface{ Table() any }

// New describes an endpoint by its path and its function.
func New[Q any, A Answer](path string, solve func(*Call, *Q) (A, error)) Calculator {
	request := reflect.TypeFor[Q]()
	return Calculator{
		Path: path, Request: request, Answer: reflect.TypeFor[A]().Elem(), schema: schemaFor(request), check: rule.CheckOf(request), encode: encoderFor(reflect.TypeFor[A]()),
		forms: []Form{JSON, CSV, Text},
		solve: func(c *Call, q any) (Answer, error) {
			request, ok := q.(*Q)
			if !ok {
				return nil, fmt.Errorf("endpoint: %s was given a %T", path, q)
			}
			return solve(c, request)
		},
	}
}

// NewLong describes an endpoint whose function searches: see Long.
func NewLong[Q any, A Answer](path string, solve func(*Call, *Q) (A, error)) Calculator {
	k := New(path, solve)
	k.Long = true
	return k
}

// Call is what a calculator's function knows besides its request.
type Call struct {
	context.Context //nolint:containedctx // a call lives exactly as long as its request

	Shop   *shop.Shop
	Build  string        // version, as answers tell it
	Search Search        // of a long calculation
	Unit   length.Length // of the request, known when it was read

	schema   *schema
	faults   []FieldError
	unlisted int // faults beyond those that are listed
	warnings []string
	demo     []string // fields that the demo shop supplied
	warned   []string // those that the last warning named
	warning  string
}

// Warn adds a warning to the answer.
func (c *Call) Warn(text string) { c.warnings = append(c.warnings, text) }

// FromDemo notes a field whose value is the demo shop's, if it is that shop.
func (c *Call) FromDemo(field string) {
	if c.Shop.Demo {
		c.demo = append(c.demo, strings.NewReplacer("hold_back", "hold-back", "_", " ").Replace(field))
	}
}

// Digest is the same for the same build and the same effective request.
func (c *Call) Digest(used any) string {
	h := sha256.New()
	h.Write([]byte(c.Build + "\n"))
	h.Write(AppendJSON(nil, used, c.Unit))
	return hex.EncodeToString(h.Sum(nil)[:8])
}

// Show tells a length in the request's unit.
func (c *Call) Show(l length.Length) string { return rule.Show(l, c.Unit) }

// Refuse notes a fault that only the endpoint can see; Checked gives them.
func (c *Call) Refuse(path, code, detail string) {
	c.faults = append(c.faults, FieldError{path: path, Code: code, Detail: detail})
}

// RefuseRange notes that a value is out of its range.
func (c *Call) RefuseRange(path string, e *fault.OutOfRange) {
	c.Refuse(path, "out_of_range", rangeWords(e, c.Unit))
}

// Checked is the error of all faults noted so far.
func (c *Call) Checked() error {
	if len(c.faults) == 0 {
		return nil
	}
	return refuse(c.schema, c.faults, c.unlisted)
}

// Also adds forms that this calculator offers beside those of all.
func (k Calculator) Also(more ...Form) Calculator {
	k.forms = append(k.forms, more...)
	return k
}

// Forms lists the forms that it answers in, the default first.
func (k *Calculator) Forms() []Form { return k.forms }

// Fields is a request as it comes: a JSON body, or the pairs of a query.
type Fields struct {
	body  []byte
	query []Pair
	comma bool // the decimal sign of the query
}

// Body is the fields of a JSON body.
func Body(body []byte) Fields { return Fields{body: body} }

// Query is the fields of a query, whose decimal sign may be a comma.
func Query(fields []Pair, comma bool) Fields { return Fields{query: fields, comma: comma} }

// InBody tells whether the fields stand in a body.
func (f Fields) InBody() bool { return f.body != nil }

// Solve answers one request. The unit is that of the request even where there
// is an error.
func (k *Calculator) Solve(c *Call, fields Fields) (Answer, error) {
	q := reflect.New(k.Request)
	r := reader{unit: length.Inch, comma: fields.comma}
	if fields.body != nil {
		if err := r.readJSON(k.schema, q.Elem(), fields.body); err != nil {
			return nil, Fail(BadRequest, "%s", err)
		}
	} else {
		r.readQuery(k.schema, q.Elem(), fields.query)
	}
	return k.solved(c, q, &r)
}

// solved answers a request that was read.
func (k *Calculator) solved(c *Call, q reflect.Value, r *reader) (Answer, error) {
	c.Unit, c.warnings, c.schema, c.unlisted = r.unit, r.warnings, k.schema, r.unlisted
	c.faults = r.faults
	if !k.check(q.Elem()) {
		c.faults = slices.Concat(r.faults, invalid(q.Interface(), r.faults, r.unit))
	}
	if err := c.Checked(); err != nil {
		return nil, err
	}
	a, err := k.solve(c, q.Interface())
	if err == nil {
		err = c.Checked()
	}
	if err != nil {
		return nil, worded(err, k.schema, c.Unit)
	}
	c.finish(a.notes())
	return a, nil
}

// demoWarning names the fields of the demo shop. The rows of a table mostly have
// the same.
func (c *Call) demoWarning() string {
	if !slices.Equal(c.demo, c.warned) {
		c.warned = slices.Clone(c.demo)
		c.warning = strings.Join(c.demo, ", ") + ": from the built-in demo shop; give your own, or start the service with --shop FILE"
	}
	return c.warning
}

func (c *Call) finish(n *Notes) {
	n.Units = rule.UnitName(c.Unit)
	if len(c.demo) > 0 {
		c.Warn(c.demoWarning())
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
	unreadable := map[string]bool{}
	for _, u := range unread {
		unreadable[u.path] = u.Code != "unknown_field"
	}
	faults := make([]FieldError, 0, len(found))
	for _, f := range found {
		path := pathOf(f.Namespace())
		if !within(path, unreadable) {
			faults = append(faults, FieldError{path: path, Code: codeOf(f.Tag()), Detail: rule.Words(f, unit)})
		}
	}
	return faults
}

// within tells whether a path, or one above it, is in a set.
func within(path string, set map[string]bool) bool {
	for !set[path] {
		i := strings.LastIndexByte(path, '.')
		if i < 0 {
			return false
		}
		path = path[:i]
	}
	return true
}

// pathOf turns a validator's namespace, such as DialRequest.leaves[0].count,
// into a dotted path.
func pathOf(namespace string) string {
	_, path, _ := strings.Cut(namespace, ".")
	steps := strings.Split(strings.NewReplacer("[", ".", "]", "").Replace(path), ".")
	steps = slices.DeleteFunc(steps, func(s string) bool { return 'A' <= s[0] && s[0] <= 'Z' }) // an embedded struct has no name on the wire
	return strings.Join(steps, ".")
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

// Append appends an answer in a form.
func (k *Calculator) Append(dst []byte, a Answer, f Form, v View) ([]byte, error) {
	return f.render(k, a, v, dst)
}

// Render answers one JSON request without HTTP, in one of the forms that the
// calculator offers.
func (k *Calculator) Render(ctx context.Context, s *shop.Shop, build string, body []byte, format string) ([]byte, error) {
	if err := k.Offers(format); err != nil {
		return nil, err
	}
	a, err := k.Ask(ctx, s, build, body, Search{})
	if err != nil {
		return nil, err
	}
	return a.Render(format)
}
