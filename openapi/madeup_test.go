package openapi_test

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"resawd/api"
	"resawd/api/apitest"
	"resawd/api/endpoint"
	"resawd/openapi/internal/spec"
)

// TestMadeUp sends requests that are made from the document alone, right ones
// and wrong ones, by GET, as JSON and as tables, in every form of answer. None is
// answered with a 5xx but that the service is busy; every answer has a status and
// a media type that the document gives, and fits its schema; what is wrong is
// refused; what is right is refused only for a reason. RESAWD_MADE_UP says how
// many.
func TestMadeUp(t *testing.T) {
	count, seed := 2000, uint64(time.Now().UnixNano())
	if testing.Short() {
		count = 500
	}
	if text := os.Getenv("RESAWD_MADE_UP"); text != "" {
		count, _ = strconv.Atoi(text)
	}
	server := madeUpServer(t)
	var all tally
	var clients sync.WaitGroup
	for client := range 2 {
		v := newVisitor(t, server.URL, rand.NewPCG(seed, uint64(client)))
		clients.Go(func() {
			for range count / 2 {
				v.ask()
			}
			all.add(&v.tally)
		})
	}
	clients.Wait()
	t.Logf("seed %d: %d requests, statuses %v", seed, all.asked, all.statuses)
	t.Logf("%d right, of which %d were answered; %d wrong, all refused; %d rows of tables", all.right, all.answered, all.wrong, all.rows)
	t.Logf("the slowest but for plans took %s: %.300s", all.slowest, all.slowestOf)
	t.Logf("the largest answer has %d kB: %.300s", all.largest>>10, all.largestOf)
	if file := os.Getenv("RESAWD_REASONS"); file != "" {
		writeReasons(t, file, all.reasons)
	}
	if all.answered < all.right/3 || all.wrong < count/10 || len(all.reached) < len(v1(document(t)))-1 && count >= 1000 {
		t.Errorf("the requests ask too little: %d operations, %d of %d right ones answered", len(all.reached), all.answered, all.right)
	}
	if all.slowest > 20*time.Second || all.largest > 4<<20 { // the machine may be very busy
		t.Errorf("%s is slow, %d bytes large: %.1000s, %.1000s", all.slowest, all.largest, all.slowestOf, all.largestOf)
	}
}

// FuzzMadeUp does the same for the gate's short time.
func FuzzMadeUp(f *testing.F) {
	for seed := range uint64(20) {
		f.Add(seed)
	}
	server := madeUpServer(f)
	v := newVisitor(f, server.URL, nil)
	f.Fuzz(func(t *testing.T, seed uint64) {
		v.TB, v.maker.Rand = t, rand.New(rand.NewPCG(seed, 0))
		v.ask()
	})
}

func madeUpServer(tb testing.TB) *httptest.Server {
	tb.Helper()
	server := httptest.NewServer(apitest.Server(tb, func(c *api.Config) { c.PlanTimeLimit = 100 * time.Millisecond }))
	tb.Cleanup(server.Close)
	return server
}

// v1 lists the operations that are made up: those with fields.
func v1(doc *spec.Document) map[string]*spec.Operation {
	list := operations(doc)
	maps.DeleteFunc(list, func(name string, op *spec.Operation) bool { return len(op.Parameters) == 0 && op.RequestBody == nil })
	return list
}

// tally is what came of requests.
type tally struct {
	mu                                  sync.Mutex
	asked, right, answered, wrong, rows int
	statuses                            map[int]int
	reached, reasons                    map[string]int
	slowest                             time.Duration
	slowestOf, largestOf                string
	largest                             int
}

func (a *tally) add(b *tally) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.asked, a.right, a.answered, a.wrong, a.rows = a.asked+b.asked, a.right+b.right, a.answered+b.answered, a.wrong+b.wrong, a.rows+b.rows
	if a.statuses == nil {
		a.statuses, a.reached, a.reasons = map[int]int{}, map[string]int{}, map[string]int{}
	}
	for k, n := range b.statuses {
		a.statuses[k] += n
	}
	for k, n := range b.reached {
		a.reached[k] += n
	}
	for k, n := range b.reasons {
		a.reasons[k] += n
	}
	if b.slowest > a.slowest {
		a.slowest, a.slowestOf = b.slowest, b.slowestOf
	}
	if b.largest > a.largest {
		a.largest, a.largestOf = b.largest, b.largestOf
	}
}

// visitor sends requests and looks at what comes back.
type visitor struct {
	testing.TB
	tally
	base       string
	maker      *maker
	names      []string
	operations map[string]*spec.Operation
	fields     map[string]bool // the names of all fields
	schemas    schemas
}

