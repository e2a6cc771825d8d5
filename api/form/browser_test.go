package form_test

import (
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"resawd/api"
	"resawd/api/apitest"
	"resawd/api/key"
)

// element finds an element by its ID.
func element(t *testing.T, root *html.Node, id string) *html.Node {
	t.Helper()
	for n := range root.Descendants() {
		if attribute(n, "id") == id {
			return n
		}
	}
	t.Fatalf("nothing has the ID %s", id)
	return nil
}

func words(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data + " ")
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// fetched gives the body behind an address.
func fetched(t *testing.T, address string) string {
	t.Helper()
	request, err := http.NewRequestWithContext(t.Context(), http.MethodGet, address, http.NoBody)
	if err != nil {
		t.Fatal(err)
	}
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	body, err := io.ReadAll(answer.Body)
	if err := answer.Body.Close(); err != nil {
		t.Error(err)
	}
	if err != nil || answer.StatusCode != http.StatusOK {
		t.Fatalf("%s: %d %v", address, answer.StatusCode, err)
	}
	return string(body)
}

// TestDialForm: an address that carries values fills in the form and asks; the
// cell and the shell line beside the answer give the same. 0.05 + 0.045 in at
// 0.1 in a turn are 0.95 turns.
func TestDialForm(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	root := start(t).open(server.URL + "/use/dial?leaf_thickness=0.05&kerf=0.045&lead=0.1&divisions_per_turn=100&leaf_count=2")
	if text := words(element(t, root, "answer")); !strings.Contains(text, "Turn the dial 0 turns + 95 divisions Advance 0.095 in Advance set 0.095 in Turns 0.95 Turns asked 0.95 ") || !strings.Contains(text, "Cut Purpose Position, in Turn the dial Reading Leaf, in Deviation, in 1 leaf 0.095 0 turns + 95 divisions 95 0.05 0 ") {
		t.Errorf("the answer is %s", text)
	}
	cell := regexp.MustCompile(`^=WEBSERVICE\("(.*)"\)$`).FindStringSubmatch(words(element(t, root, "cell")))
	if len(cell) < 2 {
		t.Fatalf("the cell is %q", words(element(t, root, "cell")))
	}
	if got := fetched(t, strings.ReplaceAll(cell[1], "pick=advance&", "pick=turns&")); strings.TrimSpace(got) != "0.95" {
		t.Errorf("the cell gives %q", got)
	}
	line := regexp.MustCompile(`^curl '(.*)'$`).FindStringSubmatch(words(element(t, root, "curl")))
	if len(line) < 2 || !strings.Contains(fetched(t, line[1]), `"turns":0.95`) {
		t.Errorf("the shell line is %q", line)
	}
}

// TestKeyboard: a form is filled in, sent, corrected and cleared without a mouse, and what was
// cleared comes back.
func TestKeyboard(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	b := start(t)
	b.open(server.URL + "/use/yield")
	b.value(`document.getElementById("f-board_thickness").focus()`)
	b.write("two")
	b.press("Tab", 9, "")
	b.write("0.05")
	b.press("Enter", 13, "\r")
	b.wait(`document.activeElement.id === "f-board_thickness" && document.activeElement.getAttribute("aria-invalid") === "true"`)
	b.value(`document.activeElement.select()`)
	b.write("2")
	b.press("Enter", 13, "\r")
	b.wait(`document.getElementById("answer").innerText.includes("Leaf count")`)
	root := b.answered()
	if _, hidden := attributeOf(element(t, root, "e-board_thickness"), "hidden"); !hidden {
		t.Error("the mistake still stands there once it is corrected")
	}
	if query := b.value("location.search"); !strings.Contains(query, "board_thickness=2") || !strings.Contains(query, "leaf_thickness=0.05") {
		t.Errorf("the address keeps %q", query)
	}
	b.value(`document.getElementById("clear").focus()`)
	b.press("Enter", 13, "\r")
	b.wait(`document.getElementById("f-board_thickness").value === "" && location.search === ""`)
	b.value(`history.back()`)
	b.wait(`document.getElementById("f-board_thickness").value === "2" && document.getElementById("answer").innerText.includes("Leaf count")`)
}

