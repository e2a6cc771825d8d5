package api

import (
	"context"
	"errors"
	"io"
	"math"
	"mime"
	"net/http"
	"os"
	"path"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/cespare/xxhash/v2"
	"github.com/labstack/echo/v4"

	"resawd/api/endpoint"
	"resawd/api/key"
	"resawd/api/sheet"
	"resawd/calc/length"
)

// asked is a request of a calculator that came by HTTP, and how to answer it.
type asked struct {
	*endpoint.Calculator
	endpoint.Fields
	form endpoint.Form
	view endpoint.View // its unit is known when the request is solved
}

// ask reads a request but for its fields. The body's memory is held.
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

// accepted is what a client accepts. Who sends a table and says nothing of the
// answer gets a table.
func accepted(r *http.Request) string {
	accept := r.Header.Get(echo.HeaderAccept)
	if (accept == "" || accept == "*/*") && bodyType(r) == typeCSV {
		return typeCSV
	}
	return accept
}

// controlOf parts the query of a request.
func controlOf(r *http.Request) (endpoint.Control, []endpoint.Pair, error) {
	query, err := endpoint.Pairs(r.URL.RawQuery)
	if err != nil {
		return endpoint.Control{}, nil, endpoint.Fail(endpoint.BadRequest, "%s", err)
	}
	return endpoint.TakeControl(query)
}

// searched is an answer that a search found.
type searched interface {
	Ended() (stoppedBy string, gap float64)
}

// answer solves a request and appends the rendered answer to dst.
func (s *Server) answer(c *endpoint.Call, a *asked, dst []byte) ([]byte, error) {
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
	a.view.Unit = c.Unit
	return a.Append(dst, found, a.form, a.view)
}

// call is what a calculator may know of a request.
func (s *Server) call(c echo.Context) *endpoint.Call {
	call := &endpoint.Call{Context: c.Request().Context(), Shop: s.shop.Load(), Build: s.Build, ID: c.Response().Header().Get(echo.HeaderXRequestID)}
	if k, ok := c.Get(keyHolder).(*key.Key); ok {
		call.Allows = func(path string) error { return lacks(k, roleFor(http.MethodPost, path)) }
	}
	return call
}

// handle wraps a calculator in HTTP.
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
		if err := s.admission.enter(c.Request().Context()); err != nil {
			return err
		}
		buf := buffers.Get()
		defer buffers.Put(buf)
		body, err := s.inSlot(c, a, buf.bytes[:0])
		if err != nil {
			return err
		}
		buf.bytes = body
		memory.release() // the request is done with
		if err := memory.grow(len(body)); err != nil {
			return err
		}
		return send(c, a.form.MediaType, body)
	}
}

// inSlot answers a request in a slot that was taken, and leaves it.
func (s *Server) inSlot(c echo.Context, a *asked, dst []byte) ([]byte, error) {
	defer s.admission.leave()
	return s.answer(s.call(c), a, dst)
}

// buffer holds an answer while it is sent.
type buffer struct{ bytes []byte }

// maxKept is the longest buffer that is kept for another answer.
const maxKept = 64 << 10

// bufferPool keeps buffers between requests.
type bufferPool struct{ pool sync.Pool }

var buffers bufferPool

// Get gives a buffer that nobody else holds.
func (p *bufferPool) Get() *buffer {
	if b, ok := p.pool.Get().(*buffer); ok {
		return b
	}
	return &buffer{make([]byte, 0, 4096)}
}

// Put takes a buffer back when its answer was sent.
func (p *bufferPool) Put(b *buffer) {
	if cap(b.bytes) <= maxKept {
		p.pool.Put(b)
	}
}

// jsonBody reads the body of a POST, whose query may hold control fields only.
func jsonBody(r *http.Request, k *endpoint.Calculator, query []endpoint.Pair, memory *hold) ([]byte, error) {
	if len(query) > 0 {
		return nil, endpoint.Fail(endpoint.BadRequest, "%s stands in the query of a POST: put it into the body; the query takes format, pick, errors and decimal only", endpoint.Clip([]byte(query[0].Name)))
	}
	if err := readable(r); err != nil {
		return nil, err
	}
	if bodyType(r) != echo.MIMEApplicationJSON {
		send := "send application/json, or text/csv for a table"
		if k.ByPost && !k.Long {
			send = "send application/json"
		}
		return nil, endpoint.Fail(endpoint.UnsupportedMedia, "Content-Type is %q: %s", endpoint.Clip([]byte(r.Header.Get(echo.HeaderContentType))), send)
	}
	return wholeBody(r, memory)
}

