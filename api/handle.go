package api

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"resawd/api/endpoint"
	"resawd/api/key"
)

// asked is a request for a calculator that came over HTTP, and how to answer it.
type asked struct {
	*endpoint.Calculator
	endpoint.Fields
	form endpoint.Form
	view endpoint.View // its unit is not known until the request has been solved
}

// handle serves a calculator over HTTP.
func (s *Server) handle(k *endpoint.Calculator) echo.HandlerFunc {
	return func(c echo.Context) error {
		if bodyType(c.Request()) == typeCSV && !k.ByPost {
			return s.bulk(c, k)
		}
		memory := hold{of: s.admission}
		defer memory.release()
		a, err := s.ask(k, c, &memory)
		if err != nil {
			return err
		}
		line := s.admission.lineOf(a)
		if err := line.enter(c.Request().Context()); err != nil {
			return err
		}
		buf := buffers.Get()
		defer buffers.Put(buf)
		body, err := s.inSlot(line, c, a, buf.bytes[:0])
		if err != nil {
			return err
		}
		buf.bytes = body
		memory.release() // the request is no longer needed
		if err := memory.grow(len(body)); err != nil {
			return err
		}
		return send(c, a.form.MediaType, body)
	}
}

// inSlot answers a request in the slot that its caller has taken, and gives the slot
// back.
func (s *Server) inSlot(line *line, c echo.Context, a *asked, dst []byte) ([]byte, error) {
	defer line.leave()
	call := s.call(c)
	found, err := s.solve(call, a)
	if err != nil {
		return nil, err
	}
	return a.render(dst, found, call)
}

// ask reads the control fields and the body of a request, and chooses the form of the
// answer. The fields themselves are not looked at yet. The memory of the body is charged
// to memory.
func (s *Server) ask(k *endpoint.Calculator, c echo.Context, memory *hold) (*asked, error) {
	r := c.Request()
	control, fields, err := controlOf(r)
	if err != nil {
		return nil, err
	}
	f, err := control.Form(accepted(r), k.Forms())
	if err != nil {
		return nil, err
	}
	a := &asked{k, endpoint.Query(fields, control.Comma()), f, endpoint.View{Comma: control.Comma(), Pick: control.Pick}}
	if r.Method == http.MethodPost {
		r.Body = http.MaxBytesReader(c.Response(), r.Body, s.BodyLimit)
		if bodyType(r) == typeCSV && k.Long {
			a.Fields, err = tableBody(r, fields, control.Comma(), memory)
			return a, err
		}
		body, err := jsonBody(r, k, fields, memory)
		if err != nil {
			return nil, err
		}
		a.Fields = endpoint.Body(body)
	}
	return a, nil
}

// accepted is the Accept header of a request. A client that sends a table and has no
// preference gets a table.
func accepted(r *http.Request) string {
	accept := r.Header.Get(echo.HeaderAccept)
	if (accept == "" || accept == "*/*") && bodyType(r) == typeCSV {
		return typeCSV
	}
	return accept
}

// controlOf splits the query of a request into control fields and the others.
func controlOf(r *http.Request) (endpoint.Control, []endpoint.Pair, error) {
	query, err := endpoint.Pairs(r.URL.RawQuery)
	if err != nil {
		return endpoint.Control{}, nil, endpoint.Fail(endpoint.BadRequest, "%s", err)
	}
	return endpoint.TakeControl(query)
}

// searched is an answer that a search has found.
type searched interface {
	Ended() (stoppedBy string, gap float64)
}

// solve solves a request, and counts what came of it.
func (s *Server) solve(c *endpoint.Call, a *asked) (endpoint.Answer, error) {
	found, err := a.Solve(c, a.Fields)
	if err != nil {
		return nil, a.Located(err, a.InBody())
	}
	if l, ok := found.(interface{ Leaves() int }); ok {
		s.metrics.leaves.Add(float64(l.Leaves()))
	}
	if p, ok := found.(searched); ok {
		stoppedBy, gap := p.Ended()
		s.metrics.planned(stoppedBy, gap, c.Search.Took)
	}
	return found, nil
}

// render appends an answer in its form to dst.
func (a *asked) render(dst []byte, found endpoint.Answer, c *endpoint.Call) ([]byte, error) {
	a.view.Unit = c.Unit
	return a.Append(dst, found, a.form, a.view)
}

// call is what a calculator may know about a request.
func (s *Server) call(c echo.Context) *endpoint.Call {
	call := &endpoint.Call{Context: c.Request().Context(), Shop: s.shop.Load(), Build: s.Build, ID: c.Response().Header().Get(echo.HeaderXRequestID)}
	if k, ok := c.Get(contextKey).(*key.Key); ok {
		call.Allows = func(path string) error { return lacks(k, roleFor(http.MethodPost, path)) }
	}
	return call
}
