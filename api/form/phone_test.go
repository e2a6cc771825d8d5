package form_test

import (
	"net/http"
	"net/http/httptest"
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
