package api_test

import (
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"reflect"
	"strings"
	"testing"

	"resawd/api/apitest"
)

// TestUsedIsARequest: used gives every effective input, so sent back it has the same
// answer, but for warnings of how an input was given or whose it is. A field of the answer
// that has the name of one of the request means the same.
func TestUsedIsARequest(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	paths := map[string]int{}
	for _, row := range contractRows(t) {
		path, query, _ := strings.Cut(row.Target, "?")
		first := asked(t, row.Method, server.URL+path+withoutForm(t, query, row.Method), row.Body)
		used, ok := first["used"].(map[string]any)
		if !ok || unpriced(used) {
			continue
		}
		for name, value := range used {
			if told, ok := first[name]; ok && !reflect.DeepEqual(told, value) {
				t.Errorf("%s/%s: the answer's %s is %v, and the request's %v", row.File, row.Name, name, told, value)
			}
		}
		body, err := json.Marshal(used)
		if err != nil {
			t.Fatal(err)
		}
		paths[path]++
		again := asked(t, http.MethodPost, server.URL+path, string(body))
		delete(first, "warnings")
		delete(again, "warnings")
		if !reflect.DeepEqual(first, again) {
			t.Errorf("%s/%s: used has another answer:\n%v\nfirst\n%v", row.File, row.Name, again, first)
		}
	}
	if len(paths) < 15 || paths["/v1/plan"] == 0 {
		t.Errorf("only %v were asked", paths)
	}
}

// unpriced reports whether a board of a plan has no price of its own: it counts as 1 in
// the cost, and in no price or value, which its used cannot say.
func unpriced(used map[string]any) bool {
	boards, _ := used["boards"].([]any)
	for _, b := range boards {
		if board, _ := b.(map[string]any); board["price"] == 1.0 {
			return true
		}
	}
	return false
}

// withoutForm is the query of a row that asks for the whole answer as JSON.
func withoutForm(t *testing.T, query, method string) string {
	t.Helper()
	fields, err := url.ParseQuery(query)
	if err != nil {
		return "?" + query // refused
	}
	for _, name := range []string{"format", "pick", "errors"} {
		fields.Del(name)
	}
	if method == http.MethodPost {
		fields.Del("decimal")
	}
	return "?" + fields.Encode()
}

// asked is the JSON object that a request has for an answer, nil where it has none.
func asked(t *testing.T, method, address, body string) (object map[string]any) {
	t.Helper()
	request, err := http.NewRequest(method, address, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	request.Header.Set("Content-Type", "application/json")
	answer, err := http.DefaultTransport.RoundTrip(request)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	if json.Unmarshal(text, &object) != nil {
		return nil
	}
	return object
}
