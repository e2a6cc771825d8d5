package calculator_test

import (
	"encoding/json"
	"net/http/httptest"
	"slices"
	"testing"

	"resawd/api/apitest"
)

// TestNamesToo: whatever takes a fixing lists one that the shop does not have beside all
// else that is wrong, as it does a saw and a blade.
func TestNamesToo(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	for _, path := range []string{"/v1/yield", "/v1/flatten", "/v1/run", "/v1/plan"} {
		_, text := post(t, server.URL+path, `{"saw": "x", "blade": "x", "fixing": "x"}`)
		var problem struct {
			Errors []struct {
				Pointer, Code string
			}
		}
		if err := json.Unmarshal(text, &problem); err != nil {
			t.Fatal(err)
		}
		var unknown []string
		for _, e := range problem.Errors {
			if e.Code == "unknown_name" {
				unknown = append(unknown, e.Pointer)
			}
		}
		if !slices.Equal(unknown, []string{"/saw", "/blade", "/fixing"}) || len(problem.Errors) == len(unknown) {
			t.Errorf("%s: %s", path, text)
		}
	}
}