// TestRunForm: with the leaf count left empty a board gives what it can, and the
// link beside the answer opens the sheet to print. 2 - 0.075 - 0.125 in hold 18
// advances of 0.095 in.
func TestRunForm(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	root := start(t).open(server.URL + "/?board_name=koa-7&board_thickness=2&board_width=8&board_length=24&leaf_thickness=0.05&kerf=0.045&skim=0.03&hold_back=1/8&leaf_count=")
	if text := words(element(t, root, "answer")); !strings.Contains(text, "Leaf count 18 ") {
		t.Errorf("the answer is %s", text)
	}
	sheet := fetched(t, server.URL+attribute(element(t, root, "sheet"), "href"))
	if !strings.Contains(sheet, "<h1>Run sheet: koa-7</h1>") || strings.Count(sheet, `<tr class="cut"`) != 19 {
		t.Errorf("the sheet is %.200s", sheet)
	}
}

// TestMistakesBesideFields: each mistake stands beside its field, in a query, a
// body and a table, and no JSON anywhere.
func TestMistakesBesideFields(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	table := url.QueryEscape("thickness\tcount\n0.05\t2\n-1\tmany")
	b := start(t)
	for address, want := range map[string]map[string]string{
		"/?board_thickness=2&board_width=&board_length=x&leaf_thickness=0.05&tpi=many":                                                {"board_length": "no number", "board_width": "is missing", "tpi": "number"},
		"/?board_thickness=2&board_width=8&board_length=24&leaf_thickness=0.05&leaf_count=0":                                          {"leaf_count": "at least 1"},
		"/?board_thickness=2&board_width=-8&board_length=24&leaves=" + table:                                                          {"leaves": "line 3", "board_width": "above 0"},
		"/use/plan?boards=" + url.QueryEscape("thickness\n1") + "&parts=&time_limit_seconds=0":                                        {"parts": "is missing", "time_limit_seconds": "0"},
		"/use/plan?parts=thickness%0A1&boards=" + url.QueryEscape("\nname;thickness\n\noak;1\n\nash;x"):                               {"boards": "line 6, thickness: \"x\" has no number"},
		"/use/plan?parts=thickness,quantity%0A1,1&boards=thickness%0A1&kits=" + url.QueryEscape("quantity\tparts\n1\tside 1; side x"): {"kits": "line 2, parts 2 quantity: must be a whole number"},
		"/use/gauge?target=0.05&tolerance=0.003&readings=" + url.QueryEscape("0.05 0.051\n0.05 thin"):                                 {"readings": "line 2, value 2: \"thin\" has no number"},
		"/use/gauge?target=0.05&tolerance=0.003&readings=0.05&advances=0.1+wide":                                                      {"advances": "value 2: \"wide\" has no number"},
		"/use/dial?leaf_thickness=0.05&saw=tall":                                                                                      {"saw": "tall"},
		"/use/upkeep?symptom=burning":                                                                                                 {"symptom": "burning"},
		"/use/rail?length=48":                                                                                                         {"section_shape": "is missing"},
		"/use/rail?length=long":                                                                                                       {"length": "no number"},
		"/use/price?leaf_count=3&run_seconds=60&feed=":                                                                                {"wood_cost": "give it or Board foot price"},
	} {
		root := b.open(server.URL + address)
		for name, text := range want {
			place := element(t, root, "e-"+name)
			_, hidden := attributeOf(place, "hidden")
			if got := words(place); hidden || !strings.Contains(got, text) {
				t.Errorf("%s: beside %s stands %q, want %q", address, name, got, text)
			}
		}
		if text := words(element(t, root, "answer")); strings.ContainsAny(text, "{}") {
			t.Errorf("%s: the answer is %q", address, text)
		}
	}
}

// TestAddresses: an address with values fills in each field that it names, whatever
// the field is called.
func TestAddresses(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	b := start(t)
	for _, address := range addresses() {
		blank, _ := page(t, address)
		query, names := url.Values{}, 0
		for n := range blank.Descendants() {
			if n.Data == "input" || n.Data == "textarea" {
				query.Set(attribute(n, "name"), "1")
			}
		}
		query.Del("")
		b.open(server.URL + address + "?" + query.Encode())
		for name := range query {
			names++
			if got := b.value(`document.querySelector("form [name=` + name + `]").value`); got != "1" {
				t.Errorf("%s: %s is %q", address, name, got)
			}
		}
		if names == 0 {
			t.Errorf("%s has no fields", address)
		}
	}
}

