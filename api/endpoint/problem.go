package endpoint

import (
	"cmp"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"
	"unicode"

	"resawd/api/rule"
	"resawd/calc/fault"
	"resawd/calc/feed"
	"resawd/calc/length"
	"resawd/calc/price"
)

// Problem is the body of every answer with a status of 400 and above, as RFC
// 9457 defines it.
type Problem struct {
	// Path of a page that explains this type of problem
	Type string `json:"type"`
	// The type in words
	Title string `json:"title"`
	// The HTTP status
	Status int `json:"status"`
	// What is wrong this time
	Detail string `json:"detail"`
	// The request ID, as in the logs
	Instance string `json:"instance"`
	// An entry for each wrong field
	Errors []FieldError `json:"errors"`

	retry time.Duration
}

// FieldError says what is wrong with one field.
type FieldError struct {
	// JSON Pointer into the body
	Pointer string `json:"pointer,omitzero"`
	// Name of the query field, or of a table's column; the detail then names the row
	Parameter string `json:"parameter,omitzero"`
	// What is wrong, with the limit and the value given
	Detail string `json:"detail"`
	// Kind of fault, which stays the same from version to version
	Code string `json:"code" enums:"unknown_field,duplicate_field,wrong_type,not_a_length,required,out_of_range,unknown_name,conflict,no_solution,more"`

	path   string // dotted, as in JSON
	called string // what people call the field, if it is not what the path says
}

// Name is what people call the field, with the entries of lists counted from one.
func (e *FieldError) Name() string {
	return cmp.Or(e.called, counted(cmp.Or(e.Parameter, e.path)))
}

// text says of a field what is wrong with it.
func (e *FieldError) text(joint string) string {
	return strings.TrimPrefix(e.Name()+joint, joint) + e.Detail
}

// ProblemType is a kind of problem and the page that explains it.
type ProblemType struct {
	Slug, Title string
	Status      int
	About       string
}

// Path is where the type is explained.
func (t ProblemType) Path() string { return "/problems/" + t.Slug }

// The types of problem. Each has a page under /problems/.
var (
	BadRequest = ProblemType{"bad-request", "The request cannot be read", http.StatusBadRequest,
		"The body is not a JSON object, the query is malformed, or a field is unknown, given twice or of the wrong type. Fields that could be read were checked as well, and all that is wrong is listed under errors."}
	InvalidFields = ProblemType{"invalid-fields", "Some fields are missing or not possible", http.StatusUnprocessableEntity,
		"The request was read, but a field is missing, outside its limits, contradicts another, or names a saw, blade or fixing that the shop file does not have. Each entry under errors names the field, the limit and the value given."}
	NoSolution = ProblemType{"no-solution", "What is asked for cannot be cut", http.StatusUnprocessableEntity,
		"Each field is possible by itself, but together they leave nothing to do: a leaf thicker than the board, a screw shorter than one advance. The detail says by how much, and what would do."}
	NotFound = ProblemType{"not-found", "There is nothing at this address", http.StatusNotFound,
		"No resource has this path. The start page and the API documentation at /docs list those that exist."}
	MethodNotAllowed = ProblemType{"method-not-allowed", "This address does not take that method", http.StatusMethodNotAllowed,
		"The Allow header of the answer lists the methods that this address takes."}
	NotAcceptable = ProblemType{"not-acceptable", "The answer does not come in that form", http.StatusNotAcceptable,
		"None of the media types in the Accept header is offered here. The detail lists those that are; format in the query overrides the header."}
	TooLarge = ProblemType{"too-large", "The body is too large", http.StatusRequestEntityTooLarge,
		"A JSON body has a limit, which the detail states."}
	UnsupportedMedia = ProblemType{"unsupported-media-type", "This type of body is not accepted", http.StatusUnsupportedMediaType,
		"A calculator reads a body of type application/json, in UTF-8 and without a Content-Encoding; or a table of type text/csv. Its fields can also be sent in the query of a GET."}
	Unauthorized = ProblemType{"unauthorized", "A key is needed", http.StatusUnauthorized,
		"The request has no key, or none that this service knows. Send a key in the header Authorization: Bearer KEY or, where the service allows it, in the query field key."}
	Forbidden = ProblemType{"forbidden", "This key does not allow that", http.StatusForbidden,
		"The key is known, but it is not for this address or for what was asked of it."}
	TimedOut = ProblemType{"timed-out", "The request came too slowly", http.StatusRequestTimeout,
		"A body must arrive within a time limit, and some of a table every half minute. Send it again; a client that sends a table must read the answer while it sends."}
	TooMany = ProblemType{"too-many-requests", "Too many requests", http.StatusTooManyRequests,
		"This client sends more requests than it may. The Retry-After header of the answer says after how many seconds to ask again."}
	Unavailable = ProblemType{"unavailable", "The service cannot take this on now", http.StatusServiceUnavailable,
		"The service works on as many requests as it can and lets no more wait, or it is stopping. The Retry-After header of the answer says after how many seconds to ask again. Plans have workers of their own: calculators still answer when these are busy."}
	InternalError = ProblemType{"internal-error", "Something went wrong on our side", http.StatusInternalServerError,
		"The fault is in the service, not in the request. Its log has more under the request ID in instance."}
)

