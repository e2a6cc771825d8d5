package api

import (
	"bufio"
	"context"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/prometheus/client_golang/prometheus"

	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/api/shop"
)

// searchRequest asks for a search that lasts until the test lets it go.
type searchRequest struct {
	calculator.Settings
	Name *string `json:"name,omitzero" validate:"required"`
}

type searchAnswer struct {
	Name string `json:"name"`
	endpoint.Notes
}

// nothing is the name of a search that finds nothing.
const nothing = "nothing"

// searches is a service with a search that the test controls.
type searches struct {
	*Server
	url     string
	started chan string     // the name of each search whose turn it is
	ended   chan string     // and of each whose context ended
	release chan struct{}   // lets one search go
	tell    func(func(any)) // what a search tells before it waits
}

func newSearches(t *testing.T, workers, waiting int, timeout time.Duration) *searches {
	t.Helper()
	demo, err := shop.Demo()
	if err != nil {
		t.Fatal(err)
	}
	s := &searches{started: make(chan string, 10), ended: make(chan string, 10), release: make(chan struct{}), tell: func(func(any)) {}}
	s.Server = New(Config{
		Shop: demo, Build: "test", Log: slog.New(slog.DiscardHandler), Metrics: prometheus.NewRegistry(), BodyLimit: 1 << 20,
		PlanWorkers: workers, PlanQueue: waiting,
	})
	k := endpoint.NewLong("/search", s.solve).Also(formEvents)
	s.echo.POST(k.Path, s.handleLong(&k))
	server := httptest.NewUnstartedServer(s)
	server.Config.ReadTimeout, server.Config.WriteTimeout = timeout, timeout
	server.Start()
	t.Cleanup(server.Close)
	t.Cleanup(s.Drain)
	s.url = server.URL + k.Path
	return s
}

func (s *searches) solve(c *endpoint.Call, q *searchRequest) (*searchAnswer, error) {
	err := c.Search.Run(c, time.Minute, func(ctx context.Context) error {
		s.started <- *q.Name
		if c.Search.Progress != nil {
			s.tell(c.Search.Progress)
		}
		select {
		case <-s.release:
		case <-ctx.Done():
			s.ended <- *q.Name
		}
		if *q.Name == nothing {
			return errors.New("nothing found")
		}
		return nil
	})
	return &searchAnswer{Name: *q.Name}, err
}

// post asks for a search.
func (s *searches) post(ctx context.Context, name, accept string) (*http.Response, error) {
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, s.url, strings.NewReader(`{"name": "`+name+`"}`))
	if err != nil {
		return nil, err
	}
	request.Header.Set("Content-Type", "application/json")
	request.Header.Set("Accept", accept)
	return http.DefaultTransport.RoundTrip(request)
}

// answered is a status, the seconds to wait and a body.
type answered struct {
	status      int
	retry, body string
}

// ask asks for a search in a goroutine of its own; the answer comes on the channel.
func (s *searches) ask(ctx context.Context, name, accept string) <-chan answered {
	to := make(chan answered, 1)
	go func() {
		r, err := s.post(ctx, name, accept)
		if err != nil {
			to <- answered{}
			return
		}
		defer r.Body.Close()
		body, _ := io.ReadAll(r.Body)
		to <- answered{r.StatusCode, r.Header.Get("Retry-After"), string(body)}
	}()
	return to
}

// patience is when a test gives up what has only to come: on a busy machine a
// moment may last long.
const patience = time.Minute

// soon receives, or fails the test after a while.
func soon[T any](t *testing.T, from <-chan T) (v T) {
	t.Helper()
	select {
	case v = <-from:
	case <-time.After(patience):
		t.Fatal("nothing came")
	}
	return v
}

// eventually waits until a condition holds.
func eventually(t *testing.T, what string, is func() bool) {
	t.Helper()
	for began := time.Now(); !is(); time.Sleep(5 * time.Millisecond) {
		if time.Since(began) > patience {
			t.Fatal("it never came to " + what)
		}
	}
}

