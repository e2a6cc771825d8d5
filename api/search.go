package api

import (
	"net/http"
	"time"

	"resawd/api/endpoint"

	"github.com/labstack/echo/v4"
)

// afterLimit is what an answer may take beyond its search.
const afterLimit = 10 * time.Second

// decoded is how many times its body a request takes, at the most, once it is
// read: it is kept while it waits.
const decoded = 10

// handleLong wraps a search in HTTP. Its answer may come later than the server
// allows others: the time to send it counts from when it is there.
func (s *Server) handleLong(k *endpoint.Calculator) echo.HandlerFunc {
	return func(c echo.Context) error {
		memory := hold{of: s.admission}
		defer memory.release()
		a, err := s.ask(k, c, &memory)
		if err != nil {
			return err
		}
		if err := memory.grow(decoded * a.Size()); err != nil {
			return err
		}
		job := s.call(c)
		job.Search.LongestLimit, job.Search.Queue = s.PlanTimeLimit, s.plans
		if a.form.Stream {
			return s.stream(c, job, a)
		}
		body, err := s.answer(job, a, nil)
		writeWithin(http.NewResponseController(c.Response()), afterLimit)
		if err != nil {
			return err
		}
		memory.release()
		if err := memory.grow(len(body)); err != nil {
			return err
		}
		return send(c, a.form.MediaType, body)
	}
}

// writeWithin limits the time until what is written next has been sent. A
// writer that knows no deadlines, as in a test, has none.
func writeWithin(control *http.ResponseController, limit time.Duration) {
	_ = control.SetWriteDeadline(time.Now().Add(limit))
}
