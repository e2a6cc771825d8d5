package calculator_test

import (
	"net/http/httptest"
	"strings"
	"testing"

	"resawd/api/apitest"
)

// TestMeasuredKerf: the set-up says when a kerf of the shop's was measured, and how
// much the blade had sawn by then. It says nothing of the kind about a kerf of the
// request.
func TestMeasuredKerf(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	const board = `"board": {"thickness": 1, "width": 4, "length": 24}, "leaves": [{"thickness": 0.05, "count": 2}], "blade": "half-inch-fine"`
	for extra, want := range map[string]string{
		"": "a kerf of 0.043 in, as measured on 2026-03-14, when the blade had sawn 12000 sq in; it shrinks as the set wears; a blade that",
		`, "kerf": 0.043, "kerf_basis": "measured"`: "a kerf of 0.043 in, as measured; a blade that",
		`, "kerf": 0.043, "kerf_basis": "nominal"`:  "a kerf of 0.043 in, which is nominal",
	} {
		status, text := post(t, server.URL+"/v1/run", "{"+board+extra+"}")
		if status != 200 || !strings.Contains(string(text), want) {
			t.Errorf("%s: status %d, no %q", extra, status, want)
		}
	}
}
