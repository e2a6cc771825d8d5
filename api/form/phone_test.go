package form_test

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"resawd/api/apitest"
)

// printedPages are pages to print and the requests for them: a plan with kits, divided
// leaves and parts unmet, a run with a divided leaf, and a gauge.
var printedPages = map[string]string{
	"/v1/plan": planOfEverything,
	"/v1/run": `{"board": {"name": "maple-1 A1", "thickness": 1.5, "width": 4, "length": 33}, "leaves": [{"name": "back", "thickness": 0.14, "count": 2, "matched": 2},
		{"name": "binding", "thickness": 0.08, "count": 4, "divided": {"side_by_side": 8, "length": 32, "width": "3/8"}}]}`,
	"/v1/gauge": `{"readings": [[0.101, 0.102, 0.1, 0.103, 0.101, 0.1], [0.097, 0.098, 0.099, 0.098, 0.097, 0.097]], "target": 0.1, "tolerance": 0.004}`,
}

const planOfEverything = `{"boards":[{"name":"walnut","species":"walnut, black","thickness":1,"width":8.5,"length":60,"quantity":3,"price":75.5},{"name":"maple","species":"maple, sugar","thickness":0.75,"width":5,"length":34,"quantity":1,"price":20}],
"parts":[{"name":"back","species":"walnut, black","thickness":0.14,"width":8,"length":21,"quantity":40,"matched":2},{"name":"side","species":"walnut, black","thickness":0.11,"width":3.9,"length":32,"quantity":12,"matched":2,"spare":2},{"name":"head plate","species":"walnut, black","thickness":0.09,"width":3.5,"length":8,"quantity":20},{"name":"binding","species":"maple, sugar","thickness":0.08,"width":0.375,"length":32,"quantity":24},{"name":"bridge","species":"ebony","thickness":0.3,"width":2,"length":12,"quantity":6}],
"kits":[{"name":"uke", "quantity":20,"parts":[{"part":"back", "quantity":2},{"part":"head plate", "quantity":1}]}],
"kerf":0.045,"kerf_basis":"measured","leaf_kerf":0.02,"skim":"1/32","end_trim":"1/2","fixing":"glue","hold_back":0.125,"work_limit":200000}`

// TestSheetsOnAPhone: pages to print are no wider than a phone of 360 px.
func TestSheetsOnAPhone(t *testing.T) {
	api := apitest.Server(t)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body := strings.NewReader(printedPages[r.URL.Path])
		ask := httptest.NewRequestWithContext(r.Context(), http.MethodPost, r.URL.Path+"?format=html", body)
		ask.Header.Set("Content-Type", "application/json")
		api.ServeHTTP(w, ask)
	}))
	defer server.Close()
	b := start(t)
	b.do("Emulation.setDeviceMetricsOverride", map[string]any{"width": 360, "height": 740, "deviceScaleFactor": 1, "mobile": false})
	for path := range printedPages {
		b.show(server.URL + path)
		if head := b.value(`document.querySelector("h1").textContent`); head == "" {
			t.Errorf("%s has no heading", path)
		}
		if beyond := b.value(`String(document.documentElement.scrollWidth - document.documentElement.clientWidth)`); beyond != "0" {
			t.Errorf("%s is %s px too wide", path, beyond)
		}
	}
}

// phone shows pages on a phone of 360 px.
func phone(t *testing.T) *browser {
	t.Helper()
	b := start(t)
	b.do("Emulation.setDeviceMetricsOverride", map[string]any{"width": 360, "height": 740, "deviceScaleFactor": 1, "mobile": true})
	return b
}

const (
	runOnAPhone  = "/?board_name=koa-7&board_thickness=2&board_width=8&board_length=24&leaf_thickness=0.05&kerf=0.045&leaf_count=12"
	dialOnAPhone = "/use/dial?leaf_thickness=0.063&kerf=0.045&lead=0.1&divisions_per_turn=100&leaf_count=3"
)