// TestReadingsOfAColumn: a column of readings, pasted, is a leaf a line, in a query and
// in a body.
func TestReadingsOfAColumn(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	b := start(t)
	root := b.open(server.URL + "/use/gauge?target=0.05&tolerance=0.003&readings=" + url.QueryEscape("0.05\t0.052\n0.051 0.051;\n0.049 0.05\n"))
	if text := words(element(t, root, "answer")); !strings.Contains(text, "In count 3 ") || !strings.Contains(text, "1 0.051 0.05 0.052 0.002 in 2 0.051 ") {
		t.Errorf("the answer is %s", text)
	}
	root = b.open(server.URL + "/?board_thickness=2&board_width=6&board_length=20&kerf=0.05&leaves=" + url.QueryEscape("thickness\n0.05") + "&done_cuts=2&done_readings=" + url.QueryEscape("0.048\n0.049"))
	if text := words(element(t, root, "answer")); !strings.Contains(text, "Cuts done Cut Purpose Leaf Mark Thickness, in Position, in Minimum, in Maximum, in Verdict 1 leaf 1 billet no. 1, top edge up 0.05 0.1 0.048 0.048 in 2 ") {
		t.Errorf("the answer is %s", text)
	}
}

// TestCommas: a decimal comma is one, in a field, in a list and in a table, unless it may
// mark thousands; a name keeps its own.
func TestCommas(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	b := start(t)
	for address, want := range map[string]string{
		"/use/dial?leaf_thickness=0,05&kerf=,045":                                                    "Turns 0.95 ",
		"/use/dial?leaf_thickness=1,2mm&kerf=1,125mm":                                                "1,125mm\" has a comma",
		"/use/dial?leaf_thickness=1.200,5&kerf=0,045":                                                "1.200,5\" has a comma",
		"/use/dial?leaf_thickness=1,200,5&kerf=0,045":                                                "1,200,5\" has a comma",
		"/use/gauge?target=0,05&tolerance=0,003&readings=0,05+0,052;0,05+0,051&advances=0,1":         "Mean 0.0508 in",
		"/?board_name=3,5+a&board_thickness=1,5&board_width=6&board_length=20&leaf_thickness=0,0625": "3,5 a no. 1, top edge up 0.063 ",
		"/use/plan?kerf=0,05&hold_back=0,1&boards=" + url.QueryEscape("name\tthickness\tprice\n4,4\t0,5\t12,5\n") + "&parts=" + url.QueryEscape("thickness;quantity\n0,05;2"):         "Cost 12.5 USD",
		"/use/plan?boards=" + url.QueryEscape("thickness;length;width;defects\n0,5;20,5;5;2,5 3,25") + "&parts=" + url.QueryEscape("thickness;length;width;quantity\n0,05;17,25;5;1"): "board 1 A1 3.25 0 17.25 5 ",
	} {
		root := b.open(server.URL + address)
		if text := words(root); !strings.Contains(text, want) {
			t.Errorf("%s: %s", address, text)
		}
	}
}

// TestPhoneMarks: marks that the keyboard of a phone or a printer writes are read like
// those of a keyboard, and commas with spaces part the values of a list.
func TestPhoneMarks(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	b := start(t)
	for address, want := range map[string]string{
		"/use/dial?kerf=0.045&leaf_thickness=" + url.QueryEscape("1\u204420 in."):                                                "Turns 0.95 ",
		"/use/dial?kerf=0.045&leaf_thickness=" + url.QueryEscape("1/20\u2019\u2019"):                                             "Turns 0.95 ",
		"/use/yield?leaf_thickness=0.05&kerf=0.05&hold_back=0&board_thickness=" + url.QueryEscape("1\u20131/4"):                  "Leaf count 12 ",
		"/use/gauge?target=2,5&units=mm&readings=" + url.QueryEscape("2,51, 2,49, 2,53\n2.47, 2.50, 2.48,"):                      "Mean 2.497 mm",
		"/use/plan?boards=" + url.QueryEscape("name;thickness\n\"3\"\" oak; old\";1/2\"") + "&parts=thickness;quantity%0A0.05;2": "3\" oak; old A1",
		"/use/plan?boards=thickness%0A1&parts=" + url.QueryEscape("thickness;quantity\n1/8\";2\n3mm;1"):                          "Cost 1 board ",
		"/use/plan?boards=thickness%0Ax&parts=" + url.QueryEscape("thickness;quantity\nthin;2\n3mm;many"):                        "line 2, thickness: \"thin\" has no number where one is needed line 3, quantity:",
		"/use/target?finished=2&wanted=4&good_rate=0.5":                                                                          "leaf count takes leaves to be good",
	} {
		root := b.open(server.URL + address)
		if text := words(root); !strings.Contains(text, want) {
			t.Errorf("%s: %s", address, text)
		}
	}
	b.open(server.URL + "/use/plan?boards=thickness%0A1&parts=" + url.QueryEscape("thickness;quantity\nthin;2\n3mm;many"))
	if lines := b.value(`String(document.getElementById("e-parts").innerText.split("\n").length)`); lines != "2" {
		t.Errorf("two mistakes in a table stand on %s lines", lines)
	}
}

