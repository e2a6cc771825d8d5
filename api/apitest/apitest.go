// Package apitest makes servers for tests.
package apitest

import (
	"log/slog"
	"testing"

	"github.com/prometheus/client_golang/prometheus"

	"resawd/api"
	"resawd/api/shop"
)

// Server makes a server with the demo shop and no log. Each function may change its
// configuration.
func Server(tb testing.TB, change ...func(*api.Config)) *api.Server {
	tb.Helper()
	demo, err := shop.Demo()
	if err != nil {
		tb.Fatal(err)
	}
	config := api.Config{
		Shop: demo, Build: "test", Log: slog.New(slog.DiscardHandler), Metrics: prometheus.NewRegistry(), BodyLimit: 1 << 20,
	}
	for _, f := range change {
		f(&config)
	}
	return api.New(config)
}
