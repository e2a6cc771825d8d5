package api_test

import (
	"strings"
	"testing"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/testutil/promlint"

	"resawd/api"
	"resawd/api/apitest"
)

// TestMetricNames: the linter of Prometheus finds nothing wrong with the names, the help
// and the types of the service's own metrics.
func TestMetricNames(t *testing.T) {
	registry := prometheus.NewRegistry()
	server := apitest.Server(t, func(c *api.Config) { c.Metrics = registry })
	get(server, "/v1/dial?leaf_thickness=0.05")
	post(server, "/v1/plan", `{"boards": [{"thickness": 0.5}], "parts": [{"thickness": 0.05, "quantity": 1}], "kerf": 0.05}`)
	server.Reloaded("shop", nil)
	families, err := registry.Gather()
	if err != nil {
		t.Fatal(err)
	}
	own := 0
	for _, f := range families {
		if strings.HasPrefix(f.GetName(), "resawd_") {
			own++
		}
	}
	if own < 14 {
		t.Errorf("only %d metrics", own)
	}
	found, err := promlint.NewWithMetricFamilies(families).Lint()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range found {
		if strings.HasPrefix(p.Metric, "resawd_") {
			t.Errorf("%s: %s", p.Metric, p.Text)
		}
	}
}
