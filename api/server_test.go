package api_test

import (
	"log/slog"
	"testing"

	"github.com/prometheus/client_golang/prometheus"

	"resawd/api"
	"resawd/api/shop"
)

// newServer makes a server with the demo shop and no log.
func newServer(tb testing.TB) *api.Server {
	tb.Helper()
	demo, err := shop.Demo()
	if err != nil {
		tb.Fatal(err)
	}
	return api.New(api.Config{
		Shop: demo, Build: "test", Log: slog.New(slog.DiscardHandler), Metrics: prometheus.NewRegistry(), BodyLimit: 1 << 20,
	})
}