// TestChanged: an answer to what the form said before does not pass for one to what it
// says now.
func TestChanged(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	b := start(t)
	b.open(server.URL + "/use/dial?leaf_thickness=0.05&kerf=0.05")
	told := `document.getElementById("answer").innerText.includes("changed since")`
	if b.value(told) != "false" {
		t.Error("the answer is old though the form is as it was")
	}
	b.value(`document.getElementById("f-kerf").focus(), document.activeElement.select()`)
	b.write("0.04")
	if b.value(told) != "true" {
		t.Error("the answer does not say that the form was changed since")
	}
	b.press("Enter", 13, "\r")
	b.wait(`document.getElementById("answer").innerText.includes("0.09 in")`)
	if b.value(told) != "false" {
		t.Error("the new answer passes for an old one")
	}
}

// TestUnits: beside a number stands its unit, that of the request, and no more digits than
// a person can use. 10 ft at 3 ft/min are 3 min 20 s; a wheel of 1 m at 100 turns a minute
// runs at 314.1593 m/min; 1.5 mm and a kerf of 0.045 in are 0.1040551 in; a price is told
// to the cent. A unit that the name of a field tells may be written.
func TestUnits(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	b := start(t)
	for address, want := range map[string]string{
		"/use/feed?cut_length=120&feed=36":                                                 "Cut time 3 min 20 s Run time 3 min 20 s Speed ",
		"/use/feed?cut_length=3660&feed=60&cut_count=2&units=mm&wheel_diameter=1m&rpm=100": "Cut time 1 h 1 min 0 s Run time 2 h 2 min 0 s Speed 314.16 m/min Feed per tooth ",
		"/use/price?leaf_count=4&run_seconds=0&wood_cost=20":                               "Total 20 USD Leaf price 5 USD ",
		"/use/price?leaf_count=3&run_seconds=0&wood_cost=100":                              "Total 100 USD Leaf price 33.33 USD ",
		"/use/price?leaf_count=3&run_seconds=0&wood_cost=1234567.89":                       "Total 1234567.89 USD ",
		"/use/dial?leaf_thickness=1.5mm&kerf=0.045in&lead=0.1&divisions_per_turn=100":      "Advance 0.1041 in Advance set 0.104 in Turns 1.04 Turns asked 1.0406 Leaf deviation 0.000055 in ",
		"/use/moisture?moisture_pct=12":                                                    "Equilibrium moisture 12 % ",
		"/use/moisture?moisture_pct=" + url.QueryEscape("12,5 %"):                          "Equilibrium moisture 12.5 % ",
		"/use/moisture?humidity_pct=50%25&temperature_f=" + url.QueryEscape("70 °F"):       "Equilibrium moisture 9.",
		"/use/moisture?humidity_pct=50%25&temperature_c=" + url.QueryEscape("21°"):         "Equilibrium moisture 9.",
		"/use/yield?board_thickness=50&leaf_thickness=2&kerf=1&hold_back=3&units=mm":       "Advance 3 mm ",
		"/use/blade?stock_height=6":                                                        "Teeth per inch, low 6 ",
	} {
		if text := words(element(t, b.open(server.URL+address), "answer")); !strings.Contains(text, want) {
			t.Errorf("%s: the answer is %s", address, text)
		}
	}
}

func attributeOf(n *html.Node, name string) (value string, there bool) {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val, true
		}
	}
	return "", false
}

