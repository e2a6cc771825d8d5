package calculator_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"

	"resawd/api"
	"resawd/api/apitest"
)

// batchOf sends calls, and returns the status of each answer.
func batchOf(t *testing.T, calls ...string) (statuses []int, body string) {
	t.Helper()
	request := httptest.NewRequest(http.MethodPost, "/v1/batch", strings.NewReader(`{"requests": [`+strings.Join(calls, ",")+`]}`))
	request.Header.Set("Content-Type", "application/json")
	answer := httptest.NewRecorder()
	apitest.Server(t).ServeHTTP(answer, request)
	var got struct {
		Answers []struct {
			Status int `json:"status"`
		} `json:"answers"`
	}
	if err := json.Unmarshal(answer.Body.Bytes(), &got); err != nil || answer.Code != http.StatusOK {
		t.Fatalf("status %d, %v: %.300s", answer.Code, err, answer.Body)
	}
	for _, a := range got.Answers {
		statuses = append(statuses, a.Status)
	}
	return statuses, answer.Body.String()
}

func dialCall(leaves int) string {
	return fmt.Sprintf(`{"path": "/v1/dial", "body": {"leaf_thickness": 0.05, "leaf_count": %d, "travel": "100 m"}}`, leaves)
}

// TestBatchLimits: a batch has 10 000 leaves and 4 MiB at most; a call that goes
// beyond is refused, and so are those after it.
func TestBatchLimits(t *testing.T) {
	statuses, body := batchOf(t, dialCall(9999), dialCall(2), dialCall(1), dialCall(1))
	if fmt.Sprint(statuses) != "[200 422 422 422]" {
		t.Errorf("%v", statuses)
	}
	if !strings.Contains(body, "with this answer the batch would have 10001 leaves, and 10000 are the limit: send this call and those after it in another batch") {
		t.Error("the limit is not given")
	}
	if n := strings.Count(body, "a call before this one went beyond what a batch may hold: send them in another batch"); n != 2 {
		t.Errorf("%d calls are told that the batch was full, want 2", n)
	}
	run := `{"path": "/v1/run", "body": {"board_thickness": 2, "board": {"name": "b", "thickness": 2, "width": 8, "length": 24}, "leaf_thickness": 0.05, "leaf_count": 1}}`
	run = strings.Replace(run, `"board_thickness": 2, `, "", 1)
	calls := make([]string, 1000)
	for i := range calls {
		calls[i] = run
	}
	statuses, body = batchOf(t, calls...)
	if statuses[0] != 200 || len(body) > 5<<20 {
		t.Errorf("first status %d, %d bytes", statuses[0], len(body))
	}
}

// TestBatchAlike: a call has the answer that it would have alone.
func TestBatchAlike(t *testing.T) {
	for _, k := range api.Calculators() {
		if k.Long || k.Path == "/v1/batch" {
			continue
		}
		request := httptest.NewRequest(http.MethodPost, k.Path, strings.NewReader("{}"))
		request.Header.Set("Content-Type", "application/json")
		request.Header.Set("X-Request-Id", "x")
		alone := httptest.NewRecorder()
		apitest.Server(t).ServeHTTP(alone, request)
		statuses, body := batchOf(t, `{"path": "`+k.Path+`", "body": {}}`)
		if statuses[0] != alone.Code {
			t.Errorf("%s: status %d, alone %d: %.200s", k.Path, statuses[0], alone.Code, body)
		}
	}
}
