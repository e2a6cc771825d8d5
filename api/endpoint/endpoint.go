// Package endpoint is the core of every calculator: it reads fields, from JSON or
// from a query, checks them, hands them to the calculator's function, and renders
// the answer, or words what is wrong as a problem. It knows no server and no
// calculator.
package endpoint

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"reflect"
	"slices"
	"strings"

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
	Long    bool // a search: on workers of its own, with events of its progress
	ByPost  bool // by POST only: a search, or fields that no query can hold
	schema  *schema
	encode  encoder // of a pointer to the answer
	forms   []Form  // what it answers in, the default first
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
		Path: path, Request: request, Answer: reflect.TypeFor[A]().Elem(), schema: schemaFor(request), encode: encoderFor(reflect.TypeFor[A]()),
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

// NewByPost describes an endpoint whose fields no query can hold.
func NewByPost[Q any, A Answer](path string, solve func(*Call, *Q) (A, error)) Calculator {
	k := New(path, solve)
	k.ByPost = true
	return k
}

// NewLong describes an endpoint whose function searches: see Long.
func NewLong[Q any, A Answer](path string, solve func(*Call, *Q) (A, error)) Calculator {
	k := NewByPost(path, solve)
	k.Long = true
	return k
}

// Call is what a calculator's function knows besides its request.
type Call struct {
	context.Context //nolint:containedctx // a call lives exactly as long as its request

	Shop   *shop.Shop
	Build  string                  // version, as answers tell it
	ID     string                  // of the request, as problems tell it
	Allows func(path string) error // refuses calculators that the request's key does not allow; nil: none is refused
	Pause  func()                  // lets others calculate, between the parts of a calculation that has many; nil: there are none
	Search Search                  // of a long calculation
	Unit   length.Length           // of the request, known when it was read

	schema   *schema
	faults   faults
	warnings []string
	supplied []supply // fields that the shop supplied
	demo     []string // fields that the demo shop supplied
	warned   []string // those of the row before, in a table
	warning  string
}

// Warn adds a warning to the answer.
func (c *Call) Warn(text string) { c.warnings = append(c.warnings, text) }

// supply is a field whose value is the shop's, by the name of the thing that it
// belongs to: a pointer into the shop, nil where it is the shop's own.
type supply struct {
	field string
	name  *string
}

// FromShop notes a field whose value is the shop's, with the name of the saw,
// blade or fixing in the shop that it belongs to, if any.
func (c *Call) FromShop(field string, name *string) {
	c.supplied = append(c.supplied, supply{field, name})
	c.FromDemo(field)
}

// given tells whose a value is: the request's own, or that of something in the
// shop.
func (c *Call) given(path string) string {
	for _, s := range c.supplied {
		if s.field == path {
			return "comes from " + c.Shop.NameOf(s.name)
		}
	}
	return "was given"
}

// FromDemo notes a field whose value is the demo shop's, if it is that shop.
func (c *Call) FromDemo(field string) {
	if c.Shop.Demo {
		c.demo = append(c.demo, field)
	}
}

// Digest is the same for the same build, shop file and effective request.
func (c *Call) Digest(used any) string {
	h := sha256.New()
	h.Write([]byte(c.Build + "\n"))
	h.Write(c.Shop.Digest())
	h.Write(AppendJSON(nil, used, c.Unit))
	return hex.EncodeToString(h.Sum(nil)[:8])
}

// Show tells a length in the request's unit.
func (c *Call) Show(l length.Length) string { return rule.Show(l, c.Unit) }

// ShowAs tells a length in the unit in which a field was given.
func (c *Call) ShowAs(path string, l length.Length) string { return rule.Show(l, c.unitOf(path)) }

// unitOf is the unit in which a field was given.
func (c *Call) unitOf(path string) length.Length { return c.faults.own.unit(path, c.Unit) }

// Refuse notes a fault that only the endpoint can see; Checked gives them.
func (c *Call) Refuse(path, code, detail string) {
	c.faults.add(FieldError{path: path, Code: code, Detail: detail})
}

// RefuseRange notes that a value is out of its range.
func (c *Call) RefuseRange(path string, e *fault.OutOfRange) {
	c.Refuse(path, "out_of_range", rangeWords(e, c.unitOf(path), c.given(path)))
}

// Checked is the error of all faults noted so far.
func (c *Call) Checked() error {
	if len(c.faults.list) == 0 {
		return nil
	}
	return c.faults.failure(c.schema)
}