// TestPlanForm: pasted tables, separated by tabs or by commas, become an order, and
// the search ends in its plan and a link to the pages to print.
func TestPlanForm(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	b := start(t)
	for _, mark := range []string{"\t", ","} {
		paste := func(lines ...string) string {
			return url.QueryEscape(strings.ReplaceAll(strings.Join(lines, "\n"), "|", mark))
		}
		root := b.open(server.URL + "/use/plan?kerf=0.05&hold_back=0.1&boards=" + paste(`Name|Species|Thickness|Width|Length|Price|Quantity`, `oak-1|"oak, white"|1|8|48|64.5|`) +
			"&parts=" + paste(`name|thickness|width|length|quantity|matched|divide`, `top plate|0.2|3.5|20|6|2|false`) + "&kits=" + paste(`name|quantity|parts`, `box|3|top plate 2`))
		text := words(element(t, root, "answer"))
		if !strings.Contains(text, "Status optimal ") || !strings.Contains(text, "Cost 64.5 ") || !strings.Contains(text, "Open the sheet to print") {
			t.Errorf("the answer is %s", text)
		}
		line := words(element(t, root, "curl"))
		body := regexp.MustCompile(`-d '(.*)' '`).FindStringSubmatch(line)
		var order struct {
			Boards []struct {
				Species  string
				Price    float64
				Quantity *int
			}
			Parts []struct {
				Matched int
				Divide  *bool
			}
			Kits []struct {
				Parts []struct {
					Part     string
					Quantity int
				}
			}
		}
		if len(body) < 2 || json.Unmarshal([]byte(body[1]), &order) != nil || order.Boards[0].Species != "oak, white" || order.Boards[0].Price != 64.5 || order.Boards[0].Quantity != nil || order.Parts[0].Matched != 2 ||
			*order.Parts[0].Divide || order.Kits[0].Parts[0].Part != "top plate" || order.Kits[0].Parts[0].Quantity != 2 {
			t.Errorf("the shell line is %s", line)
		}
		b.printed("Plan: 6 leaves")
	}
}

// TestNarrowPlan: on a phone no page is wider than the screen, whatever boards and parts
// are called, and no number breaks in two.
func TestNarrowPlan(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	b := start(t)
	b.do("Emulation.setDeviceMetricsOverride", map[string]any{"width": 360, "height": 740, "deviceScaleFactor": 1, "mobile": true})
	board, part := strings.Repeat("b", 50), strings.Repeat("p", 60)
	b.open(server.URL + "/use/plan?kerf=0.05&hold_back=0.1&boards=" + url.QueryEscape("name;thickness;width;length;price;quantity\n"+board+";1;8;48;10400.25;1") +
		"&parts=" + url.QueryEscape("name;thickness;width;length;quantity\n"+part+";0.2;3.5;20;6\n"+part[1:]+";9;3.5;20;6") + "&kits=" + url.QueryEscape("name;quantity;parts\n"+part+";2;"+part+" 2"))
	b.printed("Plan: ")
	if width := b.value("document.documentElement.scrollWidth"); width != "360" {
		t.Errorf("the page is %s px wide: %s", width, b.value(`[...document.querySelectorAll("body *")].filter((e) => e.scrollWidth > 360).map((e) => e.tagName + "." + e.className + " " + e.textContent.slice(0, 40)).join("; ")`))
	}
	if broken := b.value(`[...document.querySelectorAll("tr.pull td")].filter((cell) => cell.innerText.includes("10400.25") && cell.firstChild.getBoundingClientRect === undefined).map((cell) => {
		const range = document.createRange(); range.setStart(cell.firstChild, 0); range.setEnd(cell.firstChild, 8); return range.getClientRects().length; }).join()`); broken != "1" {
		t.Errorf("the price stands on %s lines", broken)
	}
}

// printed follows the link to the pages to print, in the same tab, and expects
// them under a title, with the style that the form lets them have and the run
// sheets behind.
func (b *browser) printed(title string) {
	b.t.Helper()
	b.value(`window.open = () => null; document.getElementById("sheet").click()`)
	b.wait(`location.protocol === "blob:" && document.readyState === "complete"`)
	if got := b.value(`document.querySelector("h1").textContent`); !strings.HasPrefix(got, title) {
		b.t.Errorf("the link leads to %q, want %q", got, title)
	}
	if b.value(`document.styleSheets.length > 0 && document.body.innerText.includes("Run sheet")`) != "true" {
		b.t.Error("the pages to print have no style, or no run sheets")
	}
}

// TestKeyedForm: where answers need a key, the form asks for one once it is
// refused, and what the shop calls its things stays out of the page.
func TestKeyedForm(t *testing.T) {
	ring, err := key.Read("../../testdata/keys/keys.yaml")
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(apitest.Server(t, func(c *api.Config) { c.Keys = ring }))
	defer server.Close()
	if page := fetched(t, server.URL+"/"); strings.Contains(page, "half-inch") || !strings.Contains(page, "sapele") {
		t.Error("the form of a service with keys tells the shop's names, or no woods")
	}
	b := start(t)
	root := b.open(server.URL + "/use/dial?leaf_thickness=0.05")
	if _, hidden := attributeOf(element(t, root, "lock"), "hidden"); hidden {
		t.Error("nothing asks for the key")
	}
	root = b.open(server.URL + "/use/dial")
	if _, hidden := attributeOf(element(t, root, "lock"), "hidden"); !hidden {
		t.Error("a key is asked for before it is needed")
	}
}