// planOnAPhone is an order with a kit and a divided part.
var planOnAPhone = "/use/plan?kerf=0.045&leaf_kerf=0.02&hold_back=1/8&work_limit=1000" +
	"&boards=" + url.QueryEscape("name;species;thickness;width;length;quantity;price\nwalnut;walnut, black;1;8½;60;3;75,5") +
	"&parts=" + url.QueryEscape("name;thickness;width;length;quantity;matched;divide\nback;0.14;8;21;8;2;\nhead plate;.09;3½;8;4;;true") +
	"&kits=" + url.QueryEscape("name;quantity;parts\nuke;4;back 2; head plate 1")

// TestAnswersOnAPhone: on a phone every cell of an answer is in sight, those of tables in
// tables too, and each has the name and the unit of its column.
func TestAnswersOnAPhone(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	b := phone(t)
	for address, heads := range map[string][]string{
		runOnAPhone:                   {"Cut", "Turn the dial", "Reading", "Position, in"},
		dialOnAPhone:                  {"Cut", "Turn the dial", "Reading", "Position, in"},
		planOnAPhone:                  {"Board", "Mark", "From, in", "Part", "Thickness, in"},
		"/use/blade?stock_height=6":   {"Blade", "Reasons", "Kerf, in"},
		"/use/backlash?from=.2&to=.1": {"Direction", "Turn the dial", "Distance, in"},
	} {
		b.open(server.URL + address)
		if beyond := b.value(`[...document.querySelectorAll("#answer td")].filter((cell) => cell.getBoundingClientRect().right > innerWidth || cell.scrollWidth > cell.clientWidth + 1).map((cell) => cell.textContent).join("; ")`); beyond != "" {
			t.Errorf("%s: cells out of sight: %.300s", address, beyond)
		}
		if here := b.value(`(({left, right}) => String(left >= 0 && right <= innerWidth))(document.querySelector("nav [aria-current]").getBoundingClientRect())`); here != "true" {
			t.Errorf("%s: its name in the row of calculators is out of sight", address)
		}
		shown := b.value(`[...document.querySelectorAll("#answer td")].map((cell) => cell.textContent === "" ? "" : getComputedStyle(cell, "::before").content).join("|").replaceAll('"', "")`) + "|"
		for _, head := range heads {
			if !strings.Contains(shown, head+"|") {
				t.Errorf("%s: no cell is called %q: %.300s", address, head, shown)
			}
		}
	}
}

// TestDeepTables: tables in tables are no wider than the answer beside the form, either.
func TestDeepTables(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	b := start(t)
	b.do("Emulation.setDeviceMetricsOverride", map[string]any{"width": 1280, "height": 800, "deviceScaleFactor": 1, "mobile": false})
	b.open(server.URL + planOnAPhone)
	if got := b.value(`[...document.querySelectorAll(".scroll:has(td table)")].map((part) => part.scrollWidth > part.clientWidth).join()`); got != "false" {
		t.Errorf("whether tables in tables are wider than the answer: %q", got)
	}
}

// TestAnswerFirst: what to do stands before what it comes from, and cautions stand open
// before the steps that they are for.
func TestAnswerFirst(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	b := phone(t)
	for address, order := range map[string][]string{
		dialOnAPhone: {"Turn the dial", "1 turn + 8 divisions", "Advance"},
		runOnAPhone:  {"Leaf count", "Keep the guard and guides as low", "Switch the saw off and unplug it."},
		"/use/gauge?target=0.05&tolerance=0.003&readings=" + url.QueryEscape("0.05 0.052\n0.051 0.051"): {"Leave the dial:", "Mean"},
		"/use/align?gap_left=0.01&gap_right=0.012":                                                      {"turn the travel clockwise", "Clearance"},
		"/use/blade?stock_height=6":                                                                     {"Ranking", "Keep the guard and guides as low"},
	} {
		b.open(server.URL + address)
		if top := b.value(`String(Math.round(document.getElementById("answer-title").getBoundingClientRect().top))`); top != "0" {
			t.Errorf("%s: the answer begins %s px below the top of the screen", address, top)
		}
		rest := b.value(`document.getElementById("answer").innerText`)
		for _, text := range order {
			_, after, found := strings.Cut(rest, text)
			if !found {
				t.Errorf("%s: %q is not told, or told too early", address, text)
			}
			rest = after
		}
	}
}

