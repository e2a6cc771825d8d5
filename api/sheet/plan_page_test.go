package sheet_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// oakPlan takes both boards: each gives four billets 3.5 wide and 20 long, two
// on each side of the defect, and each billet three leaves, for 0.05 + 0.05 of
// truing, 3 x (0.2 + 0.05) and 0.1 of hold-back leave 0.05 of 1.
const oakPlan = `{"boards":[{"name":"oak-1","species":"oak, white","thickness":1,"width":8,"length":48,"quantity":2,"price":64.5,"defects":[{"from":22,"to":24}]}],
"parts":[{"name":"top","thickness":0.2,"width":3.5,"length":20,"quantity":20,"spare":4,"divide":false%s}],
"kerf":0.05,"skim":0.05,"hold_back":0.1,"end_trim":0.5,"rip_kerf":0.125,"crosscut_kerf":0.125,"thickness_margin":%s}`

var oakSimple = fmt.Sprintf(oakPlan, "", "0")

// texts gives the words of each element found.
func texts(found []*html.Node) []string {
	list := make([]string, len(found))
	for i, n := range found {
		list[i] = words(n)
	}
	return list
}

// section gives the one that is labelled by an ID.
func section(t *testing.T, root *html.Node, id string) *html.Node {
	t.Helper()
	for _, s := range elements(root, "section", "") {
		if attribute(s, "aria-labelledby") == id {
			return s
		}
	}
	t.Fatalf("there is no section %s", id)
	return nil
}

// rowsOf gives the words of the cells of each row of a class.
func rowsOf(root *html.Node, class string) (rows []string) {
	for _, row := range elements(root, "tr", class) {
		var cells []string
		for cell := range row.ChildNodes() {
			cells = append(cells, words(cell))
		}
		rows = append(rows, strings.TrimPrefix(strings.Join(cells, " | "), " | "))
	}
	return rows
}

func wantTexts(t *testing.T, what string, got, want []string) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("%s:\n%q\nwant\n%q", what, got, want)
	}
}

// TestPlanPageSummary: what the first page says, in words and figures.
func TestPlanPageSummary(t *testing.T) {
	root := parsed(t, shown(t, "POST", "/v1/plan?format=html", oakSimple))
	if got, want := words(elements(root, "h1", "")[0]), "Plan: 24 leaves from 2 boards for 129.00 USD"; got != want {
		t.Errorf("heading %q, want %q", got, want)
	}
	verdict := section(t, root, "verdict")
	wantTexts(t, "verdict", texts(elements(verdict, "h2", "")), []string{"Proven: no cheaper plan exists with these boards and these cuts."})
	wantTexts(t, "figures", texts(elements(verdict, "dd", "")), []string{"129.00 USD", "129.00 USD", "0 %", "2", "8", "24", "32", "2"})
	wantTexts(t, "boards to pull", rowsOf(root, "pull"), []string{"oak-1 1.000 x 8.000 x 48.000 in, oak, white cut as A (2 boards) | 2 | 129.00 USD 64.50 USD each"})
	wantTexts(t, "parts", rowsOf(root, "part"), []string{"top 0.200 x 3.500 x 20.000 | 24 | 24 | none"})
	checkIDs(t, root)
}

// TestPlanPageSteps: the cuts in order, worked by hand: half an inch of trim,
// lengths of 20 from 0.5 and, past the defect, from 24; rips at 3.5 and, a kerf
// of 1/8 and a billet further, at 7.125.
func TestPlanPageSteps(t *testing.T) {
	root := parsed(t, shown(t, "POST", "/v1/plan?format=html", oakSimple))
	way := section(t, root, "board-1")
	wantTexts(t, "heading", texts(elements(way, "h2", "")), []string{"oak-1 A: cut 2 boards alike"})
	wantTexts(t, "cuts", texts(elements(elements(way, "ol", "ticks")[0], "li", "")), []string{
		"Trim the end: crosscut at 0.500 (1/2), the kerf before the line",
		"Crosscut at 20.500 (20-1/2): length for A1, A2, 20.000 long",
		"Crosscut at 24.000, the kerf before the line: what comes off is an offcut",
		"Crosscut at 44.000: length for A3, A4, 20.000 long",
		"Rip the length for A1, A2 at 3.500 (3-1/2): billet A1, 3.500 (3-1/2) wide",
		"Rip the length for A1, A2 at 7.125 (7-1/8): billet A2, 3.500 (3-1/2) wide",
		"Rip the length for A3, A4 at 3.500 (3-1/2): billet A3, 3.500 (3-1/2) wide",
		"Rip the length for A3, A4 at 7.125 (7-1/8): billet A4, 3.500 (3-1/2) wide",
	})
}

