package sheet_test

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"resawd/api/apitest"

	"golang.org/x/net/html"
)

// walnutRun is twelve leaves of 0.050 in with a skim: positions 0.075 and then
// every 0.095 in, on a dial of 0.050 in a turn.
const walnutRun = "/v1/run?board_name=walnut-1&board_thickness=2&board_width=8&board_length=24&leaf_thickness=0.05&leaf_count=12&skim=0.03&kerf=0.045&hold_back=0.125&lead=0.05&divisions_per_turn=50&travel=4&clean_every=10"

// matchedRun is twelve matched leaves with two stops to clean and a screw that
// is wound back once.
const matchedRun = `{"board":{"name":"koa-7","species":"koa","thickness":3.5,"width":8,"length":21},"kerf":0.045,"lead":0.05,"divisions_per_turn":50,"travel":1.6,"clean_every":6,
"leaves":[{"name":"back","thickness":0.14,"count":4,"matched":2},{"name":"side","thickness":0.1,"count":8,"matched":4}]}`

func ask(t *testing.T, method, target, accept, body string) *httptest.ResponseRecorder {
	t.Helper()
	request := httptest.NewRequest(method, target, strings.NewReader(body))
	if body != "" {
		request.Header.Set("Content-Type", "application/json")
	}
	if accept != "" {
		request.Header.Set("Accept", accept)
	}
	answer := httptest.NewRecorder()
	apitest.Server(t).ServeHTTP(answer, request)
	return answer
}

// shown gives the page or drawing that a request is answered with.
func shown(t *testing.T, method, target, body string) string {
	t.Helper()
	answer := ask(t, method, target, "", body)
	if answer.Code != http.StatusOK {
		t.Fatalf("%s %s: status %d: %s", method, target, answer.Code, answer.Body)
	}
	return answer.Body.String()
}

