package api

import (
	"context"
	"errors"
	"math"
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"resawd/api/endpoint"
	"resawd/api/sheet"
	"resawd/calc/length"
)

// answerError is where every error becomes an answer.
func (s *Server) answerError(err error, c echo.Context) {
	if c.Response().Committed {
		if c.Request().Context().Err() != nil {
			s.noted(endpoint.ErrGone, c)
		}
		return
	}
	p := s.noted(err, c)
	if retry := p.RetryAfter(); retry > 0 {
		c.Response().Header().Set(echo.HeaderRetryAfter, strconv.Itoa(int(math.Ceil(retry.Seconds()))))
	}
	if f, v, ok := cellWanted(c.Request()); ok && inCells[p.Status] {
		err = c.Blob(http.StatusOK, f.MediaType, p.InCell(f, v))
	} else if pageWanted(c.Request()) {
		err = sendProblemPage(c, p)
	} else {
		err = sendProblem(c, p)
	}
	if err != nil {
		s.Log.Warn("answer not sent", "id", p.Instance, "error", err)
	}
}

// noted turns an error into a problem, and keeps it for the log and the metrics.
func (s *Server) noted(err error, c echo.Context) endpoint.Problem {
	p := endpoint.ProblemOf(ofRouter(err, c.Response().Header().Get(echo.HeaderAllow)))
	p.Instance = c.Response().Header().Get(echo.HeaderXRequestID)
	c.Set(contextProblem, p)
	if p.Status == http.StatusInternalServerError {
		s.Log.Error("internal error", "id", p.Instance, "error", err)
	}
	return p
}

// inCells are the statuses that errors=cell turns into text.
var inCells = map[int]bool{
	http.StatusBadRequest: true, http.StatusUnauthorized: true, http.StatusForbidden: true, http.StatusNotFound: true,
	http.StatusUnprocessableEntity: true, http.StatusTooManyRequests: true, http.StatusServiceUnavailable: true,
}

// cellWanted reports whether a request asks for its problems as text, and in which form.
func cellWanted(r *http.Request) (endpoint.Form, endpoint.View, bool) {
	query := r.URL.Query()
	if query.Get("errors") != "cell" {
		return endpoint.Form{}, endpoint.View{}, false
	}
	control := endpoint.Control{Format: query.Get("format"), Pick: query.Get("pick"), Decimal: query.Get("decimal")}
	f, err := control.Form(accepted(r), []endpoint.Form{endpoint.JSON, endpoint.CSV, endpoint.Text})
	return f, endpoint.View{Comma: control.Comma()}, err == nil && f.Name != endpoint.JSON.Name
}

// ofRouter makes a failure of an error of Echo's router, which tells the methods that an
// address allows, or of a context that was canceled.
func ofRouter(err error, allowed string) error {
	var he *echo.HTTPError
	switch {
	case errors.As(err, &he) && he.Code == http.StatusNotFound:
		return endpoint.Fail(endpoint.NotFound, "no resource has this path")
	case errors.Is(err, context.Canceled): // only the client cancels a request before its answer
		return endpoint.ErrGone
	case errors.As(err, &he) && he.Code == http.StatusMethodNotAllowed:
		return endpoint.Fail(endpoint.MethodNotAllowed, "this address takes only %s", allowed)
	}
	return err
}

const problemMedia = "application/problem+json"

func sendProblem(c echo.Context, p endpoint.Problem) error {
	return c.Blob(p.Status, problemMedia, append(problemBody(p), '\n'))
}

// pageWanted reports whether a browser asks for a page: the query says so, and the header
// prefers a page to JSON.
func pageWanted(r *http.Request) bool {
	offers := []endpoint.Form{{Name: "json", MediaType: problemMedia}, {Name: "html", MediaType: sheet.TypeHTML}}
	f, ok := endpoint.Negotiate(accepted(r), offers)
	return ok && f.Name == "html" && r.Method != http.MethodPost && r.URL.Query().Get("format") == "html"
}

// sendProblemPage shows a problem as a page, with a link to the form that asks for the
// same.
func sendProblemPage(c echo.Context, p endpoint.Problem) error {
	page := struct {
		endpoint.Problem
		Faults []string
		Form   string
	}{p, []string{p.Detail}, formOf(c)}
	for i, e := range p.Errors {
		if i == 0 {
			page.Faults = nil
		}
		page.Faults = append(page.Faults, strings.TrimSpace(strings.ReplaceAll(e.Name(), "_", " ")+" "+e.Detail))
	}
	body, err := sheet.Page("fault.html", page)
	if err != nil {
		return err
	}
	describe(c, sheet.TypeHTML)
	return c.Blob(p.Status, sheet.TypeHTML, body)
}

// formOf is the address of the form with the fields of a calculator's request filled in.
func formOf(c echo.Context) string {
	name, ok := strings.CutPrefix(c.Path(), "/v1/")
	if !ok {
		return ""
	}
	query := c.Request().URL.Query()
	for _, control := range []string{"format", "pick", "errors", "decimal", "key"} {
		query.Del(control)
	}
	if name == firstForm {
		return "/?" + query.Encode()
	}
	return "/use/" + strings.ReplaceAll(name, "/", "-") + "?" + query.Encode()
}

func problemBody(p endpoint.Problem) []byte { return endpoint.JSONOf(p, length.Inch) }

// showProblemType explains a type of problem, as plain text or as a page.
func showProblemType(c echo.Context) error {
	for _, t := range endpoint.ProblemTypes {
		if t.Slug != c.Param("type") {
			continue
		}
		offers := []endpoint.Form{{Name: "text", MediaType: endpoint.Text.MediaType}, {Name: "html", MediaType: sheet.TypeHTML}}
		if f, ok := endpoint.Negotiate(c.Request().Header.Get(echo.HeaderAccept), offers); !ok || f.Name == "text" {
			return send(c, endpoint.Text.MediaType, []byte(t.Title+"\n\n"+t.About+"\n"))
		}
		body, err := sheet.Page("problem.html", t)
		if err != nil {
			return err
		}
		return send(c, sheet.TypeHTML, body)
	}
	return echo.ErrNotFound
}