// Try asks a calculator whether it accepts a request as it stands.
func (c *Call) Try(k Calculator, request any) (Answer, error) {
	other := &Call{Context: c.Context, Shop: c.Shop, Build: c.Build}
	return k.Solve(other, Body(AppendJSON(nil, request, c.Unit)))
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
	body   []byte
	query  []Pair
	comma  bool // the decimal sign of the query and of tables
	tables []Table
}

// Body is the fields of a JSON body.
func Body(body []byte) Fields { return Fields{body: body} }

// Query is the fields of a query, whose decimal sign may be a comma.
func Query(fields []Pair, comma bool) Fields { return Fields{query: fields, comma: comma} }

// InBody tells whether the fields stand in a body.
func (f Fields) InBody() bool { return f.body != nil }

// Size is how many bytes the body has.
func (f Fields) Size() int {
	size := len(f.body)
	for _, t := range f.tables {
		size += len(t.Text)
	}
	return size
}

// Solve answers one request. The unit is that of the request even where there
// is an error.
func (k *Calculator) Solve(c *Call, fields Fields) (Answer, error) {
	q := reflect.New(k.Request)
	r := reader{unit: length.Inch, comma: fields.comma}
	switch {
	case fields.body != nil:
		if err := r.readJSON(k.schema, q.Elem(), fields.body); err != nil {
			return nil, Fail(BadRequest, "%s", err)
		}
	case fields.tables != nil:
		r.readQuery(k.schema, q.Elem(), fields.query)
		where, err := r.readTables(k.schema, q.Elem(), fields.tables)
		if err != nil {
			return nil, err
		}
		a, err := k.solved(c, q, &r)
		return a, where.tell(err)
	default:
		r.faults.query = k.schema
		r.readQuery(k.schema, q.Elem(), fields.query)
	}
	return k.solved(c, q, &r)
}

// roomSupplied is how many fields the shop mostly supplies at most.
const roomSupplied = 8

// solved answers a request that was read.
func (k *Calculator) solved(c *Call, q reflect.Value, r *reader) (Answer, error) {
	c.Unit, c.warnings, c.schema, c.supplied = r.unit, r.warnings, k.schema, c.supplied[:0]
	c.faults = r.faults
	if c.supplied == nil {
		c.supplied, c.demo = make([]supply, 0, roomSupplied), make([]string, 0, roomSupplied)
	}
	if k.schema.rules.Count(q.Elem()) > 0 {
		c.faults.check(k.schema, q, r.unit)
	}
	if err := c.Checked(); err != nil {
		return nil, err
	}
	k.schema.fill(q.Elem(), c.Unit)
	a, err := k.solve(c, q.Interface())
	if err == nil {
		err = c.Checked()
	}
	if err != nil {
		return nil, c.worded(err)
	}
	c.finish(a.notes())
	return a, nil
}

// demoWarning names the fields of the demo shop. The rows of a table mostly have
// the same.
func (c *Call) demoWarning() string {
	if c.warning == "" || !slices.Equal(c.demo, c.warned) {
		words := strings.ReplaceAll(strings.Join(c.demo, ", "), "_", " ")
		words = strings.ReplaceAll(words, "hold back", "hold-back")
		c.warning = words + ": from the built-in demo shop; give your own, or start the service with --shop FILE"
	}
	return c.warning
}

// Within answers a request that another call gives rise to, in the same shop and
// unit, with warnings of its own.
func Within[Q any, A Answer](c *Call, solve func(*Call, *Q) (A, error), q *Q) (A, error) {
	own := &Call{Context: c.Context, Shop: c.Shop, Build: c.Build, Unit: c.Unit, schema: schemaFor(reflect.TypeFor[Q]())}
	own.schema.fill(reflect.ValueOf(q).Elem(), c.Unit)
	a, err := solve(own, q)
	if err == nil {
		err = own.Checked()
	}
	if err == nil {
		own.finish(a.notes())
	}
	return a, err
}

func (c *Call) finish(n *Notes) {
	if n == nil {
		return
	}
	n.Units = rule.UnitName(c.Unit)
	if len(c.demo) > 0 {
		c.Warn(c.demoWarning())
	}
	n.Warnings = c.warnings
	if n.Warnings == nil {
		n.Warnings = []string{}
	}
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
	a, err := k.Ask(ctx, s, build, Body(body), Search{})
	if err != nil {
		return nil, err
	}
	return a.Render(format)
}