func parsed(t *testing.T, page string) *html.Node {
	t.Helper()
	root, err := html.Parse(strings.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	return root
}

// elements finds elements by name and, unless it is empty, class.
func elements(root *html.Node, name, class string) (found []*html.Node) {
	for n := range root.Descendants() {
		if n.Type == html.ElementNode && n.Data == name && (class == "" || attribute(n, "class") == class) {
			found = append(found, n)
		}
	}
	return found
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

// words gives the text of an element, its white space single.
func words(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// TestPageCuts: a row for every cut, with its move, reading, turn tally and
// position counted here in whole divisions of 0.001 in.
func TestPageCuts(t *testing.T) {
	rows := elements(parsed(t, shown(t, "GET", walnutRun+"&format=html", "")), "tr", "cut")
	if len(rows) != 13 {
		t.Fatalf("%d rows, want 13", len(rows))
	}
	for i, row := range rows {
		advance, at, leaf, thickness := 95, 75+95*i, fmt.Sprintf("Leaf %d", i), "0.050"
		if i == 0 {
			advance, leaf, thickness = 75, "Truing cut, scrap", "0.030"
		}
		cells := elements(row, "td", "")
		head := elements(row, "th", "")
		want := []string{
			fmt.Sprintf("%d turn + %d", advance/50, advance%50), fmt.Sprintf("%d turn %d at %d.%03d", at%50, at/50, at/1000, at%1000),
		}
		got := []string{words(cells[1]), words(cells[2])}
		if !slices.Equal(got, want) {
			t.Errorf("cut %d: %q, want %q", i+1, got, want)
		}
		if len(head) != 1 || words(head[0]) != strconv.Itoa(i+1) || attribute(head[0], "scope") != "row" {
			t.Errorf("cut %d has no heading of its own", i+1)
		}
		if text := words(cells[3]); !strings.HasPrefix(text, leaf+" "+thickness) || i > 0 && !strings.HasSuffix(text, "top edge up") {
			t.Errorf("cut %d: leaf %q, want %s of %s with its mark", i+1, text, leaf, thickness)
		}
		checkBlanks(t, row, i > 0)
	}
}

// checkBlanks wants a box to tick, a blank for the dial and for a leaf six for
// its thickness, each with a name.
func checkBlanks(t *testing.T, row *html.Node, leaf bool) {
	t.Helper()
	inputs, want := elements(row, "input", ""), 2
	if leaf {
		want = 8
	}
	if len(inputs) != want || attribute(inputs[0], "type") != "checkbox" {
		t.Fatalf("%d inputs, want %d, a box first", len(inputs), want)
	}
	for _, in := range inputs {
		if attribute(in, "aria-label") == "" {
			t.Error("an input has no name")
		}
	}
}

// TestPageStops: stops stand before their cut, a row each. 25 turns take the
// screw back from 1.320 in to 0.070 in, where the dial reads 20 as before: a turn
// is kept to take up the backlash.
func TestPageStops(t *testing.T) {
	root := parsed(t, shown(t, "POST", "/v1/run?format=html", matchedRun))
	var order []string
	for _, row := range elements(elements(root, "tbody", "")[0], "tr", "") {
		if attribute(row, "class") == "stop" {
			order = append(order, strings.Fields(words(row))[1])
			if text := words(row); strings.Contains(text, "Re-zero") && !strings.Contains(text, "back 26 whole turns, then forward 1 turn, and couple it again: the dial stands at 20, turn 1.") {
				t.Errorf("the re-zero says %q", text)
			}
			continue
		}
		order = append(order, words(elements(row, "th", "")[0]))
	}
	want := "1 2 3 4 Clean. 5 6 7 8 Re-zero. Clean. 9 10 11 12"
	if got := strings.Join(order, " "); got != want {
		t.Errorf("rows %s, want %s", got, want)
	}
	leaves := elements(root, "td", "leaf")
	if got, want := words(leaves[0]), "Leaf 1, back 0.140 top edge up, book face to the fence, bookmatch with no. 2"; got != want {
		t.Errorf("leaf 1 is %q, want %q", got, want)
	}
}

// TestPageLists: set-up, routine, cautions, warnings and sources are those of
// the JSON answer, and so are the title and the ID.
func TestPageLists(t *testing.T) {
	var sheet struct {
		ID                                 string
		Setup, Cautions, Warnings, Sources []string
		PerCut                             []string `json:"per_cut"`
	}
	if err := json.Unmarshal([]byte(shown(t, "POST", "/v1/run", matchedRun)), &sheet); err != nil {
		t.Fatal(err)
	}
	root := parsed(t, shown(t, "POST", "/v1/run?format=html", matchedRun))
	for id, want := range map[string][]string{
		"warnings": sheet.Warnings, "set-up": sheet.Setup, "per-cut": sheet.PerCut, "cautions": sheet.Cautions, "sources": sheet.Sources,
	} {
		var got []string
		for _, section := range elements(root, "section", "") {
			if attribute(section, "aria-labelledby") == id {
				for _, item := range elements(section, "li", "") {
					got = append(got, words(item))
				}
			}
		}
		if len(want) == 0 || !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", id, got, want)
		}
	}
	if text := words(root); !strings.Contains(text, "ID "+sheet.ID) {
		t.Error("the page does not tell the ID")
	}
	if title := words(elements(root, "title", "")[0]); title != "Run sheet: koa-7, ID "+sheet.ID {
		t.Errorf("title %q", title)
	}
}

// TestPageMillimetres: the same board in millimetres, each position to 0.01 mm.
func TestPageMillimetres(t *testing.T) {
	target := strings.NewReplacer("thickness=2&", "thickness=2in&", "width=8", "width=8in", "length=24", "length=24in", "leaf_thickness=0.05", "leaf_thickness=0.05in",
		"skim=0.03", "skim=0.03in", "kerf=0.045", "kerf=0.045in", "back=0.125", "back=0.125in", "lead=0.05", "lead=0.05in", "travel=4", "travel=4in").Replace(walnutRun)
	root := parsed(t, shown(t, "GET", target+"&units=mm&format=html", ""))
	cells := elements(root, "small", "at")
	if got := words(cells[1]); got != "at 4.32" { // 0.170 in x 25.4 = 4.318 mm
		t.Errorf("the second position is %s mm, want at 4.32", got)
	}
	if text := words(root); !strings.Contains(text, "50.80 x 203.20 x 609.60 mm") || !strings.Contains(text, "lengths in millimetres") {
		t.Error("the page does not tell the board's size and the unit in millimetres")
	}
}

// TestPageForReaders: what a screen reader goes by.
func TestPageForReaders(t *testing.T) {
	root := parsed(t, shown(t, "GET", walnutRun+"&format=html", ""))
	if got := attribute(elements(root, "html", "")[0], "lang"); got != "en" {
		t.Errorf("lang is %q", got)
	}
	if n := len(elements(root, "h1", "")); n != 1 {
		t.Errorf("%d first headings", n)
	}
	if name := attribute(elements(root, "table", "")[0], "aria-label"); name != "Cuts of walnut-1" {
		t.Errorf("the table is called %q", name)
	}
	columns := elements(elements(elements(root, "thead", "")[0], "tr", "")[1], "th", "")
	for _, th := range columns {
		if attribute(th, "scope") != "col" {
			t.Errorf("column %q has no scope", words(th))
		}
	}
	if cells := len(elements(elements(root, "tr", "cut")[0], "td", "")) + 1; cells != len(columns) {
		t.Errorf("%d cells under %d columns", cells, len(columns))
	}
	checkIDs(t, root)
}

// checkIDs wants every ID once, and one behind every reference.
func checkIDs(t *testing.T, root *html.Node) {
	t.Helper()
	ids := map[string]bool{}
	for n := range root.Descendants() {
		if id := attribute(n, "id"); id != "" && ids[id] {
			t.Errorf("id %s stands twice", id)
		} else {
			ids[id] = true
		}
	}
	for n := range root.Descendants() {
		for _, id := range strings.Fields(attribute(n, "aria-labelledby")) {
			if !ids[id] {
				t.Errorf("%s is labelled by %s, which is nowhere", n.Data, id)
			}
		}
		if id, inside := strings.CutPrefix(attribute(n, "href"), "#"); inside && !ids[id] {
			t.Errorf("a link leads to %s, which is nowhere", id)
		}
	}
}

// TestPagePolicy: nothing on a page runs or comes from elsewhere, and its style
// is the one that the policy allows.
func TestPagePolicy(t *testing.T) {
	for _, target := range []string{walnutRun + "&format=html", "/problems/no-solution"} {
		checkPolicy(t, ask(t, "GET", target, "text/html", ""))
	}
	if policy := ask(t, "GET", walnutRun+"&format=svg", "", "").Header().Get("Content-Security-Policy"); !strings.HasPrefix(policy, "default-src 'none'") {
		t.Errorf("the drawing's policy is %q", policy)
	}
}

// checkPolicy wants a page without anything that runs or comes from elsewhere,
// whose style is the one that its policy allows.
func checkPolicy(t *testing.T, answer *httptest.ResponseRecorder) {
	t.Helper()
	root := parsed(t, answer.Body.String())
	styles := elements(root, "style", "")
	if answer.Code != http.StatusOK || len(styles) != 1 {
		t.Fatalf("status %d, %d style sheets", answer.Code, len(styles))
	}
	sum := sha256.Sum256([]byte(styles[0].FirstChild.Data))
	policy := answer.Header().Get("Content-Security-Policy")
	for _, want := range []string{"default-src 'none'", "style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"} {
		if !slices.Contains(strings.Split(policy, "; "), want) {
			t.Errorf("the policy %q lacks %q", policy, want)
		}
	}
	checkLocal(t, root)
}

// checkLocal finds scripts, handlers, inline styles and references to elsewhere.
func checkLocal(t *testing.T, root *html.Node) {
	t.Helper()
	for n := range root.Descendants() {
		if n.Type == html.ElementNode && slices.Contains([]string{"script", "iframe", "img", "object", "embed", "image", "use", "foreignobject"}, strings.ToLower(n.Data)) {
			t.Errorf("there is a %s", n.Data)
		}
		for _, a := range n.Attr {
			local := strings.HasPrefix(a.Val, "/") && !strings.HasPrefix(a.Val, "//") || strings.HasPrefix(a.Val, "#") || a.Val == "data:,"
			if strings.HasPrefix(a.Key, "on") || a.Key == "style" || a.Key == "src" || (a.Key == "href" || a.Key == "action") && !local {
				t.Errorf("%s has %s=%q", n.Data, a.Key, a.Val)
			}
		}
	}
}

// TestPageEscapes: names are text wherever they stand.
func TestPageEscapes(t *testing.T) {
	const evil = `</title><script>alert(1)</script>"'&`
	body := fmt.Sprintf(`{"board":{"name":%q,"species":%q,"thickness":2,"width":8,"length":24},"leaves":[{"name":%q,"thickness":0.05,"count":2}]}`, evil, evil, evil)
	root := parsed(t, shown(t, "POST", "/v1/run?format=html", body))
	checkLocal(t, root)
	if got, want := words(elements(root, "h1", "")[0]), "Run sheet: "+evil; got != want {
		t.Errorf("heading %q, want %q", got, want)
	}
	if got, want := words(elements(root, "td", "leaf")[0]), "Leaf 1, "+evil+" 0.050 top edge up"; got != want {
		t.Errorf("leaf %q, want %q", got, want)
	}
}

// TestRunForms: a browser gets the page, an image the drawing, the rest JSON.
func TestRunForms(t *testing.T) {
	for accept, want := range map[string]string{
		"text/html,application/xhtml+xml,application/xml;q=0.9,image/avif,image/webp,*/*;q=0.8": "text/html; charset=utf-8",
		"image/svg+xml": "image/svg+xml", "*/*": "application/json", "text/csv": "text/csv; charset=utf-8",
	} {
		answer := ask(t, "GET", walnutRun, accept, "")
		if got := answer.Header().Get("Content-Type"); answer.Code != http.StatusOK || got != want {
			t.Errorf("Accept: %s gives %d %s, want %s", accept, answer.Code, got, want)
		}
	}
}

// TestRunFormRefusals: whatever the form, what is wrong comes as a problem.
func TestRunFormRefusals(t *testing.T) {
	thick := strings.Replace(walnutRun, "leaf_thickness=0.05", "leaf_thickness=5", 1)
	for _, row := range []struct {
		target, accept string
		status         int
	}{
		{thick + "&format=html", "", 422}, {thick + "&format=svg", "", 422}, {thick + "&format=csv", "", 422}, {thick, "text/html", 422},
		{walnutRun + "&format=html&pick=id", "", 400}, {walnutRun + "&format=svg&pick=id", "", 400},
		{walnutRun + "&format=pdf", "", 400}, {walnutRun + "&nonsense=1&format=html", "", 400},
		{"/v1/dial?leaf_thickness=0.05&format=html", "", 400}, {"/v1/dial?leaf_thickness=0.05", "image/svg+xml", 406},
	} {
		answer := ask(t, "GET", row.target, row.accept, "")
		if got := answer.Header().Get("Content-Type"); answer.Code != row.status || got != "application/problem+json" {
			t.Errorf("%s: %d %s, want %d and a problem", row.target, answer.Code, got, row.status)
		}
	}
}

// TestProblemPages: a problem's page is text, and a page in a browser.
func TestProblemPages(t *testing.T) {
	for accept, want := range map[string]string{"": "text/plain; charset=utf-8", "*/*": "text/plain; charset=utf-8", "text/html,*/*;q=0.8": "text/html; charset=utf-8"} {
		answer := ask(t, "GET", "/problems/no-solution", accept, "")
		body, err := io.ReadAll(answer.Body)
		if got := answer.Header().Get("Content-Type"); err != nil || got != want || !strings.Contains(string(body), "What is asked for cannot be cut") {
			t.Errorf("Accept: %q gives %s %s", accept, got, body)
		}
	}
	if code := ask(t, "GET", "/problems/none", "text/html", "").Code; code != http.StatusNotFound {
		t.Errorf("an unknown type gives %d", code)
	}
}

// TestPhoneUnits: on a phone, where the head of the table is not shown, every number of
// a cut says what it counts.
func TestPhoneUnits(t *testing.T) {
	for unit, target := range map[string]string{"in": walnutRun, "mm": walnutRun + "&units=mm"} {
		page := shown(t, http.MethodGet, target+"&format=html", "")
		root := parsed(t, page)
		rows := elements(root, "tr", "cut")
		lengths := append(elements(root, "small", "at"), elements(root, "span", "aim")...)
		for _, n := range lengths {
			if got := attribute(n, "data-unit"); got != unit && words(n) != "" {
				t.Errorf("%q has the unit %q", words(n), got)
			}
		}
		if len(rows) == 0 || len(lengths) != 2*len(rows) {
			t.Errorf("%d cuts, %d lengths", len(rows), len(lengths))
		}
		if !regexp.MustCompile("position [0-9.]+ " + unit + "</dd>").MatchString(page) {
			t.Error("what rounding does has no unit")
		}
		for _, want := range []string{`.move b::after{content:" div."`, `.at::after,.aim[data-unit]::after{content:" " attr(data-unit)}`} {
			if !strings.Contains(page, want) {
				t.Errorf("the page lacks %s", want)
			}
		}
	}
}
