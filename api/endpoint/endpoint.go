// Package endpoint is the core of every calculator: it reads fields from JSON, a query
// or a table, checks them, hands them to the calculator's function, and renders the
// answer or words what is wrong as a problem. It knows neither a server nor any
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

// Calculator is an endpoint without HTTP: it takes fields, wherever they come from, and
// returns an answer or an error that can become a problem.
type Calculator struct {
	Path    string       // such as /v1/dial
	Request reflect.Type // a struct of pointers; see schemaOf
	Answer  reflect.Type
	Long    bool // a search, which runs on workers of its own and has events of its progress
	ByPost  bool // takes POST only: a search, or a request that no query can hold
	Many    bool // calls other calculators, which may take some tenths of a second together
	schema  *schema
	encode  encoder // of a pointer to the answer
	forms   []Form  // that it answers in, the default first
	solve   func(*Call, any) (Answer, error)
}

// Answer is what a calculator returns: a pointer to a struct with Notes.
type Answer interface{ notes() *Notes }

// tabular is an answer with a table of its own, a slice of structs.
type tabular interface{ Table() any }

// New makes a calculator of a path and a function.
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

// NewByPost makes a calculator whose request has fields that no query can hold.
func NewByPost[Q any, A Answer](path string, solve func(*Call, *Q) (A, error)) Calculator {
	k := New(path, solve)
	k.ByPost = true
	return k
}

// NewLong makes a calculator whose function searches: see Long.
func NewLong[Q any, A Answer](path string, solve func(*Call, *Q) (A, error)) Calculator {
	k := NewByPost(path, solve)
	k.Long = true
	return k
}

// Call is what a calculator's function knows beside its request.
type Call struct {
	context.Context //nolint:containedctx // a call lives exactly as long as its request

	Shop   *shop.Shop
	Build  string                  // version of the program, as in answers
	ID     string                  // of the request, as in problems
	Allows func(path string) error // refuses calculators that the request's key does not allow; allows all when nil
	Search Search                  // of a long calculation
	Unit   length.Length           // of the request, known once it has been read

	schema   *schema
	faults   faults
	warnings []string
	supplied []supply // fields that the shop supplied
	demo     []string // fields that the demo shop supplied
	warned   []string // demo of the row before, in a table
	warning  string   // the words of the warning about warned
}

// Warn adds a warning to the answer.
func (c *Call) Warn(text string) { c.warnings = append(c.warnings, text) }

// supply is a field whose value comes from the shop, and a pointer to the name of the
// saw, blade or fixing that it belongs to; nil if it is the shop's own.
type supply struct {
	field string
	name  *string
}

// FromShop notes that the value of a field comes from the shop, and a pointer to the
// name of the saw, blade or fixing that it belongs to, if any.
func (c *Call) FromShop(field string, name *string) {
	c.supplied = append(c.supplied, supply{field, name})
	c.FromDemo(field)
}

// given says where a value comes from: the request, or something in the shop.
func (c *Call) given(path string) string {
	for _, s := range c.supplied {
		if s.field == path {
			return "comes from " + c.Shop.NameOf(s.name)
		}
	}
	return "was given"
}

// FromDemo notes that the value of a field comes from the demo shop, if that is the
// shop.
func (c *Call) FromDemo(field string) {
	if c.Shop.Demo {
		c.demo = append(c.demo, field)
	}
}

// Digest identifies a build, shop file and effective request.
func (c *Call) Digest(used any) string {
	h := sha256.New()
	h.Write([]byte(c.Build + "\n"))
	h.Write(c.Shop.Digest())
	h.Write(AppendJSON(nil, used, c.Unit))
	return hex.EncodeToString(h.Sum(nil)[:8])
}

// Show writes a length in the request's unit.
func (c *Call) Show(l length.Length) string { return rule.Show(l, c.Unit) }

// ShowAs writes a length in the unit that a field was given in.
func (c *Call) ShowAs(path string, l length.Length) string { return rule.Show(l, c.unitOf(path)) }

// unitOf is the unit that a field was given in.
func (c *Call) unitOf(path string) length.Length { return c.faults.own.unit(path, c.Unit) }

