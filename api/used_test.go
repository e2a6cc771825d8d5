package api_test

import (
	"encoding/json"
	"errors"
	"io"
	"maps"
	"net/http"
	"net/http/httptest"
	"net/url"
	"reflect"
	"slices"
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
		if !ok {
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

// TestUsedIsRefusedAlike: what is refused beside a request is refused beside its used, for
// what the service filled in does not count as given. Every field of other requests is tried.
func TestUsedIsRefusedAlike(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	requests, others, refused := acceptedRequests(t, server.URL), map[string][]member{}, map[string]int{}
	for _, r := range requests {
		for name, value := range r.fields {
			if tried := (member{name, string(value)}); !slices.Contains(others[r.path], tried) {
				others[r.path] = append(others[r.path], tried)
			}
		}
	}
	for _, r := range requests {
		for _, more := range others[r.path] {
			if _, given := r.fields[more.name]; given || more.name == "units" { // used has the numbers of its own units
				continue
			}
			first := asked(t, http.MethodPost, server.URL+r.path, with(t, r.fields, more))
			if first["errors"] == nil {
				continue
			}
			refused[r.path]++
			if again := asked(t, http.MethodPost, server.URL+r.path, with(t, r.used, more)); again["errors"] == nil {
				t.Errorf("%s: with %s %s its used is answered, and the request refused: %v", r.name, more.name, more.value, first["errors"])
			}
		}
	}
	if len(refused) < 3 || refused["/v1/plan"] < 50 {
		t.Errorf("refused: %v", refused)
	}
}

// accepted is a request that is answered, and used of its answer.
type accepted struct {
	name, path   string
	fields, used map[string]json.RawMessage
}

// member is a field of a request and its value.
type member struct{ name, value string }

// acceptedRequests are those of the contract rows that come as JSON. Plans search but for
// a moment.
func acceptedRequests(t *testing.T, url string) (list []accepted) {
	t.Helper()
	for _, row := range contractRows(t) {
		r := accepted{name: row.File + "/" + row.Name}
		r.path, _, _ = strings.Cut(row.Target, "?")
		if row.Method != http.MethodPost || json.Unmarshal([]byte(row.Body), &r.fields) != nil {
			continue
		}
		if r.path == "/v1/plan" {
			r.fields["work_limit"] = json.RawMessage("1")
		}
		answer := asked(t, row.Method, url+r.path, with(t, r.fields))
		if answer["used"] == nil {
			continue
		}
		text, err := json.Marshal(answer["used"])
		if err := errors.Join(err, json.Unmarshal(text, &r.used)); err != nil {
			t.Fatal(err)
		}
		list = append(list, r)
	}
	return list
}

// with is a request with further fields.
func with(t *testing.T, fields map[string]json.RawMessage, more ...member) string {
	t.Helper()
	all := maps.Clone(fields)
	for _, m := range more {
		all[m.name] = json.RawMessage(m.value)
	}
	text, err := json.Marshal(all)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