// tooSmall lists what can be touched and is less than 48 px high or wide.
const tooSmall = `[...document.querySelectorAll("a, button, input, select, textarea, summary")].filter((e) => !e.matches(".skip")).map((e) => [e.closest("label") || e, e])
	.filter(([area]) => area.checkVisibility()).map(([area, e]) => [area.getBoundingClientRect(), e]).filter(([box]) => Math.min(box.width, box.height) < 47.5)
	.map(([box, e]) => e.tagName + " " + (e.getAttribute("aria-label") || e.textContent) + " " + Math.round(box.width) + " x " + Math.round(box.height)).join("; ")`

// TestTouch: a finger in a glove finds everything that can be touched in forms, answers
// and pages to print: it is 48 px high and wide at least.
func TestTouch(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	b := phone(t)
	for _, address := range []string{runOnAPhone, planOnAPhone, dialOnAPhone, "/use/gauge?target=0.05&tolerance=0.003&readings=0.05+0.052"} {
		b.open(server.URL + address)
		b.value(`document.querySelectorAll("details").forEach((d) => d.open = true)`)
		if small := b.value(tooSmall); small != "" {
			t.Errorf("%s: %s", address, small)
		}
		if address == dialOnAPhone {
			continue
		}
		b.follow()
		if small := b.value(tooSmall); small != "" {
			t.Errorf("the sheet of %s: %.2000s", address, small)
		}
	}
}

// TestTicksStay: who looks at another page and comes back finds the cuts that were ticked
// off and the figures, but has the steps of the set-up to do anew.
func TestTicksStay(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	b := phone(t)
	sheet := server.URL + "/v1/run?board_thickness=2&board_width=8&board_length=24&leaf_thickness=0.05&leaf_count=3&format=html"
	b.show(sheet)
	b.value(`addEventListener("unload", () => {}); document.querySelector(".steps input").click(); document.querySelector("tr.cut input").click(); document.querySelector(".blank input").focus()`)
	b.write("75")
	b.show(server.URL + "/use/dial")
	b.value(`history.back()`)
	b.wait(`location.href === "` + sheet + `" && document.readyState === "complete"`)
	if got := b.value(`[document.querySelector("tr.cut input").checked, document.querySelector(".blank input").value, document.querySelector(".steps input").checked].join()`); got != "true,75,false" {
		t.Errorf("the cut, the figure and the step of the set-up are %s", got)
	}
}

// TestUnitsStay: a form begins with the units chosen last, unless its address says what
// it asks.
func TestUnitsStay(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	b := phone(t)
	const units = `document.getElementById("f-units").value`
	b.open(server.URL + "/use/dial")
	b.value(units + ` = "mm"; document.getElementById("f-units").dispatchEvent(new Event("change", {bubbles: true}))`)
	b.open(server.URL + "/use/yield")
	if got := b.value(units); got != "mm" {
		t.Errorf("the next form begins with %q", got)
	}
	b.value(`document.getElementById("clear").click()`)
	b.wait(`document.readyState === "complete" && location.search === ""`)
	if got := b.value(units); got != "mm" {
		t.Errorf("a cleared form begins with %q", got)
	}
	b.open(server.URL + "/use/yield?board_thickness=2&leaf_thickness=0.05")
	if got := b.value(units); got != "" {
		t.Errorf("an address without units is asked in %q", got)
	}
}

// TestLongTables: a table that is too long for an address of the service is still there
// when the page is loaded anew.
func TestLongTables(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	b := phone(t)
	b.open(server.URL + "/use/plan")
	b.value(`document.getElementById("t-parts").value = "thickness;quantity\n" + "thin;1\n".repeat(1000); document.querySelector(".go button").click()`)
	b.wait(`document.activeElement.getAttribute("aria-invalid") === "true"`)
	if got := b.value(`String(location.search.length)`); got != "0" {
		t.Errorf("a query of %s characters is too long for servers", got)
	}
	b.value(`location.reload()`)
	b.wait(`performance.getEntriesByType("navigation")[0].type === "reload" && document.readyState === "complete" && document.getElementById("t-parts").getAttribute("aria-invalid") === "true"`)
	if got := b.value(`String(document.getElementById("t-parts").value.split("\n").length)`); got != "1002" {
		t.Errorf("%s lines are left", got)
	}
}