func newVisitor(tb testing.TB, base string, source rand.Source) *visitor {
	tb.Helper()
	doc := document(tb)
	list, fields := v1(doc), map[string]bool{}
	for _, s := range doc.Components.Schemas {
		for _, p := range s.Value.Properties {
			fields[p.Name] = true
		}
	}
	return &visitor{
		TB: tb, base: base, maker: &maker{Rand: rand.New(source), doc: doc}, operations: list, fields: fields, schemas: newSchemas(tb),
		names: slices.Sorted(maps.Keys(list)), tally: tally{statuses: map[int]int{}, reached: map[string]int{}, reasons: map[string]int{}},
	}
}

// ask makes a request, sends it and checks its answer.
func (v *visitor) ask() {
	operation := one(v.maker, v.names)
	op := v.operations[operation]
	m := v.maker.request(operation, op)
	method, _, _ := strings.Cut(operation, " ")
	request, err := http.NewRequest(method, v.base+m.target, strings.NewReader(m.body))
	if err != nil {
		v.Errorf("%s: %v", m.target, err)
		return
	}
	request.Header.Set("Content-Type", m.media)
	began := time.Now()
	answer, err := http.DefaultTransport.RoundTrip(request)
	if err != nil {
		v.Errorf("%s: %v", v.told(m), err)
		return
	}
	body, err := io.ReadAll(answer.Body)
	answer.Body.Close()
	if err != nil {
		v.Errorf("%s: %v", v.told(m), err)
	}
	if took := time.Since(began); took > v.slowest && !strings.HasSuffix(operation, "/plan") {
		v.slowest, v.slowestOf = took, v.told(m)
	}
	v.count(m, answer.StatusCode, len(body))
	for _, fault := range v.faults(m, op, answer, string(body)) {
		v.Errorf("%s: %s\nstatus %d, %.2000s", v.told(m), fault, answer.StatusCode, body)
	}
}

// TestVisitorSees: a visitor finds what is wrong with answers.
func TestVisitorSees(t *testing.T) {
	v := newVisitor(t, "", rand.NewPCG(1, 1))
	const name, problem = "POST /v1/dial", `{"type": "/problems/invalid-fields", "title": "x", "status": 422, "detail": "kerf %s", "instance": "x", "errors": [{"pointer": "/kerf", "detail": "%s", "code": "conflict"}]}`
	for _, c := range []struct {
		made               made
		status             int
		media, body, wants string
	}{
		{made{operation: name, valid: true}, 500, "application/problem+json", "{}", "a fault of the service"},
		{made{operation: name}, 418, "application/problem+json", "{}", "no such status"},
		{made{operation: name}, 200, "image/png", "", "no image/png"},
		{made{operation: name}, 200, "application/json", "{}", "missing propert"},
		{made{operation: name, wrong: true}, 200, "text/plain", "0.95", "let in"},
		{made{operation: name, valid: true}, 400, "application/problem+json", "{}", "it is right"},
		{made{operation: name, valid: true}, 422, "application/problem+json", strings.ReplaceAll(problem, "%s", "will not do"), "no reason"},
		{made{operation: name, valid: true}, 422, "application/problem+json", strings.ReplaceAll(problem, "%s", "must be at most 1 in"), ""},
		{made{operation: name, media: "text/csv", body: "kerf\n1\n2\n"}, 200, "text/csv", "kerf,error\n1,\n", "2 rows were answered with 1"},
		{made{operation: "POST /v1/plan"}, 200, "text/event-stream", ": waiting\n\n", "no end"},
	} {
		answer := &http.Response{StatusCode: c.status, Header: http.Header{"Content-Type": {c.media}}}
		found := fmt.Sprint(v.faults(c.made, v.operations[c.made.operation], answer, c.body))
		if !strings.Contains(found, c.wants) || (c.wants == "") != (found == "[]") {
			t.Errorf("%d %s %s: %s, want %q", c.status, c.media, c.body, found, c.wants)
		}
	}
}

func (v *visitor) told(m made) string {
	return fmt.Sprintf("%.3000s", m.operation+" "+m.target+" "+m.body)
}

func (v *visitor) count(m made, status, size int) {
	v.asked++
	v.statuses[status]++
	v.reached[m.operation]++
	if m.wrong {
		v.wrong++
	}
	if m.valid {
		v.right++
		if status == http.StatusOK {
			v.answered++
		}
	}
	if m.media == "text/csv" {
		v.rows += strings.Count(m.body, "\n") - 1
	}
	if size > v.largest {
		v.largest, v.largestOf = size, v.told(m)
	}
}