// ProblemTypes lists the types of problem that have a page.
var ProblemTypes = []ProblemType{
	BadRequest, InvalidFields, NoSolution, NotFound, MethodNotAllowed, NotAcceptable, TooLarge, UnsupportedMedia, Unauthorized, Forbidden, TimedOut, TooMany, Unavailable, InternalError,
}

// ClientGone is the type that the log and the metrics have when nobody is left to be
// answered. There is no standard status for that; 499 is a common choice.
var ClientGone = ProblemType{"client-gone", "The client left", 499, ""}

// Failure is an error that is already a problem.
type Failure struct {
	ProblemType
	detail string // unless a single field is wrong
	fields []FieldError
	retry  time.Duration // when to ask again, 0 if nobody knows
}

// Error lists all that is wrong, a line for each field.
func (f *Failure) Error() string {
	lines := []string{f.told()}
	if len(f.fields) > 1 {
		for i := range f.fields {
			lines = append(lines, "  "+f.fields[i].text(" "))
		}
	}
	return strings.Join(lines, "\n")
}

// told says in a sentence what is wrong.
func (f *Failure) told() string {
	if len(f.fields) == 1 {
		return f.fields[0].text(" ")
	}
	return f.detail
}

// Fail makes a failure of a type.
func Fail(t ProblemType, format string, args ...any) *Failure {
	return &Failure{ProblemType: t, detail: fmt.Sprintf(format, args...)}
}

// Again sets the time after which to ask again.
func (f *Failure) Again(after time.Duration) *Failure {
	f.retry = after
	return f
}

// refuse makes a failure of one fault.
func refuse(s *schema, fault FieldError) *Failure {
	return (&faults{list: []FieldError{fault}}).failure(s)
}

// worded turns an error of a calculation into a failure that names the field on the
// wire. Other errors it returns as they are.
func (c *Call) worded(err error) error {
	s := c.schema
	var out *fault.OutOfRange
	var none *fault.NoSolution
	var at *placed
	var in *fault.Entry
	place := ""
	if errors.As(err, &at) {
		place = at.place
	}
	if errors.As(err, &in) {
		place += in.List + "." + strconv.Itoa(in.Index) + "."
	}
	switch {
	case errors.As(err, &out):
		path := s.field(place + out.Quantity)
		return refuse(s, FieldError{path: path, Code: "out_of_range", Detail: rangeWords(out, c.unitOf(path), c.given(path))})
	case errors.As(err, &none):
		path := s.field(place + none.Quantity)
		unit := c.unitOf(path)
		detail := fmt.Sprintf("is %s: %s is needed %s", rule.Show(none.Value, unit), rule.Show(none.Needed, unit), none.Why)
		if more, ok := more(none, unit); ok {
			detail += ", " + more
		}
		if given := c.given(path); given != "was given" {
			detail += "; " + rule.Show(none.Value, unit) + " " + given
		}
		f := refuse(s, FieldError{path: path, Code: "no_solution", Detail: detail})
		f.ProblemType = NoSolution
		return f
	}
	return err
}

// rangeWords says what a value must be, what it is, and where it comes from.
func rangeWords(e *fault.OutOfRange, unit length.Length, given string) string {
	return limits(e, unit) + "; " + tell(e.Quantity, e.Value, unit) + " " + given
}