// tableBody reads the lists of one request as a table; the query holds the rest
// of it.
func tableBody(r *http.Request, query []endpoint.Pair, comma bool, memory *hold) (endpoint.Fields, error) {
	if err := readable(r); err != nil {
		return endpoint.Fields{}, err
	}
	body, err := wholeBody(r, memory)
	return endpoint.Tables(query, comma, endpoint.Table{Text: body}), err
}

func wholeBody(r *http.Request, memory *hold) ([]byte, error) {
	return readAll(r.Body, make([]byte, 0, min(max(r.ContentLength, 0)+1, freeBytes)), memory)
}

// bodyType is the media type of a body.
func bodyType(r *http.Request) string {
	given := r.Header.Get(echo.HeaderContentType)
	if given == echo.MIMEApplicationJSON || given == "" {
		return given
	}
	mediaType, _, _ := mime.ParseMediaType(given)
	return mediaType
}

// readable refuses a body in a coding or in a character set that is not read
// here.
func readable(r *http.Request) error {
	if coding := r.Header.Get(echo.HeaderContentEncoding); coding != "" && !strings.EqualFold(coding, "identity") {
		return endpoint.Fail(endpoint.UnsupportedMedia, "Content-Encoding is %q: send the body as it is", endpoint.Clip([]byte(coding)))
	}
	given := r.Header.Get(echo.HeaderContentType)
	if !strings.Contains(given, ";") {
		return nil
	}
	_, params, _ := mime.ParseMediaType(given)
	if charset := params["charset"]; charset != "" && !strings.EqualFold(charset, "utf-8") && !strings.EqualFold(charset, "us-ascii") {
		return endpoint.Fail(endpoint.UnsupportedMedia, "the charset is %q: send UTF-8", endpoint.Clip([]byte(charset)))
	}
	return nil
}

// readAll reads to the end into a buffer that usually suffices. Its memory is
// held as it grows, so that a body counts for what has come of it.
func readAll(r io.Reader, buf []byte, memory *hold) ([]byte, error) {
	for {
		n, err := r.Read(buf[len(buf):cap(buf)])
		buf = buf[:len(buf)+n]
		if errors.Is(err, io.EOF) {
			return buf, nil
		}
		if err != nil {
			return nil, readError(err)
		}
		if len(buf) == cap(buf) {
			before := cap(buf)
			buf = slices.Grow(buf, before)
			if err := memory.grow(cap(buf)); err != nil {
				return nil, err
			}
		}
	}
}

// readError tells why a body could not be read to its end.
func readError(err error) error {
	if told := new(endpoint.Failure); errors.As(err, &told) {
		return err
	}
	if tooLong := new(http.MaxBytesError); errors.As(err, &tooLong) {
		return endpoint.Fail(endpoint.TooLarge, "the body is longer than the limit of %d bytes", tooLong.Limit)
	}
	if errors.Is(err, os.ErrDeadlineExceeded) {
		return endpoint.Fail(endpoint.TimedOut, "the rest of the body did not come in time")
	}
	return endpoint.Fail(endpoint.BadRequest, "the body broke off before its end")
}