// faults tells what is wrong with an answer.
func (v *visitor) faults(m made, op *spec.Operation, answer *http.Response, body string) (list []string) {
	note := func(format string, args ...any) { list = append(list, fmt.Sprintf(format, args...)) }
	status, media := answer.StatusCode, strings.Split(answer.Header.Get("Content-Type"), ";")[0]
	cell := strings.HasPrefix(body, "error: ") || strings.HasPrefix(body, "error\n")
	switch r := op.Responses.At(strconv.Itoa(status)); {
	case status == http.StatusServiceUnavailable && answer.Header.Get("Retry-After") != "":
		return nil
	case status >= 500:
		note("a fault of the service")
	case r == nil:
		note("the document has no such status")
	case r.Ref == "" && r.Content.At(media) == nil:
		note("the document has no %s of this status", media)
	case m.wrong && status < 400 && !cell:
		note("it was let in")
	case m.valid && status != 200 && status != 422 && !strings.Contains(m.target, "pick="):
		note("it is right")
	}
	switch {
	case media == "application/problem+json":
		if err := v.schemas.check(problemSchema, body); err != nil {
			note("%v", err)
		}
		if m.valid && status == http.StatusUnprocessableEntity {
			list = append(list, v.unreasoned(body)...)
		}
	case media == "application/json" && status == 200:
		if err := v.schemas.check(schemaOf(op), body); err != nil {
			note("%v", err)
		}
		if strings.HasSuffix(m.operation, "/batch") {
			list = append(list, v.calls(m.body, body)...)
		}
	case media == "text/csv" && m.media == "text/csv" && !strings.Contains(m.target, "/plan") && !cell:
		if rows, err := csv.NewReader(strings.NewReader(body)).ReadAll(); err != nil || len(rows) != strings.Count(m.body, "\n") {
			note("%d rows were answered with %d, %v", strings.Count(m.body, "\n")-1, len(rows)-1, err)
		}
	case media == "text/event-stream":
		if !strings.Contains(body, "\nevent: result\n") && !strings.Contains(body, "\nevent: problem\n") {
			note("the stream has no end")
		}
	}
	return list
}

// calls looks at each answer in that of a batch.
func (v *visitor) calls(request, answer string) (list []string) {
	var asked struct{ Requests []struct{ Path string } }
	var came struct {
		Answers []struct {
			Status int
			Body   json.RawMessage
		}
	}
	if err := errors.Join(json.Unmarshal([]byte(request), &asked), json.Unmarshal([]byte(answer), &came)); err != nil {
		return []string{err.Error()}
	}
	for i, a := range came.Answers {
		place := problemSchema
		if a.Status == http.StatusOK {
			place = schemaOf(v.operations["POST "+asked.Requests[i].Path])
		}
		if err := v.schemas.check(place, string(a.Body)); err != nil || a.Status >= 500 {
			list = append(list, fmt.Sprintf("answer %d: status %d, %v", i, a.Status, err))
		}
	}
	return list
}

// A refusal of what the document allows tells a number or a name to hold to, or
// which fields do not go together.
var reason = regexp.MustCompile(`[0-9]|must|missing|takes|not both|together|beside|there is no|needs|without|only|is told|already|it has|while|known are|does not fit|no part of the order|stands once`)

var words = regexp.MustCompile(`[a-z_]+`)

// reasoned tells whether a refusal gives a reason: in such words, or by the name of a
// field.
func (v *visitor) reasoned(text string) bool {
	if reason.MatchString(text) {
		return true
	}
	return slices.ContainsFunc(words.FindAllString(text, -1), func(word string) bool { return v.fields[word] || v.fields[word+"s"] })
}

var digits = regexp.MustCompile(`-?[0-9][0-9.,e+-]*`)

// unreasoned finds refusals that give no reason.
func (v *visitor) unreasoned(body string) (list []string) {
	var p endpoint.Problem
	if err := json.Unmarshal([]byte(body), &p); err != nil {
		return []string{err.Error()}
	}
	details := []string{p.Detail}
	for _, e := range p.Errors {
		details = append(details, e.Detail)
	}
	for _, text := range details[min(1, len(details)-1):] {
		v.reasons[digits.ReplaceAllString(text, "N")]++
		if !v.reasoned(text) {
			list = append(list, "no reason: "+text)
		}
	}
	return list
}

// writeReasons writes why right requests were refused, the commonest first.
func writeReasons(t *testing.T, file string, reasons map[string]int) {
	t.Helper()
	var text strings.Builder
	for _, r := range slices.SortedFunc(maps.Keys(reasons), func(a, b string) int { return reasons[b] - reasons[a] }) {
		fmt.Fprintf(&text, "%6d %s\n", reasons[r], r)
	}
	if err := os.WriteFile(file, []byte(text.String()), 0o600); err != nil {
		t.Fatal(err)
	}
}
