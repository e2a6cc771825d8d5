package endpoint

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"reflect"
	"slices"
	"strings"

	"resawd/api/rule"
	"resawd/api/shop"
	"resawd/calc/fault"
	"resawd/calc/length"
)

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
	h.Write(JSONOf(used, c.Unit))
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
	return k.Solve(other, Body(JSONOf(request, c.Unit)))
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

// namer is a request that names things of the shop.
type namer interface {
	// CheckNames refuses names that the shop does not know.
	CheckNames(c *Call)
}

// checkNames adds names that the shop does not know to the faults of a request, but not
// to fields that have one already.
func (c *Call) checkNames(request any) {
	q, ok := request.(namer)
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

// finish fills in the notes that an answer ends with.
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