// TestPlanPageWhole: ends without a cut are said to be left. Two lengths of 20
// with a kerf of 1/8 fill 40.125, two widths of 3 with one of 1/8 fill 6.125.
func TestPlanPageWhole(t *testing.T) {
	for trim, want := range map[string][]string{
		"0": {"Crosscut at 20.000: length for A1, A2, 20.000 long", "What is left: length for A3, A4, 20.000 long"},
		"1": {"Trim the end: crosscut at 1.000, the kerf before the line", "Crosscut at 21.000: length for A1, A2, 20.000 long", "Trim the other end: crosscut at 41.125 (41-1/8): length for A3, A4, 20.000 long"},
	} {
		board := map[string]string{"0": "40.125", "1": "42.125"}[trim]
		root := parsed(t, shown(t, "POST", "/v1/plan?format=html", `{"boards":[{"thickness":1,"width":6.125,"length":`+board+`,"quantity":1}],
			"parts":[{"thickness":0.7,"width":3,"length":20,"quantity":4,"divide":false}],"kerf":0.05,"hold_back":0.1,"end_trim":`+trim+`}`))
		steps := texts(elements(elements(section(t, root, "board-1"), "ol", "ticks")[0], "li", ""))
		wantTexts(t, "cuts with a trim of "+trim, steps, append(want,
			"Rip the length for A1, A2 at 3.000: billet A1, 3.000 wide", "What is left: billet A2, 3.000 wide",
			"Rip the length for A3, A4 at 3.000: billet A3, 3.000 wide", "What is left: billet A4, 3.000 wide"))
	}
}

// TestPlanPageBillets: a row a billet, and a label for each of each board.
func TestPlanPageBillets(t *testing.T) {
	root := parsed(t, shown(t, "POST", "/v1/plan?format=html", fmt.Sprintf(oakPlan, `,"matched":1`, "0.06")))
	rows := elements(root, "tr", "billet")
	labels := texts(elements(section(t, root, "labels"), "li", ""))
	if len(rows) != 4 || len(labels) != 8 {
		t.Fatalf("%d rows and %d labels, want 4 and 8", len(rows), len(labels))
	}
	for i, row := range rows {
		want := fmt.Sprintf("oak-1 A%d 1.000 x 3.500 x 20.000 truing cut 0.050 deep, remainder 0.050", i+1)
		if got := words(elements(row, "th", "")[0]); got != want {
			t.Errorf("billet %q, want %q", got, want)
		}
		wantTexts(t, "leaves", texts(elements(row, "span", "leaves")), []string{"3 x top, 0.200"})
		wantTexts(t, "tight", texts(elements(row, "b", "tight")), []string{"Tight: less than 0.060 to spare. Saw it first, measure as you go."})
	}
	for i, got := range labels {
		if want := fmt.Sprintf("oak-1 A%d 1.000 x 3.500 x 20.000 3 x top 0.200 board %d of 2", i%4+1, i/4+1); got != want {
			t.Errorf("label %q, want %q", got, want)
		}
	}
}

