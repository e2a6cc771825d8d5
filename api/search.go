package api

import (
	"context"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"
)

// searching is what a long calculation may know of who waits for it. Its zero
// value searches at once.
type searching struct {
	longest   time.Duration      // the longest time limit allowed, 0: the usual one
	timeLimit time.Duration      // in place of the request's, 0: none
	queue     *queue             // where to wait for a worker, nil: no waiting
	waits     func()             // told when the request is good and stands in the queue, if not nil
	progress  func(PlanProgress) // told whenever the search gets better
	took      time.Duration      // how long the search went on
}

// search runs a long calculation within its time limit. The calculation gives
// the best it has when its context ends: where nobody waits in a queue, that is
// the answer; a service has nobody left to give it to.
func (c *call) search(limit time.Duration, work func(context.Context) error) error {
	if c.queue == nil {
		ctx, cancel := context.WithTimeout(c, limit)
		defer cancel()
		return work(ctx)
	}
	leave, err := c.queue.take()
	if err != nil {
		return err
	}
	defer leave()
	within, end := c.queue.until(c)
	defer end()
	if c.waits != nil {
		c.waits()
	}
	done, err := c.queue.turn(within)
	if err != nil {
		return err
	}
	defer done()
	start := time.Now()
	ctx, cancel := context.WithTimeout(within, limit)
	defer cancel()
	err = work(ctx)
	c.took = time.Since(start)
	if cause := context.Cause(within); cause != nil {
		return cause
	}
	return err
}

// afterLimit is what an answer may take beyond its search.
const afterLimit = 10 * time.Second

// handleLong wraps a search in HTTP. Its answer may come later than the server
// allows others: the time to send it counts from when it is there.
func (s *Server) handleLong(k *Calculator) echo.HandlerFunc {
	return func(c echo.Context) error {
		a, err := k.ask(c.Request())
		if err != nil {
			return err
		}
		job := &call{Context: c.Request().Context(), shop: s.Shop, build: s.Build}
		job.longest, job.queue = s.PlanTimeLimit, s.plans
		if a.form.name == formEvents.name {
			return s.stream(c, job, a)
		}
		body, err := s.answer(job, a, nil)
		writeWithin(http.NewResponseController(c.Response()), afterLimit)
		if err != nil {
			return err
		}
		return send(c, a.form.mediaType, body)
	}
}

// writeWithin limits the time until what is written next has been sent. A
// writer that knows no deadlines, as in a test, has none.
func writeWithin(control *http.ResponseController, limit time.Duration) {
	_ = control.SetWriteDeadline(time.Now().Add(limit))
}
