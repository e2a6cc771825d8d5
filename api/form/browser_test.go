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
	if text := words(element(t, root, "answer")); !strings.Contains(text, "Turns 0.95 ") || !strings.Contains(text, "Cut Purpose Position") {
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

// TestKeyboard: a form is filled in, sent, corrected and cleared without a mouse.
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
		"/?board_thickness=2&board_width=&board_length=x&leaf_thickness=0.05&tpi=many":         {"board_length": "no number", "board_width": "is missing", "tpi": "number"},
		"/?board_thickness=2&board_width=8&board_length=24&leaf_thickness=0.05&leaf_count=0":   {"leaf_count": "at least 1"},
		"/?board_thickness=2&board_width=-8&board_length=24&leaves=" + table:                   {"leaves": "line 2", "board_width": "above 0"},
		"/use/plan?boards=" + url.QueryEscape("thickness\n1") + "&parts=&time_limit_seconds=0": {"parts": "is missing", "time_limit_seconds": "0"},
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