// measured returns the metrics.
func (s *searches) measured(t *testing.T) string {
	t.Helper()
	answer, err := http.Get(strings.TrimSuffix(s.url, "/search") + "/metrics")
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// TestQueue: one search runs, one waits, and a third is refused at once; then the one
// that waits has its turn.
func TestQueue(t *testing.T) {
	s := newSearches(t, 1, 1, 0)
	first := s.ask(t.Context(), "first", "*/*")
	soon(t, s.started)
	second := s.ask(t.Context(), "second", "*/*")
	eventually(t, "one waiting", func() bool { return s.plans.Waiting() == 1 })
	for _, accept := range []string{"*/*", "text/event-stream"} {
		third := soon(t, s.ask(t.Context(), "third", accept))
		if third.status != http.StatusServiceUnavailable || third.retry != "10" || !strings.Contains(third.body, `"type":"/problems/unavailable"`) {
			t.Errorf("with a full queue: %+v", third)
		}
	}
	if text := s.measured(t); !strings.Contains(text, "resawd_plans_running 1\n") || !strings.Contains(text, "resawd_plans_waiting 1\n") {
		t.Errorf("metrics\n%s", text)
	}
	s.release <- struct{}{}
	if a := soon(t, first); a.status != 200 || !strings.Contains(a.body, `"name":"first"`) {
		t.Errorf("the first: %+v", a)
	}
	if name := soon(t, s.started); name != "second" {
		t.Errorf("after the first comes %s", name)
	}
	s.release <- struct{}{}
	if a := soon(t, second); a.status != 200 {
		t.Errorf("the second: %+v", a)
	}
	eventually(t, "an empty queue", func() bool { return s.plans.Running() == 0 && s.plans.Waiting() == 0 })
}

// TestQueueSparesCalculators: while plans run and wait, a calculator answers.
func TestQueueSparesCalculators(t *testing.T) {
	s := newSearches(t, 1, 1, 0)
	s.ask(t.Context(), "first", "*/*")
	soon(t, s.started)
	answer, err := http.Get(strings.TrimSuffix(s.url, "/search") + "/v1/dial?leaf_thickness=0.05&pick=turns&format=text")
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		t.Errorf("status %d", answer.StatusCode)
	}
}

// TestRefusedBeforeTheQueue: a request that is wrong is refused without a place in the
// queue.
func TestRefusedBeforeTheQueue(t *testing.T) {
	s := newSearches(t, 1, 0, 0)
	s.ask(t.Context(), "first", "*/*")
	soon(t, s.started)
	for _, path := range []string{"/v1/plan", "/search"} {
		answer, err := http.Post(strings.TrimSuffix(s.url, "/search")+path, "application/json", strings.NewReader(`{}`))
		if err != nil {
			t.Fatal(err)
		}
		answer.Body.Close()
		if answer.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%s: status %d", path, answer.StatusCode)
		}
	}
}

// TestClientLeaves: a search ends when its client leaves, and gives its worker
// back; one that waits gives its place back.
func TestClientLeaves(t *testing.T) {
	for _, accept := range []string{"*/*", "text/event-stream"} {
		s := newSearches(t, 1, 1, 0)
		ctx, leave := context.WithCancel(t.Context())
		s.ask(ctx, "first", accept)
		soon(t, s.started)
		waiter, leaveToo := context.WithCancel(t.Context())
		s.ask(waiter, "second", accept)
		eventually(t, "one waiting", func() bool { return s.plans.Waiting() == 1 })
		leaveToo()
		eventually(t, "none waiting", func() bool { return s.plans.Waiting() == 0 })
		leave()
		if name := soon(t, s.ended); name != "first" {
			t.Errorf("%s ended", name)
		}
		eventually(t, "none worked on", func() bool { return s.plans.Running() == 0 })
	}
}

// TestSlowerThanTheServer: a search may last longer than the server's own
// limits for reading and writing.
func TestSlowerThanTheServer(t *testing.T) {
	t.Parallel()
	const timeout = 300 * time.Millisecond
	for _, accept := range []string{"*/*", "text/event-stream"} {
		s := newSearches(t, 1, 1, timeout)
		answer := s.ask(t.Context(), "slow", accept)
		soon(t, s.started)
		time.Sleep(3 * timeout)
		s.release <- struct{}{}
		if a := soon(t, answer); a.status != 200 || !strings.Contains(a.body, `"name":"slow"`) {
			t.Errorf("%s: %+v", accept, a)
		}
	}
}