// Refuse notes a fault that only the calculator can see. Checked returns it.
func (c *Call) Refuse(path, code, detail string) {
	c.faults.add(FieldError{path: path, Code: code, Detail: detail})
}

// RefuseRange notes that a value is out of range.
func (c *Call) RefuseRange(path string, e *fault.OutOfRange) {
	c.Refuse(path, "out_of_range", rangeWords(e, c.unitOf(path), c.given(path)))
}

// Checked returns all faults noted so far as one error, nil if there are none.
func (c *Call) Checked() error {
	if len(c.faults.list) == 0 {
		return nil
	}
	return c.faults.failure(c.schema)
}

// Try asks another calculator to solve a request, as if a client had sent it.
func (c *Call) Try(k Calculator, request any) (Answer, error) {
	other := &Call{Context: c.Context, Shop: c.Shop, Build: c.Build}
	return k.Solve(other, Body(AppendJSON(nil, request, c.Unit)))
}

// Also adds forms to those that every calculator offers.
func (k Calculator) Also(more ...Form) Calculator {
	k.forms = append(k.forms, more...)
	return k
}

// Forms lists the forms that a calculator answers in, the default first.
func (k *Calculator) Forms() []Form { return k.forms }

// Fields is a request that has not been read: a JSON body, the pairs of a query, or
// both a query and tables.
type Fields struct {
	body   []byte
	query  []Pair
	comma  bool // whether the decimal sign of the query and of tables is a comma
	tables []Table
}

// Body returns the fields of a JSON body.
func Body(body []byte) Fields { return Fields{body: body} }

// Query returns the fields of a query, whose decimal sign may be a comma.
func Query(fields []Pair, comma bool) Fields { return Fields{query: fields, comma: comma} }

// InBody reports whether the fields come from a body.
func (f Fields) InBody() bool { return f.body != nil }

// Size is the length of the body in bytes.
func (f Fields) Size() int {
	size := len(f.body)
	for _, t := range f.tables {
		size += len(t.Text)
	}
	return size
}

// Solve answers one request. The call's unit is that of the request even if there is an
// error.
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

// roomSupplied is how many fields the shop supplies at most, in most requests.
const roomSupplied = 8

// solved answers a request that has been read.
func (k *Calculator) solved(c *Call, q reflect.Value, r *reader) (Answer, error) {
	c.Unit, c.warnings, c.schema, c.supplied = r.unit, gathered(r.warnings), k.schema, c.supplied[:0]
	c.faults = r.faults
	if c.supplied == nil {
		c.supplied, c.demo = make([]supply, 0, roomSupplied), make([]string, 0, roomSupplied)
	}
	if k.schema.rules.Count(q.Elem()) > 0 {
		c.faults.check(k.schema, q, r.unit)
	}
	if c.Checked() != nil {
		c.checkNames(q.Interface())
		return nil, c.Checked()
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

// named is a request that names things of the shop.
type named interface {
	// CheckNames refuses names that the shop does not know.
	CheckNames(c *Call)
}

// checkNames adds names that the shop does not know to the faults of a request, but not
// to fields that have one already.
func (c *Call) checkNames(request any) {
	q, ok := request.(named)
	if !ok {
		return
	}
	known := slices.Clone(c.faults.list)
	q.CheckNames(c)
	for i := len(c.faults.list) - 1; i >= len(known); i-- {
		if slices.ContainsFunc(known, func(k FieldError) bool { return k.path == c.faults.list[i].path }) {
			c.faults.list = slices.Delete(c.faults.list, i, i+1)
		}
	}
}

// demoWarning names the fields that the demo shop supplied. Those of a table's row are
// mostly those of the row before.
func (c *Call) demoWarning() string {
	if c.warning == "" || !slices.Equal(c.demo, c.warned) {
		words := strings.ReplaceAll(strings.Join(c.demo, ", "), "_", " ")
		words = strings.ReplaceAll(words, "hold back", "hold-back")
		c.warning = words + ": from the built-in demo shop; give your own, or start the service with --shop FILE"
	}
	return c.warning
}

// Within answers a request that arises within another call, in the same shop and unit,
// with warnings of its own.
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

// Render answers one JSON request without HTTP, in one of the forms that the calculator
// offers.
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
