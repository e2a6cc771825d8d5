package calculator_test

import (
	"net/http/httptest"
	"strings"
	"testing"

	"resawd/api/apitest"
)

// TestDividedMetamorphic: what does not change an order of divided leaves, kits and prices
// of work does not change what it costs, and prices that are all three times as high make
// it three times as dear.
func TestDividedMetamorphic(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	const (
		thin    = `{"thickness": 1, "width": 6, "length": 30, "price": 40}`
		thick   = `{"thickness": 1.5, "width": 7, "length": 40, "price": 75, "quantity": 2}`
		back    = `{"name": "back", "thickness": 0.2, "width": 5, "length": 20, "quantity": 4, "matched": 2}`
		plate   = `{"name": "plate", "thickness": 0.1, "width": 3, "length": 8, "quantity": 3}`
		binding = `{"name": "binding", "thickness": 0.08, "width": 0.375, "length": 20, "quantity": 32}`
		one     = `"parts": [{"part": "back", "quantity": 2}, {"part": "plate", "quantity": 1}]`
		kits    = `{"quantity": 2, ` + one + `}`
		cuts    = `"kerf": 0.045, "skim": 0.03, "hold_back": 0.125, "pass_price": 0.5, "pass_length_price": 0.0254, "billet_price": 3, "time_limit_seconds": 30`
	)
	order := func(boards, parts, kits, cuts string) string {
		return `{"boards": [` + boards + `], "parts": [` + parts + `], "kits": [` + kits + `], ` + cuts + `}`
	}
	whole := order(thin+", "+thick, back+", "+plate+", "+binding, kits, cuts)
	base := planOf(t, server.URL, whole)
	if base.Status != "optimal" || base.Cost == 0 {
		t.Fatalf("%+v", base)
	}
	half := strings.Replace(binding, `"quantity": 32`, `"quantity": 16`, 1)
	for name, row := range map[string]struct {
		changed string
		times   float64
	}{
		"boards in another order": {order(thick+", "+thin, back+", "+plate+", "+binding, kits, cuts), 1},
		"parts in another order":  {order(thin+", "+thick, binding+", "+plate+", "+back, kits, cuts), 1},
		"kits one by one":         {order(thin+", "+thick, back+", "+plate+", "+binding, `{"quantity": 1, `+one+`}, {"quantity": 1, `+one+`}`, cuts), 1},
		"a part split in two":     {order(thin+", "+thick, back+", "+plate+", "+half+", "+strings.Replace(half, "binding", "purfling", 1), kits, cuts), 1},
		"a useless board":         {order(thin+", "+thick+`, {"thickness": 0.2, "width": 8, "length": 30, "price": 1}`, back+", "+plate+", "+binding, kits, cuts), 1},
		"prices three times as high": {strings.NewReplacer(`"price": 40`, `"price": 120`, `"price": 75`, `"price": 225`, `"pass_price": 0.5`, `"pass_price": 1.5`,
			`"pass_length_price": 0.0254`, `"pass_length_price": 0.0762`, `"billet_price": 3`, `"billet_price": 9`).Replace(whole), 3},
		"in mm": {order(`{"thickness": 25.4, "width": 152.4, "length": 762, "price": 40}, {"thickness": 38.1, "width": 177.8, "length": 1016, "price": 75, "quantity": 2}`,
			`{"name": "back", "thickness": 5.08, "width": 127, "length": 508, "quantity": 4, "matched": 2}, {"name": "plate", "thickness": 2.54, "width": 76.2, "length": 203.2, "quantity": 3}, {"name": "binding", "thickness": 2.032, "width": 9.525, "length": 508, "quantity": 32}`,
			kits, `"units": "mm", "kerf": 1.143, "skim": 0.762, "hold_back": 3.175, "rip_kerf": 3.175, "crosscut_kerf": 3.175, "pass_price": 0.5, "pass_length_price": 0.001, "billet_price": 3, "time_limit_seconds": 30`), 1},
	} {
		p := planOf(t, server.URL, row.changed)
		if off := p.Cost - row.times*base.Cost; p.Status != "optimal" || off > 1e-9 || off < -1e-9 {
			t.Errorf("%s: %s at %g, not optimal at %g times %g", name, p.Status, p.Cost, row.times, base.Cost)
		}
	}
}
