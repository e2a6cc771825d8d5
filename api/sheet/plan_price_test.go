package sheet_test

import (
	"fmt"
	"strings"
	"testing"
)

// TestPlanPriceShown: the price of a plan's leaves stands at its end, in whole cents;
// where the boards have no price it has no place. By hand: a board of 10, three passes of
// 72 s at 30 and 12 an hour, 216 sq in of 40 000 at 24.
func TestPlanPriceShown(t *testing.T) {
	const order = `{"boards": [{"thickness": 0.5, "width": 6, "length": 12, "price": 10}], "parts": [{"thickness": 0.05, "width": 6, "length": 12, "quantity": 2}],
		"kerf": 0.045, "skim": 0.05, "hold_back": 0.125}`
	page := shown(t, "POST", "/v1/plan?format=html", order)
	at := 0
	for _, want := range []string{`id="labels"`, `id="price"`, "Wood</dt><dd>10.00", "Labour</dt><dd>1.80", "Overhead</dt><dd>0.72", "Blade</dt><dd>0.13", "Total, USD</dt><dd>12.65", `id="sources"`} {
		next := strings.Index(page[at:], want)
		if next < 0 {
			t.Fatalf("no %s after %.200s", want, page[at:])
		}
		at += next
	}
	rows, err := opened(t, shown(t, "POST", "/v1/plan?format=xlsx", order)).GetRows("Plan")
	if told := fmt.Sprint(rows); err != nil || !strings.Contains(told, "[Price: Labour 1.80 USD]") || !strings.Contains(told, "[Price: total 12.65 USD]") {
		t.Errorf("%v, %v", err, rows)
	}
	if bare := shown(t, "POST", "/v1/plan?format=html", strings.Replace(order, `, "price": 10`, "", 1)); strings.Contains(bare, `id="price"`) {
		t.Error("boards without a price give leaves that have one")
	}
}
