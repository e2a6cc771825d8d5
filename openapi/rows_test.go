package openapi_test

import (
	"net/http"
	"strings"
	"testing"

	"resawd/api/contract"
)

func rows(t *testing.T) []contract.Row {
	t.Helper()
	list, err := contract.Read("../testdata/contract")
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// sendRow sends a row's request and gives the body of the answer, whose status
// must be that of the row.
func sendRow(t *testing.T, base string, row contract.Row) string {
	t.Helper()
	request, err := http.NewRequest(row.Method, base+row.Target, strings.NewReader(row.Body))
	if err != nil {
		t.Fatal(err)
	}
	request.Header = row.Header.Clone()
	answer, body := send(t, request)
	if answer.StatusCode != row.Status || answer.Header.Get("Content-Type") != row.MediaType {
		t.Fatalf("status %d, %s", answer.StatusCode, answer.Header.Get("Content-Type"))
	}
	return body
}
