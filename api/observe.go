package api

import (
	"context"
	"encoding/hex"
	"log/slog"
	"math/rand/v2"
	"time"

	"github.com/labstack/echo/v4"

	"resawd/api/endpoint"
	"resawd/api/key"
)

// contextProblem is where the context of a request keeps its problem, for the log and
// the metrics.
const contextProblem = "problem"

// observe gives every request an ID, a line in the log and a place in the metrics.
func (s *Server) observe(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		start := time.Now()
		s.metrics.inFlight.Inc()
		defer s.metrics.inFlight.Dec()
		id := requestID(c.Request().Header.Get(echo.HeaderXRequestID))
		c.Response().Header()[echo.HeaderXRequestID] = []string{id}
		if err := next(c); err != nil {
			c.Error(err)
		}
		s.record(c, id, time.Since(start))
		return nil
	}
}

func (s *Server) record(c echo.Context, id string, took time.Duration) {
	status, route := c.Response().Status, c.Path()
	line := slog.NewRecord(time.Now(), slog.LevelInfo, "request", 0) // no source position, which would be this line every time
	method := methodLabel(c.Request().Method)
	line.AddAttrs(slog.String("id", id), slog.String("method", method), slog.String("route", route))
	if p, ok := c.Get(contextProblem).(endpoint.Problem); ok {
		status = p.Status
		s.metrics.problems.WithLabelValues(p.Type).Inc()
		line.AddAttrs(slog.String("problem", p.Type))
	}
	if k, ok := c.Get(contextKey).(*key.Key); ok {
		line.AddAttrs(slog.String("key", k.Name))
	}
	if from, ok := c.Get(contextAddress).(string); ok {
		line.AddAttrs(slog.String("address", from))
	}
	s.metrics.answered(method, route, status, took)
	line.AddAttrs(slog.Int("status", status), slog.Int64("bytes", c.Response().Size), slog.Float64("seconds", took.Seconds()))
	if h := s.Log.Handler(); h.Enabled(context.Background(), line.Level) {
		_ = h.Handle(context.Background(), line) // a failing log has nowhere to report it
	}
}

// requestID keeps the client's ID if it is short and plain, and otherwise makes one. A key
// in its place is not kept: the log has the ID.
func requestID(given string) string {
	if given != "" && len(given) <= 64 && plain(given) && !key.Looks(given) {
		return given
	}
	var b [8]byte
	n := rand.Uint64() //nolint:gosec // an ID to find a log line by, not a secret
	for i := range b {
		b[i] = byte(n >> (8 * i))
	}
	return hex.EncodeToString(b[:])
}

func plain(text string) bool {
	for _, r := range text {
		switch {
		case 'a' <= r && r <= 'z', 'A' <= r && r <= 'Z', '0' <= r && r <= '9', r == '-', r == '_':
		default:
			return false
		}
	}
	return true
}

// logPanic logs what an answer with status 500 keeps from the client.
func (s *Server) logPanic(c echo.Context, err error, stack []byte) error {
	s.Log.Error("panic", "id", c.Response().Header().Get(echo.HeaderXRequestID), "error", err.Error(), "stack", string(stack))
	return err
}
