package endpoint

import (
	"context"
	"slices"

	"resawd/api/shop"
)

// Answered is an answer that can be shown in each form that its calculator offers.
type Answered struct {
	*Calculator
	Answer
	call *Call
}

// Ask answers one request without HTTP. When the context ends, a search answers with
// the best it has found.
func (k *Calculator) Ask(ctx context.Context, s *shop.Shop, build string, in Fields, search Search) (*Answered, error) {
	c := &Call{Context: ctx, Shop: s, Build: build, Search: search}
	a, err := k.Solve(c, in)
	if err != nil {
		return nil, k.Located(err, in.InBody())
	}
	return &Answered{k, a, c}, nil
}

// Render shows the answer in a form.
func (a *Answered) Render(format string) ([]byte, error) {
	f, err := Control{Format: format}.Form("", a.atOnce())
	if err != nil {
		return nil, err
	}
	return f.render(a.Calculator, a.Answer, View{Unit: a.call.Unit}, nil)
}

// Offers returns an error if an answer does not come in a form, or only as a stream.
func (k *Calculator) Offers(format string) error {
	_, err := Control{Format: format}.Form("", k.atOnce())
	return err
}

// atOnce lists the forms that are not streams.
func (k *Calculator) atOnce() []Form {
	return slices.DeleteFunc(slices.Clone(k.forms), func(f Form) bool { return f.Stream })
}
