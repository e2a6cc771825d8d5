package api

import (
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"resawd/api/endpoint"
)

// afterLimit is how long sending an answer may take once its search has ended.
const afterLimit = 10 * time.Second

// decoded is the memory of a request that was read, in multiples of its body: at most
// so much is kept while the request waits.
const decoded = 10

// handleLong serves a search over HTTP. Its answer may come later than the server's
// write timeout allows, so the time to send it counts from the end of the search.
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
		body, err := s.searched(job, a)
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

// searched answers a search. What was found took long to find: it is rendered however
// long it must wait for a slot.
func (s *Server) searched(job *endpoint.Call, a *asked) ([]byte, error) {
	found, err := s.solve(job, a)
	if err != nil {
		return nil, err
	}
	s.admission.large.await()
	defer s.admission.large.leave()
	return a.render(nil, found, job)
}

// writeWithin limits the time that sending the next write may take. A writer without
// deadlines, as in a test, has no limit.
func writeWithin(control *http.ResponseController, limit time.Duration) {
	_ = control.SetWriteDeadline(time.Now().Add(limit))
}
