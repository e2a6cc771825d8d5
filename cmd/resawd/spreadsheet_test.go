package main

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// workbook copies the workbook of examples to where LibreOffice trusts it.
func workbook(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../../deploy/spreadsheet/resawd.xlsx")
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "resawd.xlsx")
	if err := os.WriteFile(file, text, 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// The rows of the workbook's sheets, from 0.
const (
	fieldRow  = 4 // the service's names of the columns
	firstRow  = 5
	firstMove = 10 // of the sheet Schedule, whose names stand over it
)

// exampleSheets are the sheets of calculators, with the number of columns that hold the
// request.
var exampleSheets = map[string]struct {
	path   string
	inputs int
}{
	"Yield": {"v1/yield", 5}, "Turns": {"v1/dial", 4}, "Feed time": {"v1/feed", 6}, "Blade": {"v1/blade", 4},
}

// TestWorkbook opens the workbook of examples in LibreOffice, with a decimal
// point and with a decimal comma: every cell must show the number, the word or
// the fault that the service gives the same fields as JSON.
func TestWorkbook(t *testing.T) {
	t.Parallel()
	s := start(t)
	defer s.stop()
	for _, locale := range []string{"en-US", "de-DE"} {
		t.Run(locale, func(t *testing.T) {
			address := s.url // with the slash at its end that a browser copies, and without
			if locale == "de-DE" {
				address = strings.TrimSuffix(address, "/")
			}
			all, _ := office(t, document{File: workbook(t), locale: locale, Set: []string{"Start.B4=" + address}})
			if want := map[string]string{"en-US": "point", "de-DE": "comma"}[locale]; all["Start"][5][1] != want {
				t.Errorf("the workbook takes the decimal sign for a %v, not a %s", all["Start"][5][1], want)
			}
			for name, sheet := range exampleSheets {
				compareSheet(t, s, name, all[name], sheet.path, sheet.inputs, locale == "de-DE")
			}
			compareSchedule(t, s, all["Schedule"])
		})
	}
}

// pointed is a decimal point within a number.
var pointed = regexp.MustCompile(`(\d)\.(\d)`)

// compareSheet compares each row of a sheet with the answer to its fields. Faults have
// decimal commas if cells have them.
func compareSheet(t *testing.T, s *service, name string, rows [][]any, path string, inputs int, comma bool) {
	t.Helper()
	right, wrong := 0, 0
	for at, row := range rows[firstRow:] {
		answer, ok := s.ask(t, path, fieldsOf(rows[fieldRow], row, inputs))
		fault := len(row) - 2 // the last column is the request
		for c := inputs; c < fault; c++ {
			want := any("")
			if ok {
				want = placed(answer, rows[fieldRow][c].(string))
			}
			if !sameCell(row[c], want) {
				t.Errorf("%s, row %d: %v is %v, the service says %v", name, firstRow+at+1, rows[fieldRow][c], row[c], want)
			}
		}
		if ok {
			right++
			if row[fault] != "" {
				t.Errorf("%s, row %d says %v of a good request", name, firstRow+at+1, row[fault])
			}
			continue
		}
		wrong++
		first := placed(answer, "errors/0").(map[string]any)
		want := "error: " + first["pointer"].(string)[1:] + ": " + first["detail"].(string)
		if comma {
			want = pointed.ReplaceAllString(want, "$1,$2")
		}
		if row[fault] != want {
			t.Errorf("%s, row %d says %q of what is wrong, want %q", name, firstRow+at+1, row[fault], want)
		}
	}
	if right < 2 || wrong < 1 {
		t.Errorf("%s has %d good rows and %d that show a fault", name, right, wrong)
	}
}

// compareSchedule compares every move of the sheet Schedule.
func compareSchedule(t *testing.T, s *service, rows [][]any) {
	t.Helper()
	answer, ok := s.ask(t, "v1/dial", fieldsOf(rows[fieldRow], rows[firstRow], 5))
	if !ok {
		t.Fatalf("the schedule's request is refused: %v", answer)
	}
	steps := answer["steps"].([]any)
	if len(steps) != 7 {
		t.Fatalf("a truing pass and 6 leaves are %d moves", len(steps))
	}
	for i, row := range rows[firstMove : firstMove+len(steps)+1] {
		for c, name := range rows[firstMove-1] {
			want := any("")
			if i < len(steps) {
				if value, present := steps[i].(map[string]any)[name.(string)]; present {
					want = value
				}
			}
			if !sameCell(row[c], want) {
				t.Errorf("move %d: %v is %v, want %v", i+1, name, row[c], want)
			}
		}
	}
}

// TestWorkbookAlone opens the workbook when no service answers.
func TestWorkbookAlone(t *testing.T) {
	t.Parallel()
	all, _ := office(t, document{File: workbook(t), Set: []string{"Start.B4=http://127.0.0.1:1"}})
	for name, rows := range all {
		if sheet, ok := exampleSheets[name]; ok {
			row := rows[firstRow]
			if text, _ := row[len(row)-2].(string); row[sheet.inputs] != "" || !strings.HasPrefix(text, "no answer: ") {
				t.Errorf("%s shows %v", name, row)
			}
		}
	}
}

// ask posts fields as JSON; ok is false for a problem.
func (s *service) ask(t *testing.T, path string, fields map[string]any) (answer map[string]any, ok bool) {
	t.Helper()
	body, err := json.Marshal(fields)
	if err != nil {
		t.Fatal(err)
	}
	response, err := http.Post(s.url+path, "application/json", bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &answer); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	return answer, response.StatusCode == http.StatusOK
}

// fieldsOf reads a request from the first cells of a row.
func fieldsOf(names, row []any, inputs int) map[string]any {
	fields := map[string]any{}
	for c := range inputs {
		if row[c] != nil {
			fields[names[c].(string)] = row[c]
		}
	}
	return fields
}

// placed finds a value of an answer, nil if there is none.
func placed(value any, place string) any {
	for token := range strings.SplitSeq(place, "/") {
		switch v := value.(type) {
		case map[string]any:
			value = v[token]
		case []any:
			i, err := strconv.Atoi(token)
			if err != nil || i >= len(v) {
				return nil
			}
			value = v[i]
		default:
			return nil
		}
	}
	return value
}

// sameCell compares what a cell shows with a value of JSON, numbers to the last digit
// but one of a double.
func sameCell(cell, want any) bool {
	switch w := want.(type) {
	case bool:
		return cell == strconv.FormatBool(w)
	case float64:
		number, ok := cell.(float64)
		return ok && math.Abs(number-w) <= 1e-15*math.Abs(w)
	}
	return cell == want
}
