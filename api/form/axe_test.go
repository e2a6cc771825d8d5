package form_test

import (
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"slices"
	"strings"
	"testing"

	"resawd/api/apitest"
)

// looks are the ways in which each page is shown.
var looks = []struct {
	name, scheme  string
	width, height int
}{
	{"light at 360 px", "light", 360, 740},
	{"dark at 360 px", "dark", 360, 740},
	{"light at 1280 px", "light", 1280, 800},
	{"dark at 1280 px", "dark", 1280, 800},
}

// axe gives the text of axe-core, which the gate fetches for the linters' folder.
func axe(t *testing.T) string {
	t.Helper()
	path := os.Getenv("RESAWD_AXE")
	if path == "" {
		t.Skip("RESAWD_AXE does not name axe.min.js: .ci/run axe does")
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// findings are what axe-core calls serious or critical in the open page, in one
// look after another: the rule, its words and the first element it is about.
func (b *browser) findings(axe string) map[string][]string {
	b.t.Helper()
	b.value(`document.querySelectorAll("details").forEach(d => d.open = true)`)
	b.value(axe + "\n;0")
	found := map[string][]string{}
	for _, look := range looks {
		b.do("Emulation.setDeviceMetricsOverride", map[string]any{"width": look.width, "height": look.height, "deviceScaleFactor": 1, "mobile": false})
		b.do("Emulation.setEmulatedMedia", map[string]any{"features": []map[string]string{{"name": "prefers-color-scheme", "value": look.scheme}}})
		found[look.name] = b.serious()
	}
	return found
}

func (b *browser) serious() []string {
	b.t.Helper()
	const run = `axe.run().then(r => ({passes: r.passes.length, found: r.violations.filter(v => v.impact === "serious" || v.impact === "critical")
		.map(v => v.id + ": " + v.help + ", " + v.nodes.length + " times, first " + v.nodes[0].html)}))`
	var came struct {
		Result struct {
			Value struct {
				Passes int
				Found  []string
			}
		}
	}
	told := b.do("Runtime.evaluate", map[string]any{"expression": run, "awaitPromise": true, "returnByValue": true})
	if err := json.Unmarshal(told, &came); err != nil || came.Result.Value.Passes == 0 {
		b.t.Fatalf("axe-core has not run: %v %.1000s", err, told)
	}
	return came.Result.Value.Found
}

// show opens a page that is no form.
func (b *browser) show(address string) {
	b.t.Helper()
	b.do("Page.navigate", map[string]any{"url": address})
	b.wait(`location.href === "` + address + `" && document.readyState === "complete"`)
}

// follow opens the sheet to print in place of the form, not in a tab of its own.
func (b *browser) follow() {
	b.t.Helper()
	b.value(`window.open = () => null; document.getElementById("sheet").target = ""; document.getElementById("sheet").click()`)
	b.wait(`!document.getElementById("form") && document.readyState === "complete" && document.querySelector("h1") !== null`)
}

// TestAccessible: axe-core finds nothing serious in forms with an answer or with
// mistakes, nor in the pages to print behind them, in light and dark, on a phone
// and on a desk.
func TestAccessible(t *testing.T) {
	text := axe(t)
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	b := start(t)
	check := func(address string) {
		for look, found := range b.findings(text) {
			for _, f := range found {
				t.Errorf("%s, %s: %s", address, look, f)
			}
		}
	}
	const board = "/?board_name=koa-7&board_thickness=2&board_width=8&board_length=24&leaf_thickness=0.05&kerf=0.045"
	plan := "/use/plan?kerf=0.05&hold_back=0.1&boards=" + url.QueryEscape("name,thickness,width,length,price\noak-1,1,8,48,64.5") +
		"&parts=" + url.QueryEscape("name,thickness,width,length,quantity\ntop,0.2,3.5,20,6")
	for _, form := range []struct {
		address, says string
		sheet         bool
	}{
		{board, "Leaf count", true},
		{plan, "optimal", true},
		{"/use/dial?leaf_thickness=0.05&kerf=0.045&lead=0.1&divisions_per_turn=100&leaf_count=2", "Turns", false},
		{"/use/yield?board_thickness=two&leaf_thickness=0.05", "", false},
	} {
		root := b.open(server.URL + form.address)
		if got := words(element(t, root, "answer")); !strings.Contains(got, form.says) {
			t.Fatalf("%s: the answer is %s", form.address, got)
		}
		check(form.address)
		if form.sheet {
			b.follow()
			check("the sheet of " + form.address)
		}
	}
}

// TestAccessibleFinds: a page that is wrong only in the dark, or only on a phone,
// is found there and nowhere else.
func TestAccessibleFinds(t *testing.T) {
	text := axe(t)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		_, _ = io.WriteString(w, `<!DOCTYPE html><html lang="en"><head><title>Wrong</title><meta name="viewport" content="width=device-width"><style>
			body{background:#fff;color:#000}
			@media (prefers-color-scheme:dark){body{background:#222;color:#444}}
			@media (min-width:40rem){input{display:none}}
			</style></head><body><main><h1>Wrong</h1><p>A board</p><input></main></body></html>`)
	}))
	defer server.Close()
	b := start(t)
	b.show(server.URL + "/")
	found := b.findings(text)
	for look, want := range map[string][]string{
		"light at 360 px":  {"label"},
		"dark at 360 px":   {"color-contrast", "label"},
		"light at 1280 px": nil,
		"dark at 1280 px":  {"color-contrast"},
	} {
		var rules []string
		for _, f := range found[look] {
			rule, _, _ := strings.Cut(f, ":")
			rules = append(rules, rule)
		}
		if slices.Sort(rules); !slices.Equal(rules, want) {
			t.Errorf("%s: found %q, want the rules %q", look, found[look], want)
		}
	}
}