// TestPlanPageRuns: each billet leads to its run sheet behind the plan, matched
// or not, and that is the sheet which its request gives.
func TestPlanPageRuns(t *testing.T) {
	matched := strings.Replace(fmt.Sprintf(oakPlan, `,"matched":3`, "0"), `"quantity":20,"spare":4`, `"quantity":21,"spare":3`, 1)
	for _, order := range []string{oakSimple, matched} {
		var plan struct {
			Taken []struct {
				Billets []struct{ Run json.RawMessage }
			}
		}
		if err := json.Unmarshal([]byte(shown(t, "POST", "/v1/plan", order)), &plan); err != nil {
			t.Fatal(err)
		}
		root := parsed(t, shown(t, "POST", "/v1/plan?format=html", order))
		checkIDs(t, root)
		links := elements(root, "a", "screen")
		if len(links) != 4 || len(elements(root, "section", "behind")) != 4 {
			t.Fatalf("%d links and %d sheets, want 4", len(links), len(elements(root, "section", "behind")))
		}
		for i, link := range links {
			id, _ := strings.CutPrefix(attribute(link, "href"), "#")
			sheet := section(t, root, id)
			own := parsed(t, shown(t, "POST", "/v1/run?format=html", string(plan.Taken[0].Billets[i].Run)))
			if got, want := words(elements(sheet, "h2", "name")[0]), words(elements(own, "h1", "")[0]); got != want || got != fmt.Sprintf("Run sheet: oak-1 A%d", i+1) {
				t.Errorf("the link leads to %q, its request to %q", got, want)
			}
			if got, want := words(elements(sheet, "table", "")[0]), words(elements(own, "table", "")[0]); got != want || !strings.Contains(got, "Leaf 3") {
				t.Errorf("the cuts behind the plan are\n%s\nits request gives\n%s", got, want)
			}
		}
		if text := words(section(t, root, "run-1")); !strings.Contains(text, "2 boards are cut alike") {
			t.Error("nothing says that there are two of each billet")
		}
	}
}

// TestPlanPageManyRuns: behind a plan stand no more than sixty run sheets; the
// billets after them have a link, or a request to send where a link cannot hold
// it.
func TestPlanPageManyRuns(t *testing.T) {
	root := parsed(t, shown(t, "POST", "/v1/plan?format=html", kinds(62)))
	links := elements(root, "a", "screen")
	if n := len(elements(root, "section", "behind")); n != 60 || len(links) != 62 {
		t.Fatalf("%d sheets and %d links, want 60 and 62", n, len(links))
	}
	sheet := parsed(t, shown(t, "GET", attribute(links[61], "href"), ""))
	if got := words(elements(sheet, "h1", "")[0]); got != "Run sheet: board 62 A1" {
		t.Errorf("the last link leads to %q", got)
	}
	root = parsed(t, shown(t, "POST", "/v1/plan?format=html", strings.NewReplacer(`"quantity":1`, `"quantity":2,"matched":2`, `"thickness":0.5`, `"thickness":0.3`).Replace(kinds(61))))
	if requests := elements(root, "pre", ""); len(requests) != 1 || !strings.Contains(shown(t, "POST", "/v1/run?format=html", words(requests[0])), "bookmatch with no.") {
		t.Errorf("%d requests, want 1", len(requests))
	}
}

// TestShopSizes: the tape's sixty-fourths stand beside a decimal that is within
// 0.001 in of one: 0.4844 is 31/64 = 0.484375 and 0.0149 is not 1/64 = 0.015625
// by less. Whole inches and millimetres have none.
func TestShopSizes(t *testing.T) {
	page := func(units string, trim, long string) string {
		return strings.Join(texts(elements(section(t, parsed(t, shown(t, "POST", "/v1/plan?format=html", `{"units":"`+units+`","boards":[{"thickness":"1 in","width":"8 in","length":"48 in","quantity":1}],
			"parts":[{"thickness":"0.5 in","width":"8 in","length":"`+long+` in","quantity":1}],"kerf":"0.05 in","hold_back":"0.1 in","end_trim":"`+trim+` in"}`)), "board-1"), "li", "")), "; ")
	}
	for _, c := range []struct{ units, trim, long, want, not string }{
		{"in", "0.5", "20.5", "crosscut at 0.500 (1/2),", ""}, {"in", "0.5", "20.5", "Crosscut at 21.000: billet A1, 20.500 (20-1/2) long", ""},
		{"in", "0.4844", "20", "crosscut at 0.484 (31/64),", ""}, {"in", "0.4853", "20", "crosscut at 0.485 (31/64),", ""}, {"in", "0.4854", "20", "crosscut at 0.485,", ""},
		{"in", "0.4834", "20", "crosscut at 0.483 (31/64),", ""}, {"in", "0.4833", "20", "crosscut at 0.483,", ""}, {"in", "0.9995", "20", "crosscut at 1.000,", "(1"},
		{"mm", "0.5", "20.5", "crosscut at 12.70,", "(1/2)"},
	} {
		if got := page(c.units, c.trim, c.long); !strings.Contains(got, c.want) || c.not != "" && strings.Contains(got, c.not) {
			t.Errorf("%s, trim %s: %q, want %q", c.units, c.trim, got, c.want)
		}
	}
}

