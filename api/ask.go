package api

import (
	"context"
	"slices"
	"time"

	"resawd/api/shop"
)

// Answered is an answer to show in any of the forms that its calculator offers.
type Answered struct {
	*Calculator
	answer
	call *call
}

// Patience is how whoever asks for a search without HTTP waits for it. Its zero
// value waits as long as the request says.
type Patience struct {
	TimeLimit time.Duration      // in place of the request's, 0: that one
	Progress  func(PlanProgress) // told whenever the search gets better, if not nil
}

// Ask answers one JSON request without HTTP. When the context ends, a search
// answers with the best it has.
func (k *Calculator) Ask(ctx context.Context, s *shop.Shop, build string, body []byte, p Patience) (*Answered, error) {
	c := &call{Context: ctx, shop: s, build: build}
	c.timeLimit, c.progress = p.TimeLimit, p.Progress
	a, err := k.Solve(c, Fields{body: body})
	if err != nil {
		return nil, k.located(err, true)
	}
	return &Answered{k, a, c}, nil
}

// Render gives the answer in a form.
func (a *Answered) Render(format string) ([]byte, error) { return a.show(format, "") }

// Pick gives one value of the answer as text, by its JSON Pointer.
func (a *Answered) Pick(pointer string) (string, error) {
	text, err := a.show(formText.name, pointer)
	return string(text), err
}

func (a *Answered) show(format, pick string) ([]byte, error) {
	f, err := control{format: format}.form("", a.atOnce())
	if err != nil {
		return nil, err
	}
	return f.render(a.Calculator, a.answer, view{unit: a.call.unit, pick: pick}, nil)
}

// Offers tells whether an answer comes in a form, other than as a stream.
func (k *Calculator) Offers(format string) error {
	_, err := control{format: format}.form("", k.atOnce())
	return err
}

// atOnce lists the forms that are not streams.
func (k *Calculator) atOnce() []form {
	return slices.DeleteFunc(slices.Clone(k.forms), func(f form) bool { return f.name == formEvents.name })
}
