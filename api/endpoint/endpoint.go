// Package endpoint is the core of every calculator: it reads fields from JSON, a query
// or a table, checks them, hands them to the calculator's function, and renders the
// answer or words what is wrong as a problem. It knows neither a server nor any
// calculator.
package endpoint

import (
	"fmt"
	"reflect"

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

// Append appends an answer in a form.
func (k *Calculator) Append(dst []byte, a Answer, f Form, v View) ([]byte, error) {
	return f.render(k, a, v, dst)
}
