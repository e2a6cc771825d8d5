package endpoint

import (
	"strings"
)

// Control is the control fields: what a query asks for beside the fields of the
// request.
type Control struct {
	Format, Pick, Errors, Decimal string
}

// TakeControl splits a query into control fields and fields of the request.
func TakeControl(query []Pair) (ctl Control, fields []Pair, err error) {
	fields = query[:0]
	for _, p := range query {
		target := ctl.field(p.Name)
		switch {
		case target == nil:
			fields = append(fields, p)
		case *target != "":
			return ctl, nil, Fail(BadRequest, "%s is given more than once", p.Name)
		case p.Value == "":
			return ctl, nil, Fail(BadRequest, "%s is empty", p.Name)
		default:
			*target = p.Value
		}
	}
	err = ctl.check()
	return ctl, fields, err
}

// Comma reports whether the decimal sign is a comma.
func (ctl *Control) Comma() bool { return ctl.Decimal == "comma" }

// field is where a control field is kept, nil if there is none of that name.
func (ctl *Control) field(name string) *string {
	switch name {
	case "format":
		return &ctl.Format
	case "pick":
		return &ctl.Pick
	case "errors":
		return &ctl.Errors
	case "decimal":
		return &ctl.Decimal
	}
	return nil
}

func (ctl *Control) check() error {
	if ctl.Errors != "" && ctl.Errors != "cell" {
		return Fail(BadRequest, "errors=%s: the only value is cell", Clip([]byte(ctl.Errors)))
	}
	if ctl.Decimal != "" && ctl.Decimal != "comma" && ctl.Decimal != "point" {
		return Fail(BadRequest, "decimal=%s: it must be comma or point", Clip([]byte(ctl.Decimal)))
	}
	return nil
}

// picks are the forms that can show one value; every other form shows the whole answer.
var picks = []Form{Text, CSV}

// Form chooses the form of the answer.
func (ctl Control) Form(accept string, offers []Form) (Form, error) {
	if ctl.Pick != "" {
		if ctl.Format != "" && ctl.Format != Text.Name && ctl.Format != CSV.Name {
			return Form{}, Fail(BadRequest, "pick=%s does not go with format=%s, which shows the whole answer: use text or csv", Clip([]byte(ctl.Pick)), Clip([]byte(ctl.Format)))
		}
		offers = picks
	}
	if ctl.Format == "" {
		if f, ok := Negotiate(accept, offers); ok {
			return f, nil
		}
		return Form{}, Fail(NotAcceptable, "Accept: %s; this answer comes as %s", Clip([]byte(accept)), mediaTypes(offers))
	}
	for _, f := range offers {
		if f.Name == ctl.Format {
			return f, nil
		}
	}
	return Form{}, Fail(BadRequest, "format=%s: it must be one of %s", Clip([]byte(ctl.Format)), formNames(offers))
}

func formNames(offers []Form) string {
	names := make([]string, len(offers))
	for i, f := range offers {
		names[i] = f.Name
	}
	return strings.Join(names, ", ")
}

func mediaTypes(offers []Form) string {
	names := make([]string, len(offers))
	for i, f := range offers {
		names[i], _, _ = strings.Cut(f.MediaType, ";")
	}
	return strings.Join(names, ", ")
}
