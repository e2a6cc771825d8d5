// Package contract reads the rows of testdata/contract: requests, and the whole answers
// that the service gives to them. Tests send the requests, and the API document takes
// its examples from them.
package contract

import (
	"errors"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// Row is a request and its whole answer.
//
// In a file a row begins with "### name". Then come the request line, header lines, an
// empty line and the body if there is one; then a line "< STATUS MEDIA-TYPE", the
// header lines that the answer must have, an empty line and its body. The layout of a
// JSON body does not matter; the order of its fields does.
type Row struct {
	File, Name, Method, Target string
	Header                     http.Header
	Body                       string
	Status                     int
	MediaType                  string
	WantHeader                 http.Header
	WantBody                   string
}

// Table reports whether the body is a table of requests.
func (r Row) Table() bool { return strings.HasPrefix(r.Header.Get("Content-Type"), "text/csv") }

// Read reads the rows of every file in a folder.
func Read(folder string) ([]Row, error) {
	files, err := filepath.Glob(filepath.Join(folder, "*.http"))
	if err != nil {
		return nil, err
	}
	if len(files) == 0 {
		return nil, errors.New(folder + " has no contract rows")
	}
	var rows []Row
	for _, file := range files {
		more, err := readFile(file)
		if err != nil {
			return nil, err
		}
		rows = append(rows, more...)
	}
	return rows, nil
}

func readFile(file string) ([]Row, error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	var rows []Row
	_, list, _ := strings.Cut(string(text), "### ")
	for part := range strings.SplitSeq(list, "\n### ") {
		row, err := parse(part)
		if err != nil {
			return nil, fmt.Errorf("%s: %q: %w", file, row.Name, err)
		}
		row.File = strings.TrimSuffix(filepath.Base(file), ".http")
		rows = append(rows, row)
	}
	return rows, nil
}

func parse(text string) (row Row, err error) {
	name, text, _ := strings.Cut(text, "\n")
	row.Name = name
	request, answer, ok := strings.Cut(text, "\n< ")
	if !ok {
		return row, errors.New("no answer")
	}
	first, request, _ := strings.Cut(request, "\n")
	row.Method, row.Target, ok = strings.Cut(first, " ")
	if !ok {
		return row, fmt.Errorf("request line %q", first)
	}
	row.Header, row.Body = headAndBody(request)
	first, answer, _ = strings.Cut(answer, "\n")
	status, mediaType, _ := strings.Cut(first, " ")
	row.Status, err = strconv.Atoi(status)
	row.MediaType = mediaType
	row.WantHeader, row.WantBody = headAndBody(answer)
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