// TestPlanCautions: the cautions of the answer stand on the page before the
// first cut, with those of ripping and short pieces among them.
func TestPlanCautions(t *testing.T) {
	var plan struct{ Cautions []string }
	if err := json.Unmarshal([]byte(shown(t, "POST", "/v1/plan", oakSimple)), &plan); err != nil {
		t.Fatal(err)
	}
	root := parsed(t, shown(t, "POST", "/v1/plan?format=html", oakSimple))
	wantTexts(t, "cautions", texts(elements(section(t, root, "cautions"), "li", "")), plan.Cautions)
	all, text := strings.Join(plan.Cautions, " "), words(root)
	for _, want := range []string{"push sticks", "hold-downs", "short pieces", "nothing smaller than the machine's manual allows", "white oak"} {
		if !strings.Contains(all, want) {
			t.Errorf("nothing says %q: %s", want, all)
		}
	}
	if strings.Index(text, plan.Cautions[0]) > strings.Index(text, "Cuts, in order") {
		t.Error("the cautions stand behind the first cut")
	}
}

// TestPlanPageUnmet: six of a dozen leaves are missing when one board gives
// six, and the page says so.
func TestPlanPageUnmet(t *testing.T) {
	root := parsed(t, shown(t, "POST", "/v1/plan?format=html", `{"units":"mm","boards":[{"name":"ash","thickness":20,"quantity":1}],"parts":[{"name":"slat","thickness":2,"quantity":12}],"kerf":1,"hold_back":2}`))
	verdict := section(t, root, "verdict")
	wantTexts(t, "verdict", texts(elements(verdict, "h2", "")), []string{"The boards do not give every part."})
	if got := texts(elements(verdict, "p", ""))[0]; !strings.HasPrefix(got, "Missing: 6 x slat. ") {
		t.Errorf("remark %q", got)
	}
	wantTexts(t, "parts", rowsOf(root, "part"), []string{"slat 2.00 | 12 | 6 | 6 missing"})
	if got := words(elements(verdict, "dd", "")[0]); got != "1 board" {
		t.Errorf("without prices the cost is %q", got)
	}
}

// TestPlanPageOneDimension: without widths and lengths there is no face and
// nothing to crosscut, but an end view.
func TestPlanPageOneDimension(t *testing.T) {
	root := parsed(t, shown(t, "POST", "/v1/plan?format=html", slats(40)))
	if n := len(elements(root, "ol", "ticks")); n != 0 {
		t.Errorf("%d lists of cuts", n)
	}
	if got := texts(elements(root, "figcaption", "")); len(got) != 1 || got[0] != "A1: 6 x slat 2.00" {
		t.Errorf("end views %q", got)
	}
	checkIDs(t, root)
}

// slats is an order of boards of six leaves each: 6 x (2 + 1) + 2 is 20.
func slats(boards int) string {
	return `{"units":"mm","boards":[{"name":"ash","thickness":20}],"parts":[{"name":"slat","thickness":2,"quantity":` + strconv.Itoa(6*boards) + `}],"kerf":1,"hold_back":2}`
}

// TestPlanPageManyLabels: no more labels than a few sides hold; the rest is
// counted.
func TestPlanPageManyLabels(t *testing.T) {
	for boards, want := range map[int][2]int{240: {240, 0}, 241: {240, 1}, 3_000: {240, 2_760}} {
		labels := section(t, parsed(t, shown(t, "POST", "/v1/plan?format=html", slats(boards))), "labels")
		rest := ""
		if want[1] > 0 {
			rest = fmt.Sprintf("And %d more: write those on the wood.", want[1])
		}
		if got := strings.Join(texts(elements(labels, "p", "")), ""); len(elements(labels, "li", "")) != want[0] || got != rest {
			t.Errorf("%d boards: %d labels and %q", boards, len(elements(labels, "li", "")), got)
		}
	}
}

// TestPlanPagePolicy: nothing runs or comes from elsewhere.
func TestPlanPagePolicy(t *testing.T) {
	answer := ask(t, "POST", "/v1/plan", "text/html", oakSimple)
	if got := answer.Header().Get("Content-Type"); got != "text/html; charset=utf-8" {
		t.Errorf("a browser gets %s", got)
	}
	checkPolicy(t, answer)
}