// limits says what a value must be, and why if that is not plain.
func limits(e *fault.OutOfRange, unit length.Length) string {
	low, high := tell(e.Quantity, e.Low, unit), tell(e.Quantity, e.High, unit)
	text := "must be at least " + low + " and at most " + high
	switch {
	case e.Open:
		text = "must be above " + low + " and at most " + high
	case e.Low == e.High:
		text = "must be " + low
	}
	if e.Why != "" {
		text += ", " + e.Why
	}
	return text
}

// tell writes a value of a fault as the wire does.
func tell(quantity string, value any, unit length.Length) string {
	switch v := value.(type) {
	case price.Money:
		return Money(v).Tell(unit)
	case feed.Speed:
		return Feed(v).Tell(unit)
	case feed.BladeSpeed:
		return BladeSpeed(v).Tell(unit)
	case float64:
		if strings.HasSuffix(quantity, "area") { // calculations count in square millimetres
			return Area(v).Tell(unit)
		}
	}
	return rule.Show(value, unit)
}

// more says how far a length is from the one needed.
func more(e *fault.NoSolution, unit length.Length) (string, bool) {
	value, isLength := e.Value.(length.Length)
	needed, both := e.Needed.(length.Length)
	if !isLength || !both {
		return "", false
	}
	if needed < value {
		return rule.Show(value-needed, unit) + " less", true
	}
	return rule.Show(needed-value, unit) + " more", true
}

// At wraps an error about part of a request, whose quantities stand at a place such as
// "leaves.2.".
func At(place string, err error) error { return &placed{place, err} }

// placed is an error about part of a request.
type placed struct {
	place string // such as "leaves.2."
	err   error
}

func (e *placed) Error() string { return e.place + e.err.Error() }

func (e *placed) Unwrap() error { return e.err }

// RetryAfter is the time after which to ask again, 0 if nobody knows.
func (p Problem) RetryAfter() time.Duration { return p.retry }

// ProblemOf turns any error into the problem that is sent. An error that is not a
// failure becomes an internal error that gives nothing away.
func ProblemOf(err error) Problem {
	f := Fail(InternalError, "the log has more under the request ID")
	errors.As(err, &f)
	return Problem{
		Type: f.Path(), Title: f.Title, Status: f.Status, Detail: f.told(),
		Errors: append([]FieldError{}, f.fields...), retry: f.retry,
	}
}

// Located sets where the fields of a failure stand: in the body, as a JSON Pointer, or
// in the query, as the name that the query has for them.
func (k *Calculator) Located(err error, inBody bool) error {
	var f *Failure
	if !errors.As(err, &f) {
		return err
	}
	for i, field := range f.fields {
		switch {
		case field.Pointer != "" || field.Parameter != "" || field.Code == moreFaults:
		case inBody:
			f.fields[i].Pointer = pointerOf(field.path)
		default:
			f.fields[i].Parameter = k.schema.key(field.path)
		}
	}
	return f
}

// pointerOf is the JSON Pointer (RFC 6901) of a dotted path of known names.
func pointerOf(path string) string { return "/" + strings.ReplaceAll(path, ".", "/") }

// escapePointer makes a token of a JSON Pointer of any name.
func escapePointer(name string) string {
	return strings.NewReplacer("~", "~0", "/", "~1").Replace(name)
}

// How much of a problem a cell shows: spreadsheets show little more.
const (
	maxCellFaults = 5
	maxCellText   = 2000
)

// inCell words a problem for the cell of a spreadsheet.
func (p Problem) inCell() string { return "error: " + p.summary() }

// summary says in one line what is wrong.
func (p Problem) summary() string {
	if len(p.Errors) == 0 {
		return oneLine(p.Detail)
	}
	var parts []string
	for i := range p.Errors {
		if i == maxCellFaults {
			parts = append(parts, strconv.Itoa(len(p.Errors)-i)+" more")
			break
		}
		parts = append(parts, p.Errors[i].text(": "))
	}
	text := oneLine(strings.Join(parts, "; "))
	if len(text) > maxCellText {
		text = strings.ToValidUTF8(text[:maxCellText], "") + "…"
	}
	return text
}

// oneLine puts a text on one line: it replaces what would break the line by spaces.
func oneLine(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' {
			return ' '
		}
		return r
	}, text)
}
