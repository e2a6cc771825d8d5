package sheet_test

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"resawd/api/sheet"
)

// opened reads a workbook.
func opened(t *testing.T, book string) *excelize.File {
	t.Helper()
	file, err := excelize.OpenReader(strings.NewReader(book))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { file.Close() })
	return file
}

// part gives one file of a workbook.
func part(t *testing.T, book, name string) string {
	t.Helper()
	archive, err := zip.NewReader(strings.NewReader(book), int64(len(book)))
	if err != nil {
		t.Fatal(err)
	}
	file, err := archive.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	text, err := io.ReadAll(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// TestWorkbookSetup asks of a run in each unit what a printer and a person at
// the screen get: paper, footer, heads that stay, and how lengths are shown.
func TestWorkbookSetup(t *testing.T) {
	const metric = "/v1/run?units=mm&board_name=oak%20%26%20ash&board_thickness=50&board_width=200&board_length=600&leaf_thickness=1.3&leaf_count=4&kerf=1.1&hold_back=6&lead=2&divisions_per_turn=100&format=xlsx"
	tests := []struct {
		target, footer, shown, left string
		paper                       int
	}{
		{walnutRun + "&format=xlsx", "&Lwalnut-1&C", "0.050", "0.785", 1},
		{metric, "&Loak && ash&C", "1.30", "40.40", 9},
	}
	for _, test := range tests {
		file := opened(t, shown(t, http.MethodGet, test.target, ""))
		for _, name := range file.GetSheetList() {
			layout, err := file.GetPageLayout(name)
			if err != nil || *layout.Size != test.paper || *layout.Orientation != "landscape" || *layout.FitToWidth != 1 || *layout.FitToHeight != 0 {
				t.Errorf("%s: the page is laid out as %+v, %v", name, layout, err)
			}
			if props, err := file.GetSheetProps(name); err != nil || props.FitToPage == nil || !*props.FitToPage {
				t.Errorf("%s: it is not fitted to the page, %v", name, err)
			}
			if footer, err := file.GetHeaderFooter(name); err != nil || !strings.HasPrefix(footer.OddFooter, test.footer) || !strings.HasSuffix(footer.OddFooter, "&RPage &P of &N") {
				t.Errorf("%s: the footer is %+v, %v", name, footer, err)
			}
		}
		if panes, err := file.GetPanes("Cuts"); err != nil || !panes.Freeze || panes.YSplit != 5 {
			t.Errorf("the heads do not stay: %+v, %v", panes, err)
		}
		rows, err := file.GetRows("Cuts")
		if err != nil {
			t.Fatal(err)
		}
		last := rows[len(rows)-1]
		column := map[string]string{}
		for i, head := range rows[4] {
			if i < len(last) {
				column[head] = last[i]
			}
		}
		if column["thickness"] != test.shown || column["board left"] != test.left {
			t.Errorf("the last leaf is shown as %q, the board as %q, want %q and %q", column["thickness"], column["board left"], test.shown, test.left)
		}
	}
}

// TestWorkbookSame asks for the same workbooks again and again.
func TestWorkbookSame(t *testing.T) {
	for _, request := range []struct{ method, target, body string }{
		{http.MethodPost, "/v1/run?format=xlsx", matchedRun},
		{http.MethodPost, "/v1/plan?format=xlsx", slats(3)},
		{http.MethodPost, "/v1/gauge?format=xlsx", `{"readings": [[0.05], [0.053], [0.05], [0.053]], "target": 0.05, "advances": [0.095]}`},
	} {
		first := shown(t, request.method, request.target, request.body)
		for range 5 {
			if again := shown(t, request.method, request.target, request.body); again != first {
				t.Fatalf("%s gives other bytes to the same request", request.target)
			}
		}
	}
}

// TestWorkbookSteps: cautions stand before the first step, steps have the numbers
// by which others speak of them, and a plan has its cautions too.
func TestWorkbookSteps(t *testing.T) {
	heads := func(book, sheet string) (found []string) {
		rows, err := opened(t, book).GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for i, row := range rows {
			if i+1 < len(rows) && len(row) > 0 && slices.Contains([]string{"Cautions", "Before the first cut", "At every cut", "After the last leaf"}, row[0]) {
				number, _, _ := strings.Cut(rows[i+1][0], " ")
				found = append(found, row[0]+": "+number)
			}
		}
		return found
	}
	got := heads(shown(t, http.MethodGet, walnutRun+"&format=xlsx", ""), "Run")
	if len(got) != 4 || !strings.HasPrefix(got[0], "Cautions: ") || !slices.Equal(got[1:], []string{"Before the first cut: 1.", "At every cut: 1.", "After the last leaf: 1."}) {
		t.Errorf("the run has %q", got)
	}
	if got := heads(shown(t, http.MethodPost, "/v1/plan?format=xlsx", slats(3)), "Plan"); len(got) != 1 {
		t.Errorf("the plan has %q", got)
	}
}

// TestWorkbookGauge measures leaves: where there is no tolerance, no advance or
// only one leaf, what rests on them is left out.
func TestWorkbookGauge(t *testing.T) {
	for _, test := range []struct {
		body, limits string
		facts        int
		chart        bool
	}{
		{`{"readings": [[0.05, 0.051], [0.053, 0.052], [0.05, 0.05], [0.053, 0.054]], "places": ["top", "bottom"], "target": 0.05, "advances": [0.095]}`, "A leaf is to measure 0.050, 0.003 in more or less.", 16, true},
		{`{"units": "mm", "readings": [[1.25], [1.3]], "lower": 1.2, "upper": 1.4}`, "A leaf may measure 1.20 to 1.40 mm.", 12, true},
		{`{"readings": [[0.05]]}`, "No limits were given.", 2, false},
	} {
		book := shown(t, http.MethodPost, "/v1/gauge?format=xlsx", test.body)
		file := opened(t, book)
		limits, _ := file.GetCellValue("Leaves", "A2")
		rows, err := file.GetRows("Saw")
		if err != nil || limits != test.limits {
			t.Errorf("%s: %q, %v", test.body, limits, err)
		}
		facts := 0
		for _, row := range rows[2:] {
			if len(row) < 2 {
				break
			}
			facts++
		}
		if facts != test.facts || strings.Contains(book, "xl/charts/chart1.xml") != test.chart {
			t.Errorf("%s: %d facts: %q", test.body, facts, rows)
		}
	}
}

// TestWorkbookUnits: every sheet of a workbook says what its lengths count.
func TestWorkbookUnits(t *testing.T) {
	plan := `{"units": "mm", "boards": [{"thickness": 50, "width": 200, "length": 900}], "parts": [{"thickness": 4, "width": 150, "length": 400, "quantity": 2}], "kerf": 1}`
	for _, c := range []struct{ book, units, unit string }{
		{shown(t, http.MethodPost, "/v1/plan?format=xlsx", plan), "millimetres", "mm"},
		{shown(t, http.MethodGet, walnutRun+"&units=in&format=xlsx", ""), "inches", "in"},
		{shown(t, http.MethodPost, "/v1/gauge?format=xlsx", `{"units": "mm", "readings": [[1.25], [1.3]]}`), "millimetres", "mm"},
	} {
		file := opened(t, c.book)
		for _, name := range file.GetSheetList() {
			rows, err := file.GetRows(name)
			text := fmt.Sprint(rows)
			if err != nil || !strings.Contains(text, "Lengths in "+c.units) && !strings.Contains(text, " "+c.unit+"]") && !strings.Contains(text, "Drawing") {
				t.Errorf("the sheet %s does not say what its lengths count: %.300s", name, text)
			}
		}
	}
}

// TestWorkbookAnswer holds what programs ask of the answer around a workbook.
func TestWorkbookAnswer(t *testing.T) {
	answer := ask(t, http.MethodGet, walnutRun, sheet.TypeXLSX, "")
	h := answer.Header()
	if h.Get("Content-Type") != sheet.TypeXLSX || h.Get("Content-Disposition") != `attachment; filename="run.xlsx"` || h.Get("Etag") == "" {
		t.Errorf("headers: %v", h)
	}
	if !bytes.HasPrefix(answer.Body.Bytes(), []byte("PK")) {
		t.Errorf("the body begins with %q", answer.Body.Bytes()[:8])
	}
	if answer := ask(t, http.MethodGet, walnutRun+"&format=xlsx&pick=id", "", ""); answer.Code != http.StatusBadRequest {
		t.Errorf("pick of a workbook: status %d", answer.Code)
	}
	if answer := ask(t, http.MethodGet, "/v1/dial?leaf_thickness=0.05&format=xlsx", "", ""); answer.Code != http.StatusBadRequest {
		t.Errorf("a workbook of a dial: status %d", answer.Code)
	}
}

// TestWorkbookDrawing holds that the drawing is there, of the right type, and
// has nothing that programs paint wrong.
func TestWorkbookDrawing(t *testing.T) {
	book := shown(t, http.MethodGet, walnutRun+"&format=xlsx", "")
	svg := part(t, book, "xl/media/image1.svg")
	if !strings.Contains(svg, ">hold-back 0.125<") || strings.Contains(svg, "paint-order") {
		t.Errorf("the drawing:\n%s", svg)
	}
	if types := part(t, book, "[Content_Types].xml"); !strings.Contains(types, `Extension="svg" ContentType="image/svg+xml"`) {
		t.Errorf("the types: %s", types)
	}
}

// TestWorkbookLargest makes the largest run there is.
func TestWorkbookLargest(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a second")
	}
	began := time.Now()
	book := shown(t, http.MethodPost, "/v1/run?format=xlsx", `{"board":{"name":"=1+1","thickness":390,"width":6,"length":24},"leaves":[{"name":"veneer & inlay","thickness":0.02,"count":10000,"matched":2}],"kerf":0.0187,"hold_back":0,"travel":3900}`)
	t.Logf("%d bytes in %v", len(book), time.Since(began))
	rows, err := opened(t, book).GetRows("Cuts")
	if err != nil || len(rows) != 10_005 {
		t.Errorf("%d rows, %v", len(rows), err)
	}
}
