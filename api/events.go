package api

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"sync"
	"time"

	"github.com/labstack/echo/v4"

	"resawd/api/endpoint"
	"resawd/calc/length"
)

// formEvents is the progress of a search as server-sent events, the last of which is
// the answer as JSON.
var formEvents = endpoint.JSON.Streamed("events", "text/event-stream")

// How often a stream sends something, and how long a client may take over it.
const (
	progressEvery = 250 * time.Millisecond // progress, at most
	commentEvery  = 15 * time.Second       // anything, at least
	writeEvent    = 30 * time.Second       // how long a client may take to read an event
)

// stream answers a search with events. A request that is wrong, or that finds the queue
// full, gets a problem like any other. Once the search has a place the stream has
// begun, and its last event says how the search ended.
func (s *Server) stream(c echo.Context, job *endpoint.Call, a *asked) error {
	e := newEvents(c)
	defer e.end()
	job.Search.Waits = e.begin
	job.Search.Progress = e.note
	ctx, cancel := context.WithCancel(job)
	defer cancel()
	job.Context, e.broken = ctx, cancel
	body, err := s.searched(job, a)
	if !e.begun {
		return err
	}
	e.finish()
	if err != nil {
		return e.send("problem", problemBody(s.noted(err, c)))
	}
	return e.send("result", bytes.TrimSpace(body))
}

// events is one stream. The search notes its progress; a goroutine of the stream writes
// the newest of it, so that a slow client does not slow the search.
type events struct {
	response *echo.Response
	control  *http.ResponseController
	begun    bool
	broken   func()        // called when the client cannot be written to
	quiet    time.Duration // the longest time without anything sent
	stop     chan struct{}
	once     sync.Once // stop is closed once
	writer   sync.WaitGroup

	mu     sync.Mutex
	newest any // progress that has not been written yet
}

func newEvents(c echo.Context) *events {
	return &events{response: c.Response(), control: http.NewResponseController(c.Response()), quiet: commentEvery, stop: make(chan struct{})}
}

// begin sends the header and starts the goroutine that writes.
func (e *events) begin() {
	e.begun = true
	h := e.response.Header()
	h.Set(echo.HeaderContentType, formEvents.MediaType)
	h.Set(echo.HeaderCacheControl, "no-store")
	e.response.WriteHeader(http.StatusOK)
	if err := e.write(": waiting for a worker\n\n"); err != nil {
		e.broken()
	}
	e.writer.Go(e.run)
}

// run writes the newest progress, or a comment if there has been none for a while.
func (e *events) run() {
	tick := time.NewTicker(progressEvery)
	defer tick.Stop()
	last := time.Now()
	for {
		select {
		case <-e.stop:
			return
		case <-tick.C:
		}
		var err error
		switch p := e.take(); {
		case p != nil:
			err, last = e.sendProgress(p), time.Now()
		case time.Since(last) >= e.quiet:
			err, last = e.write(": still searching\n\n"), time.Now()
		}
		if err != nil {
			e.broken()
			return
		}
	}
}

// end stops the goroutine. It may be called more than once.
func (e *events) end() {
	e.once.Do(func() { close(e.stop) })
	e.writer.Wait()
}

// finish stops the goroutine and writes the progress that it had not got to.
func (e *events) finish() {
	e.end()
	if p := e.take(); p != nil {
		_ = e.sendProgress(p) // if it fails, so does the last event, which is logged
	}
}

// note keeps the newest progress for the goroutine that writes.
func (e *events) note(progress any) {
	e.mu.Lock()
	e.newest = progress
	e.mu.Unlock()
}

func (e *events) take() any {
	e.mu.Lock()
	defer e.mu.Unlock()
	p := e.newest
	e.newest = nil
	return p
}

func (e *events) sendProgress(progress any) error {
	return e.send("progress", endpoint.JSONOf(progress, length.Inch))
}

// send writes one event, whose data is one line of JSON.
func (e *events) send(name string, data []byte) error {
	return e.write(fmt.Sprintf("event: %s\ndata: %s\n\n", name, data))
}

func (e *events) write(text string) error {
	writeWithin(e.control, writeEvent)
	if _, err := e.response.Write([]byte(text)); err != nil {
		return err
	}
	return e.control.Flush()
}
