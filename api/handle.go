package api

import (
	"errors"
	"io"
	"math"
	"mime"
	"net/http"
	"reflect"
	"strconv"
	"strings"
	"sync"

	"github.com/cespare/xxhash/v2"
	"github.com/labstack/echo/v4"

	"resawd/calc/length"
)

// control is what a query asks beside the fields of the request.
type control struct {
	format, pick, errors, decimal string
}

// takeControl parts the control fields from a query.
func takeControl(query []pair) (ctl control, fields []pair, err error) {
	fields = query[:0]
	for _, p := range query {
		target := ctl.field(p.name)
		switch {
		case target == nil:
			fields = append(fields, p)
		case *target != "":
			return ctl, nil, fail(badRequest, "%s is given more than once", p.name)
		case p.value == "":
			return ctl, nil, fail(badRequest, "%s is empty", p.name)
		default:
			*target = p.value
		}
	}
	err = ctl.check()
	return ctl, fields, err
}

// field is where a control field of a name is kept; nil for any other name.
func (ctl *control) field(name string) *string {
	switch name {
	case "format":
		return &ctl.format
	case "pick":
		return &ctl.pick
	case "errors":
		return &ctl.errors
	case "decimal":
		return &ctl.decimal
	}
	return nil
}

func (ctl *control) check() error {
	if ctl.errors != "" && ctl.errors != "cell" {
		return fail(badRequest, "errors=%s: the only value is cell", clip([]byte(ctl.errors)))
	}
	if ctl.decimal != "" && ctl.decimal != "comma" && ctl.decimal != "point" {
		return fail(badRequest, "decimal=%s: it must be comma or point", clip([]byte(ctl.decimal)))
	}
	return nil
}

// form chooses how to answer.
func (ctl control) form(accept string, offers []form) (form, error) {
	if ctl.format == "" {
		if f, ok := negotiate(accept, offers); ok {
			return f, nil
		}
		return form{}, fail(notAcceptable, "Accept: %s; offered are %s", clip([]byte(accept)), mediaTypes(offers))
	}
	for _, f := range offers {
		if f.name == ctl.format {
			return f, nil
		}
	}
	return form{}, fail(badRequest, "format=%s: it must be one of %s", clip([]byte(ctl.format)), formNames(offers))
}

func formNames(offers []form) string {
	names := make([]string, len(offers))
	for i, f := range offers {
		names[i] = f.name
	}
	return strings.Join(names, ", ")
}

func mediaTypes(offers []form) string {
	names := make([]string, len(offers))
	for i, f := range offers {
		names[i], _, _ = strings.Cut(f.mediaType, ";")
	}
	return strings.Join(names, ", ")
}

// asked is a request of a calculator that came by HTTP, and how to answer it.
type asked struct {
	*Calculator
	Fields
	control
	form form
}

// ask reads a request but for its fields.
func (k *Calculator) ask(r *http.Request) (*asked, error) {
	query, err := pairs(r.URL.RawQuery)
	if err != nil {
		return nil, fail(badRequest, "%s", err)
	}
	ctl, fields, err := takeControl(query)
	if err != nil {
		return nil, err
	}
	f, err := ctl.form(r.Header.Get(echo.HeaderAccept), k.forms)
	if err != nil {
		return nil, err
	}
	in := Fields{query: fields, comma: ctl.decimal == "comma"}
	if r.Method == http.MethodPost {
		if in.body, err = jsonBody(r, fields); err != nil {
			return nil, err
		}
	}
	return &asked{k, in, ctl, f}, nil
}

// answer solves a request and appends the rendered answer to dst.
func (s *Server) answer(job *call, a *asked, dst []byte) ([]byte, error) {
	found, err := a.Solve(job, a.Fields)
	if err != nil {
		return nil, a.located(err, a.body != nil)
	}
	if l, ok := found.(interface{ leaves() int }); ok {
		s.metrics.leaves.Add(float64(l.leaves()))
	}
	if p, ok := found.(*PlanAnswer); ok {
		s.metrics.planned(p, job.took)
	}
	return a.form.render(a.Calculator, found, view{unit: job.unit, comma: a.comma, pick: a.pick}, dst)
}