// send answers with a body, compressed for whoever takes that; a GET's carries a
// strong ETag, and needs no body when the caller has the same already.
func send(c echo.Context, mediaType string, body []byte) error {
	if h := c.Response().Header(); h.Get(echo.HeaderContentSecurityPolicy) == "" && (mediaType == sheet.TypeHTML || mediaType == sheet.TypeSVG) {
		h[echo.HeaderContentSecurityPolicy] = sheet.Policy
	}
	if mediaType == sheet.TypeXLSX { // a file, whose name programs ask for
		c.Response().Header().Set(echo.HeaderContentDisposition, `attachment; filename="`+path.Base(c.Path())+`.xlsx"`)
	}
	tag, coded := "", compressible(c.Request(), mediaType, body)
	if c.Request().Method != http.MethodPost {
		c.Response().Header()[echo.HeaderCacheControl] = noCache
		tag = strconv.FormatUint(xxhash.Sum64(body), 36)
		if known := c.Request().Header.Get("If-None-Match"); known != "" && (matches(known, quoted(tag, coded)) || matches(known, quoted(tag, false))) {
			c.Response().Header()["Etag"] = []string{quoted(tag, coded)}
			return c.NoContent(http.StatusNotModified)
		}
	}
	if coded {
		body, coded = compressed(body)
	}
	if coded {
		c.Response().Header().Set(echo.HeaderContentEncoding, "gzip")
	}
	if tag != "" {
		c.Response().Header()["Etag"] = []string{quoted(tag, coded)}
	}
	return c.Blob(http.StatusOK, mediaType, body)
}

// quoted is an entity tag: each coding of an answer has its own.
func quoted(tag string, coded bool) string {
	if coded {
		tag += "-gzip"
	}
	return `"` + tag + `"`
}

// matches tells whether an If-None-Match header names a tag (RFC 9110 section
// 13.1.2: weak comparison).
func matches(header, tag string) bool {
	for header != "" {
		var one string
		one, header, _ = strings.Cut(header, ",")
		if one = strings.TrimSpace(one); one == "*" || strings.TrimPrefix(one, "W/") == tag {
			return true
		}
	}
	return false
}

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
	} else {
		err = sendProblem(c, p)
	}
	if err != nil {
		s.Log.Warn("answer not sent", "id", p.Instance, "error", err.Error())
	}
}

// noted turns an error into a problem, for the answer and for the log.
func (s *Server) noted(err error, c echo.Context) endpoint.Problem {
	p := endpoint.ProblemOf(ofRouter(err))
	p.Instance = c.Response().Header().Get(echo.HeaderXRequestID)
	c.Set(keyProblem, p)
	if p.Status == http.StatusInternalServerError {
		s.Log.Error("internal error", "id", p.Instance, "error", err.Error())
	}
	return p
}

// inCells are the statuses that errors=cell turns into text.
var inCells = map[int]bool{
	http.StatusBadRequest: true, http.StatusUnauthorized: true, http.StatusForbidden: true, http.StatusNotFound: true,
	http.StatusUnprocessableEntity: true, http.StatusTooManyRequests: true, http.StatusServiceUnavailable: true,
}

// cellWanted tells whether a request wants its problems as text, and in which
// form.
func cellWanted(r *http.Request) (endpoint.Form, endpoint.View, bool) {
	query := r.URL.Query()
	if query.Get("errors") != "cell" {
		return endpoint.Form{}, endpoint.View{}, false
	}
	control := endpoint.Control{Format: query.Get("format"), Pick: query.Get("pick"), Decimal: query.Get("decimal")}
	f, err := control.Form(accepted(r), []endpoint.Form{endpoint.JSON, endpoint.CSV, endpoint.Text})
	return f, endpoint.View{Comma: control.Comma()}, err == nil && f.Name != endpoint.JSON.Name
}

// ofRouter makes a problem of what the router finds wrong, and of a client that left.
func ofRouter(err error) error {
	var he *echo.HTTPError
	switch {
	case errors.As(err, &he) && he.Code == http.StatusNotFound:
		return endpoint.Fail(endpoint.NotFound, "no resource has this path")
	case errors.Is(err, context.Canceled): // only whoever asked ends a request before its answer
		return endpoint.ErrGone
	case errors.As(err, &he) && he.Code == http.StatusMethodNotAllowed:
		return endpoint.Fail(endpoint.MethodNotAllowed, "see the Allow header for the methods that this address takes")
	}
	return err
}

func sendProblem(c echo.Context, p endpoint.Problem) error {
	return c.Blob(p.Status, "application/problem+json", append(problemBody(p), '\n'))
}

func problemBody(p endpoint.Problem) []byte { return endpoint.AppendJSON(nil, p, length.Inch) }
