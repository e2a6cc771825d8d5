package main

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// post sends a request from a file, or as it stands if it begins with a brace, and
// keeps the answer in a file.
func (s *service) post(t *testing.T, path, request, format string) (file string) {
	t.Helper()
	body := []byte(request)
	if request[0] != '{' {
		var err error
		if body, err = os.ReadFile("../../testdata/orders/" + request); err != nil {
			t.Fatal(err)
		}
	}
	answer, err := http.Post(s.url+path+"?format="+format, "application/json", strings.NewReader(string(body)))
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil || answer.StatusCode != http.StatusOK {
		t.Fatalf("%s: %d, %v: %s", path, answer.StatusCode, err, text)
	}
	file = filepath.Join(t.TempDir(), "answer."+format)
	if err := os.WriteFile(file, text, 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// read gives a file's text.
func read(t *testing.T, file string) string {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// printed is what a workbook looks like on paper.
func printed(t *testing.T, pdf string) string {
	t.Helper()
	needs(t, "pdftotext")
	out, err := exec.CommandContext(t.Context(), "pdftotext", "-layout", pdf, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

// sameTable compares a table on a sheet, its heads in the row given, with the
// rows of an answer.
func sameTable(t *testing.T, sheet [][]any, heads int, want []any) {
	t.Helper()
	if len(want) < 5 || len(sheet) != heads+1+len(want) {
		t.Fatalf("the sheet has %d rows below its heads, the answer %d", len(sheet)-heads-1, len(want))
	}
	for i, one := range want {
		for c, head := range sheet[heads] {
			value := one.(map[string]any)[strings.ReplaceAll(head.(string), " ", "_")]
			switch v := value.(type) {
			case []any:
				value = nil
				if len(v) > 0 {
					value = strings.Trim(fmt.Sprint(v), "[]") // one word
				}
			case bool:
				value = map[bool]string{true: "yes", false: "no"}[v]
			}
			if cell := sheet[heads+1+i][c]; !sameCell(cell, value) {
				t.Errorf("row %d: %v is %v, the answer says %v", i+1, head, cell, value)
			}
		}
	}
}

// TestRunInOffice opens the workbook of a run in LibreOffice: its cells are the
// numbers of the JSON, and on paper there are its drawing and its footer.
func TestRunInOffice(t *testing.T) {
	t.Parallel()
	s := start(t)
	defer s.stop()
	book := s.post(t, "v1/run", "run.json", "xlsx")
	if again := s.post(t, "v1/run", "run.json", "xlsx"); read(t, again) != read(t, book) {
		t.Error("the same request gives other bytes")
	}
	var answer map[string]any
	if err := json.Unmarshal([]byte(read(t, s.post(t, "v1/run", "run.json", "json"))), &answer); err != nil {
		t.Fatal(err)
	}
	pdf := filepath.Join(t.TempDir(), "run.pdf")
	all, formulas := office(t, document{File: book, PDF: pdf})
	if len(formulas) > 0 {
		t.Errorf("it has formulas: %q", formulas)
	}
	sameTable(t, all["Cuts"], 4, answer["cuts"].([]any))
	for i, place := range map[int]string{1: "summary/leaf_count", 6: "used/kerf", 12: "used/feed", 15: "summary/left_on_fence", 16: "summary/recovery"} {
		if cell := all["Run"][i][1]; !sameCell(cell, placed(answer, place)) {
			t.Errorf("%v is %v, want %v", all["Run"][i][0], cell, placed(answer, place))
		}
	}
	paper := printed(t, pdf)
	for _, want := range []string{"walnut-1", answer["id"].(string), "Page 1 of 3", "hold-back 0.125", "board 2.000", "blade side", "Unplug the saw", "bookmatch with no. 2"} {
		if !strings.Contains(paper, want) {
			t.Errorf("on paper there is no %q:\n%s", want, paper)
		}
	}
}

// TestPlanInOffice opens the workbook of a plan in LibreOffice.
func TestPlanInOffice(t *testing.T) {
	t.Parallel()
	s := start(t)
	defer s.stop()
	var answer map[string]any
	if err := json.Unmarshal([]byte(read(t, s.post(t, "v1/plan", "maker.json", "json"))), &answer); err != nil {
		t.Fatal(err)
	}
	pdf := filepath.Join(t.TempDir(), "plan.pdf")
	all, formulas := office(t, document{File: s.post(t, "v1/plan", "maker.json", "xlsx"), PDF: pdf})
	if len(formulas) > 0 {
		t.Errorf("it has formulas: %q", formulas)
	}
	var leaves []any
	for _, taken := range answer["taken"].([]any) {
		for _, billet := range taken.(map[string]any)["billets"].([]any) {
			for _, leaf := range billet.(map[string]any)["leaves"].([]any) {
				row := map[string]any{}
				for _, part := range []any{taken, billet, leaf} {
					for name, value := range part.(map[string]any) {
						row[name] = value
					}
				}
				row["billet"] = row["mark"]
				leaves = append(leaves, row)
			}
		}
	}
	for _, missing := range answer["unmet"].([]any) {
		row := missing.(map[string]any)
		leaves = append(leaves, map[string]any{"part": row["part"], "unmet": row["quantity"], "reason": row["reason"]})
	}
	sameTable(t, all["Cut list"], 4, leaves)
	cost := slices.IndexFunc(all["Plan"], func(row []any) bool { return row[0] == "Cost" })
	if cost < 0 || !sameCell(all["Plan"][cost][1], answer["cost"]) {
		t.Errorf("the cost is not %v: %v", answer["cost"], all["Plan"])
	}
	if paper := printed(t, pdf); !strings.Contains(paper, answer["id"].(string)) || !strings.Contains(paper, "Boards to pull") {
		t.Errorf("on paper:\n%s", paper)
	}
}

// TestGaugeInOffice opens the workbook of measured leaves in LibreOffice.
func TestGaugeInOffice(t *testing.T) {
	t.Parallel()
	s := start(t)
	defer s.stop()
	const request = `{"readings": [[0.05, 0.051], [0.053, 0.052], [0.05, 0.0505], [0.053, 0.0535], [0.049, 0.05]], "places": ["top", "bottom"], "target": 0.05, "advances": [0.095]}`
	var answer map[string]any
	if err := json.Unmarshal([]byte(read(t, s.post(t, "v1/gauge", request, "json"))), &answer); err != nil {
		t.Fatal(err)
	}
	pdf := filepath.Join(t.TempDir(), "gauge.pdf")
	all, formulas := office(t, document{File: s.post(t, "v1/gauge", request, "xlsx"), PDF: pdf})
	if len(formulas) > 0 {
		t.Errorf("it has formulas: %q", formulas)
	}
	var leaves []any
	for i, leaf := range answer["leaves"].([]any) {
		row := leaf.(map[string]any)
		for j, place := range []string{"top", "bottom"} {
			row[place] = placed(answer, fmt.Sprintf("used/readings/%d/%d", i, j))
		}
		row["lower_limit"], row["centre"], row["upper_limit"] = placed(answer, "chart/lower"), placed(answer, "chart/centre"), placed(answer, "chart/upper")
		leaves = append(leaves, row)
	}
	sameTable(t, all["Leaves"], 4, leaves)
	if paper := printed(t, pdf); !strings.Contains(paper, "Mean of each leaf") || !strings.Contains(paper, answer["next_advance"].(map[string]any)["words"].(string)[:20]) {
		t.Errorf("on paper:\n%s", paper)
	}
}

// payloads are names that a spreadsheet would take for formulas.
var payloads = []string{
	"=1+1", "+1+1", "-1+1", "@SUM(1;1)", "=cmd|' /C calc'!A0", "-2+3+cmd|' /C calc'!A0", "=HYPERLINK(\"http://127.0.0.1/\";\"x\")",
	"\t=1+1", "\r=1+1", "\n=1+1", "x;=1+1", "x,=1+1", "x\";=1+1", "x\n=1+1", "\uff1d1+1",
}

// TestNoFormulas gives boards and parts such names and opens every answer in
// LibreOffice, CSV with the right and with the wrong separator: nothing is computed,
// and no cell begins as a formula does.
func TestNoFormulas(t *testing.T) {
	t.Parallel()
	s := start(t)
	defer s.stop()
	var leaves, parts, boards []map[string]any
	for _, name := range payloads {
		leaves = append(leaves, map[string]any{"name": name, "thickness": 0.05, "count": 1})
		parts = append(parts, map[string]any{"name": name, "thickness": 0.05, "length": 20, "width": 4, "quantity": 1, "species": name})
		boards = append(boards, map[string]any{"name": name, "thickness": 1, "length": 24, "width": 5, "quantity": 1, "species": name})
	}
	run, err := json.Marshal(map[string]any{"board": map[string]any{"name": payloads[0], "species": payloads[0], "thickness": 3, "width": 6, "length": 24}, "leaves": leaves})
	if err != nil {
		t.Fatal(err)
	}
	plan, err := json.Marshal(map[string]any{"boards": boards, "parts": parts})
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		path, request, format, separator string
	}{
		{"v1/run", string(run), "csv", ","},
		{"v1/run", string(run), "csv", ";"},
		{"v1/run", string(run), "csv&decimal=comma", ","},
		{"v1/run", string(run), "xlsx", ""},
		{"v1/plan", string(plan), "csv", ","},
		{"v1/plan", string(plan), "xlsx", ""},
	}
	for _, test := range tests {
		t.Run(test.path[3:]+" "+test.format+test.separator, func(t *testing.T) {
			all, formulas := office(t, document{File: s.post(t, test.path, test.request, test.format), CSV: test.separator})
			if len(formulas) > 0 {
				t.Errorf("LibreOffice finds formulas: %q", formulas)
			}
			defused := 0
			for _, sheet := range all {
				for _, cell := range slices.Concat(sheet...) {
					text, _ := cell.(string)
					if text != "" && strings.ContainsRune("=+-@\t\r\n", rune(text[0])) {
						t.Errorf("a cell begins as a formula does: %q", text)
					}
					if strings.Contains(text, "'") {
						defused++
					}
				}
			}
			if defused < len(payloads) {
				t.Errorf("only %d cells have an apostrophe", defused)
			}
		})
	}
}