// handle wraps a calculator in HTTP.
func (s *Server) handle(k *Calculator) echo.HandlerFunc {
	return func(c echo.Context) error {
		a, err := k.ask(c.Request())
		if err != nil {
			return err
		}
		buf := buffers.Get()
		defer buffers.Put(buf)
		body, err := s.answer(&call{Context: c.Request().Context(), shop: s.Shop, build: s.Build}, a, buf.bytes[:0])
		if err != nil {
			return err
		}
		buf.bytes = body
		return send(c, a.form.mediaType, body)
	}
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

// located says where the fields of a failure stood: in the body, by JSON
// Pointer, or in the query, by the query's name.
func (k *Calculator) located(err error, inBody bool) error {
	var f *failure
	if !errors.As(err, &f) {
		return err
	}
	for i, field := range f.fields {
		switch {
		case field.Pointer != "" || field.Parameter != "":
		case inBody:
			f.fields[i].Pointer = pointerOf(field.path)
		default:
			f.fields[i].Parameter = k.schema.key(field.path)
		}
	}
	return f
}

// jsonBody reads the body of a POST, whose query may hold control fields only.
func jsonBody(r *http.Request, query []pair) ([]byte, error) {
	if len(query) > 0 {
		return nil, fail(badRequest, "%s stands in the query of a POST: put it into the body; the query takes format, pick, errors and decimal only", clip([]byte(query[0].name)))
	}
	if given := r.Header.Get(echo.HeaderContentType); given != echo.MIMEApplicationJSON {
		if mediaType, _, _ := mime.ParseMediaType(given); mediaType != echo.MIMEApplicationJSON {
			return nil, fail(unsupportedMedia, "Content-Type is %q: send application/json", clip([]byte(given)))
		}
	}
	size := max(r.ContentLength, 0)
	body := make([]byte, 0, min(size, 1<<20)+1)
	return readAll(r.Body, body)
}

// readAll reads to the end into a buffer that usually suffices.
func readAll(r io.Reader, buf []byte) ([]byte, error) {
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
			buf = append(buf, 0)[:len(buf)]
		}
	}
}

// readError tells a body that is too long from one that broke off.
func readError(err error) error {
	if failureOf(err).slug == tooLarge.slug {
		return err
	}
	return fail(badRequest, "the body broke off before its end")
}

// send answers with a body; a GET's carries a strong ETag, and needs no body
// when the caller has the same already.
func send(c echo.Context, mediaType string, body []byte) error {
	if h := c.Response().Header(); h.Get(echo.HeaderContentSecurityPolicy) == "" && (mediaType == typeHTML || mediaType == typeSVG) {
		h[echo.HeaderContentSecurityPolicy] = pagePolicy
	}
	if c.Request().Method == http.MethodPost {
		return c.Blob(http.StatusOK, mediaType, body)
	}
	tag := `"` + strconv.FormatUint(xxhash.Sum64(body), 36) + `"`
	c.Response().Header()["Etag"] = []string{tag}
	if matches(c.Request().Header.Get("If-None-Match"), tag) {
		return c.NoContent(http.StatusNotModified)
	}
	return c.Blob(http.StatusOK, mediaType, body)
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
		return
	}
	p := s.noted(err, c)
	if p.retry > 0 {
		c.Response().Header().Set(echo.HeaderRetryAfter, strconv.Itoa(int(math.Ceil(p.retry.Seconds()))))
	}
	if f, v, ok := cellWanted(c.Request()); ok && inCells[p.Status] {
		c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
		err = c.Blob(http.StatusOK, f.mediaType, errorsInCells(f, p, v))
	} else {
		err = sendProblem(c, p)
	}
	if err != nil {
		s.Log.Warn("answer not sent", "id", p.Instance, "error", err.Error())
	}
}

// noted turns an error into a problem, for the answer and for the log.
func (s *Server) noted(err error, c echo.Context) Problem {
	p := problemOf(err)
	p.Instance = c.Response().Header().Get(echo.HeaderXRequestID)
	c.Set(keyProblem, p)
	if p.Status == http.StatusInternalServerError {
		s.Log.Error("internal error", "id", p.Instance, "error", err.Error())
	}
	return p
}

// inCells are the statuses that errors=cell turns into text.
var inCells = map[int]bool{http.StatusBadRequest: true, http.StatusNotFound: true, http.StatusUnprocessableEntity: true}

// cellWanted tells whether a request wants its problems as text, and in which
// form.
func cellWanted(r *http.Request) (form, view, bool) {
	query := r.URL.Query()
	if query.Get("errors") != "cell" {
		return form{}, view{}, false
	}
	ctl := control{format: query.Get("format")}
	f, err := ctl.form(r.Header.Get(echo.HeaderAccept), []form{formJSON, formCSV, formText})
	return f, view{comma: query.Get("decimal") == "comma"}, err == nil && f.name != formJSON.name
}

var encodeProblem = encoderOf(reflect.TypeFor[Problem]())

func sendProblem(c echo.Context, p Problem) error {
	body := encodeProblem(nil, reflect.ValueOf(p), length.Inch)
	return c.Blob(p.Status, "application/problem+json", append(body, '\n'))
}