// TestPlanEscapes: names are text wherever they stand, on the page and in the
// drawing.
func TestPlanEscapes(t *testing.T) {
	const evil = `</title><script>x</script>"'&`
	body := strings.NewReplacer(`"oak-1"`, strconv.Quote(evil), `"top"`, strconv.Quote(evil+"2"), `"oak, white"`, strconv.Quote(evil)).Replace(oakSimple)
	root := parsed(t, shown(t, "POST", "/v1/plan?format=html", body))
	checkLocal(t, root)
	if got, want := texts(elements(section(t, root, "board-1"), "h2", ""))[0], evil+" A: cut 2 boards alike"; got != want {
		t.Errorf("heading %q, want %q", got, want)
	}
	for _, s := range shapes(t, shown(t, "POST", "/v1/plan?format=svg", body)) {
		if s.name == "script" {
			t.Error("a name becomes a script in the drawing")
		}
	}
}

// TestPlanFormRefusals: what is wrong comes as a problem in any form.
func TestPlanFormRefusals(t *testing.T) {
	for _, row := range []struct {
		target, body string
		status       int
	}{
		{"/v1/plan?format=html", `{"boards":[],"parts":[]}`, 422}, {"/v1/plan?format=svg", `{`, 400},
		{"/v1/plan?format=html&pick=id", oakSimple, 400}, {"/v1/plan?format=svg&pick=id", oakSimple, 400},
	} {
		answer := ask(t, "POST", row.target, "", row.body)
		if got := answer.Header().Get("Content-Type"); answer.Code != row.status || got != "application/problem+json" {
			t.Errorf("%s: %d %s, want %d and a problem", row.target, answer.Code, got, row.status)
		}
	}
	if code := ask(t, "GET", "/v1/plan?format=html", "", "").Code; code != http.StatusMethodNotAllowed {
		t.Errorf("GET: %d", code)
	}
}

// TestPlanPageMixed: a leaf that shares a larger billet says how much larger it
// comes: 20 - 5 and 8 - 3. Two billets that are resawn differently have two end
// views.
func TestPlanPageMixed(t *testing.T) {
	root := parsed(t, shown(t, "POST", "/v1/plan?format=html", `{"boards":[{"thickness":1,"width":8,"length":20,"quantity":1}],
		"parts":[{"name":"top","thickness":0.2,"width":8,"length":20,"quantity":2},{"name":"tab","thickness":0.15,"width":3,"length":5,"quantity":1}],"kerf":0.05,"hold_back":0.1}`))
	wantTexts(t, "leaves", texts(elements(root, "span", "leaves")), []string{"2 x top, 0.200", "1 x tab, 0.150; comes off 15.000 longer and 5.000 wider than the part: trim it"})
	root = parsed(t, shown(t, "POST", "/v1/plan?format=html", `{"boards":[{"thickness":1,"width":8,"length":40.125,"quantity":1}],
		"parts":[{"name":"top","thickness":0.2,"width":8,"length":20,"quantity":3},{"name":"rib","thickness":0.1,"width":8,"length":20,"quantity":5}],"kerf":0.05,"hold_back":0.1}`))
	if got := texts(elements(root, "figcaption", "")); len(got) != 2 {
		t.Errorf("end views %q, want 2", got)
	}
}

// TestPlanPageManyBoards: of two hundred and one ways to cut a board the last
// is not drawn, and its billets still stand on the page.
func TestPlanPageManyBoards(t *testing.T) {
	root := parsed(t, shown(t, "POST", "/v1/plan?format=html", kinds(201)))
	way := section(t, root, "board-201")
	if n := len(elements(root, "figcaption", "")); n != 200 || len(elements(way, "tr", "billet")) != 1 || !strings.Contains(words(way), "Not drawn.") {
		t.Errorf("%d end views, want 200; the last board says %q", n, words(way))
	}
}

// kinds is an order of which each part takes a board of its own kind.
func kinds(n int) string {
	var boards, wanted []string
	for i := range n {
		boards = append(boards, fmt.Sprintf(`{"species":"kind %d","thickness":1,"width":5,"length":20}`, i))
		wanted = append(wanted, fmt.Sprintf(`{"species":"kind %d","thickness":0.5,"width":5,"length":20,"quantity":1}`, i))
	}
	return `{"boards":[` + strings.Join(boards, ",") + `],"parts":[` + strings.Join(wanted, ",") + `],"kerf":0.05,"hold_back":0.1}`
}
