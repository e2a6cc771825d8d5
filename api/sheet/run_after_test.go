package sheet_test

import (
	"strings"
	"testing"
)

// TestAfter: what becomes of the leaves, and their price in whole cents, by hand: 30
// of wood, 0.42 h at 30 and 12, 144 sq in of 40 000 at 24, and a fifth of the price.
func TestAfter(t *testing.T) {
	page := shown(t, "POST", "/v1/run?format=html", `{"board": {"thickness": 0.5, "width": 6, "length": 8, "price": 30}, "leaf_thickness": 0.05, "leaf_count": 3, "index_seconds": 72, "setup_seconds": 1152, "margin": 0.2}`)
	_, after, ok := strings.Cut(page, "After the last leaf")
	if !ok {
		t.Fatal("the page does not say what comes after the last leaf")
	}
	for _, want := range []string{
		"stack them on stickers", "Let them rest", "<dt>Wood</dt><dd>30.00</dd>", "<dt>Labour</dt><dd>12.60</dd>", "<dt>Overhead</dt><dd>5.04</dd>",
		"<dt>Blade</dt><dd>0.09</dd>", "<dt>Margin</dt><dd>11.93</dd>", "<dt>Total, USD</dt><dd>59.66</dd>", "<dt>Each leaf</dt><dd>19.89</dd>",
	} {
		if !strings.Contains(after, want) {
			t.Errorf("no %q after the last leaf in\n%s", want, after)
		}
	}
	if rest := shown(t, "POST", "/v1/run?format=html", `{"board": {"thickness": 0.5, "width": 6, "length": 8, "price": 30}, "leaf_thickness": 0.05, "leaf_count": 3, "done": {"cuts": 1}}`); strings.Contains(rest, "Total,") {
		t.Error("a run that goes on has a total of its own")
	}
	if bare := shown(t, "POST", "/v1/run?format=html", `{"board": {"thickness": 0.5, "width": 6, "length": 8}, "leaf_thickness": 0.05}`); strings.Contains(bare, "Total,") {
		t.Error("a board without a price has a total")
	}
}