// TestDrain: when the service stops, a search that runs answers with the best it has.
// Those that have nothing yet, that wait or that come now are told to ask again.
func TestDrain(t *testing.T) {
	s := newSearches(t, 2, 2, 0)
	working := s.ask(t.Context(), "working", "*/*")
	soon(t, s.started)
	poor := s.ask(t.Context(), nothing, "*/*")
	soon(t, s.started)
	waiting := s.ask(t.Context(), "waiting", "*/*")
	streaming := s.ask(t.Context(), "streaming", "text/event-stream")
	eventually(t, "two waiting", func() bool { return s.plans.Waiting() == 2 })
	s.Drain()
	for name, from := range map[string]<-chan answered{"nothing found": poor, "waiting": waiting, "coming": s.ask(t.Context(), "coming", "*/*")} {
		if a := soon(t, from); a.status != http.StatusServiceUnavailable || a.retry != "5" || !strings.Contains(a.body, "the service is stopping") {
			t.Errorf("%s: %+v", name, a)
		}
	}
	if a := soon(t, working); a.status != http.StatusOK || !strings.Contains(a.body, `"name":"working"`) {
		t.Errorf("working: %+v", a)
	}
	a := soon(t, streaming)
	_, last, _ := strings.Cut(a.body, "\n\n")
	if a.status != 200 || !strings.HasPrefix(last, "event: problem\ndata: {\"type\":\"/problems/unavailable\"") {
		t.Errorf("streaming: %+v", a)
	}
	if text := s.measured(t); !strings.Contains(text, `resawd_problems_total{type="/problems/unavailable"} 4`) {
		t.Errorf("metrics\n%s", text)
	}
}

// TestGoneIsCounted: a client that left does not count as a failure of the service.
func TestGoneIsCounted(t *testing.T) {
	s := newSearches(t, 1, 1, 0)
	ctx, leave := context.WithCancel(t.Context())
	s.ask(ctx, "first", "*/*")
	soon(t, s.started)
	leave()
	eventually(t, "a count of 499", func() bool {
		return strings.Contains(s.measured(t), `resawd_http_requests_total{method="POST",route="/search",status="499"} 1`)
	})
	if text := s.measured(t); !strings.Contains(text, `resawd_problems_total{type="/problems/client-gone"} 1`) || strings.Contains(text, `status="503"`) {
		t.Errorf("metrics\n%s", text)
	}
}

// TestEvents: a stream says first that the request waits, then the newest progress each
// time, and at last the answer.
func TestEvents(t *testing.T) {
	s := newSearches(t, 1, 1, 0)
	s.tell = func(tell func(any)) {
		tell(calculator.PlanProgress{Cost: 20_000, LowerBound: 10_000, Gap: 0.5, Seconds: 0.1})
		tell(calculator.PlanProgress{Cost: 12_500, LowerBound: 10_000, Gap: 0.2, Seconds: 0.2})
	}
	answer, err := s.post(t.Context(), "stream", "text/event-stream")
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Type") != "text/event-stream" || answer.Header.Get("Cache-Control") != "no-store" {
		t.Errorf("status %d, %v", answer.StatusCode, answer.Header)
	}
	in := bufio.NewReader(answer.Body)
	read := func() string {
		text := ""
		for line := ""; line != "\n"; text += line {
			if line, err = in.ReadString('\n'); err != nil {
				t.Fatalf("%v after %q", err, text)
			}
		}
		return text
	}
	if got := read(); got != ": waiting for a worker\n\n" {
		t.Errorf("first comes %q", got)
	}
	if got, want := read(), "event: progress\ndata: {\"cost\":1.25,\"lower_bound\":1,\"gap\":0.2,\"seconds\":0.2}\n\n"; got != want {
		t.Errorf("then comes %q, want %q", got, want)
	}
	s.release <- struct{}{}
	if got, want := read(), "event: result\ndata: {\"name\":\"stream\",\"units\":\"in\",\"warnings\":[],\"sources\":[]}\n\n"; got != want {
		t.Errorf("last comes %q, want %q", got, want)
	}
	if rest, err := io.ReadAll(in); len(rest) > 0 || err != nil {
		t.Errorf("then %q, %v", rest, err)
	}
}

// TestEventsOfTheEnd: progress that came too late to be sent in time is sent before the
// last event.
func TestEventsOfTheEnd(t *testing.T) {
	s := newSearches(t, 1, 1, 0)
	s.tell = func(tell func(any)) { tell(calculator.PlanProgress{Cost: 10_000, LowerBound: 10_000}) }
	answer := s.ask(t.Context(), "quick", "text/event-stream")
	soon(t, s.started)
	s.release <- struct{}{}
	got := soon(t, answer).body
	progress, result := strings.Index(got, "event: progress"), strings.Index(got, "event: result")
	if progress < 0 || result < progress || strings.Count(got, "event:") != 2 {
		t.Errorf("%s", got)
	}
}

// TestQuietEvents: a stream without progress sends comments.
func TestQuietEvents(t *testing.T) {
	t.Parallel()
	answer := httptest.NewRecorder()
	e := newEvents(echo.New().NewContext(httptest.NewRequest(http.MethodPost, "/", nil), answer))
	e.quiet = 0
	e.begin()
	time.Sleep(3 * progressEvery)
	e.end()
	if got := answer.Body.String(); strings.Count(got, ": still searching\n\n") < 1 || strings.Contains(got, "event:") {
		t.Errorf("%q", got)
	}
}
