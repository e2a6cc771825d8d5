package api_test

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/go-json-experiment/json/jsontext"
)

// exchangeRow is one row of the contract: a request and the whole answer.
//
// The files in testdata/contract hold rows that begin with "### name", then the
// request line, header lines, an empty line and the body if there is one, then
// a line "< STATUS MEDIA-TYPE", header lines to find in the answer, an empty
// line and the body. JSON bodies may be laid out freely; their order counts.
type exchangeRow struct {
	name, method, target string
	header               http.Header
	body                 string
	status               int
	mediaType            string
	wantHeader           http.Header
	wantBody             string
}

// TestContract sends every row to a real server.
func TestContract(t *testing.T) {
	server := httptest.NewServer(newServer(t))
	defer server.Close()
	refusals, successes := 0, 0
	for _, row := range contract(t) {
		if row.status >= 400 {
			refusals++
		} else {
			successes++
		}
		t.Run(row.name, func(t *testing.T) { row.check(t, server.URL) })
	}
	if refusals <= successes || successes == 0 {
		t.Errorf("%d refusals and %d successes: there must be more refusals", refusals, successes)
	}
}

func (row exchangeRow) check(t *testing.T, base string) {
	answer := row.send(t, base)
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	if answer.StatusCode != row.status {
		t.Errorf("status %d, want %d", answer.StatusCode, row.status)
	}
	if got := answer.Header.Get("Content-Type"); got != row.mediaType {
		t.Errorf("media type %q, want %q", got, row.mediaType)
	}
	for name, want := range row.wantHeader {
		if got := answer.Header.Values(name); fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("header %s is %q, want %q", name, got, want)
		}
	}
	if strings.Contains(row.wantBody, `"id": "*"`) {
		body = digest.ReplaceAll(body, []byte(`"id":"*"`))
	}
	if got, want := normal(string(body), row.mediaType), normal(row.wantBody, row.mediaType); got != want {
		t.Errorf("body\n%s\nwant\n%s", got, want)
	}
}

// digest is an ID in an answer; a row that has "*" there takes any.
var digest = regexp.MustCompile(`"id":"[0-9a-f]{16}"`)

func (row exchangeRow) send(t *testing.T, base string) *http.Response {
	request, err := http.NewRequest(row.method, base+row.target, strings.NewReader(row.body))
	if err != nil {
		t.Fatal(err)
	}
	request.Header = row.header.Clone()
	request.Header.Set("X-Request-ID", "row")
	answer, err := http.DefaultTransport.RoundTrip(request)
	if err != nil {
		t.Fatal(err)
	}
	return answer
}

// normal lays JSON out in one way, and leaves the rest as it is.
func normal(body, mediaType string) string {
	value := jsontext.Value(bytes.Clone([]byte(body)))
	if strings.Contains(mediaType, "json") && value.Indent() == nil {
		return string(value)
	}
	return strings.TrimRight(body, "\n")
}

// contract reads all rows.
func contract(t testing.TB) []exchangeRow {
	t.Helper()
	files, err := filepath.Glob("../testdata/contract/*.http")
	if err != nil || len(files) == 0 {
		t.Fatalf("no contract rows: %v", err)
	}
	var rows []exchangeRow
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		_, text, _ = bytes.Cut(text, []byte("### "))
		for part := range strings.SplitSeq(string(text), "\n### ") {
			row, err := parseRow(part)
			if err != nil {
				t.Fatalf("%s: %q: %v", file, row.name, err)
			}
			row.name = strings.TrimSuffix(filepath.Base(file), ".http") + "/" + row.name
			rows = append(rows, row)
		}
	}
	return rows
}

func parseRow(text string) (row exchangeRow, err error) {
	name, text, _ := strings.Cut(text, "\n")
	row.name = name
	request, answer, ok := strings.Cut(text, "\n< ")
	if !ok {
		return row, fmt.Errorf("no answer")
	}
	first, request, _ := strings.Cut(request, "\n")
	row.method, row.target, ok = strings.Cut(first, " ")
	if !ok {
		return row, fmt.Errorf("request line %q", first)
	}
	row.header, row.body = headAndBody(request)
	first, answer, _ = strings.Cut(answer, "\n")
	status, mediaType, _ := strings.Cut(first, " ")
	row.status, err = strconv.Atoi(status)
	row.mediaType = mediaType
	row.wantHeader, row.wantBody = headAndBody(answer)
	return row, err
}

func headAndBody(text string) (http.Header, string) {
	head, body, _ := strings.Cut("\n"+text, "\n\n")
	header := http.Header{}
	for line := range strings.SplitSeq(head, "\n") {
		if name, value, ok := strings.Cut(line, ": "); ok {
			header.Add(name, value)
		}
	}
	return header, strings.TrimSpace(body)
}
