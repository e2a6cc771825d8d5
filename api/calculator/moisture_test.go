package calculator_test

import (
	"strings"
	"testing"

	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/api/shop"
)

// TestWithoutClimate: where the shop file tells no climate, a request must, and a run
// does not speak of it.
func TestWithoutClimate(t *testing.T) {
	s, err := shop.Demo()
	if err != nil {
		t.Fatal(err)
	}
	s.Climate = shop.Climate{}
	moisture := endpoint.New("/v1/moisture", calculator.Moisture)
	for body, want := range map[string]string{
		`{"humidity_pct": 50}`:                      "temperature_c is missing: give it or temperature_f, since the shop file has no climate",
		`{"temperature_f": 68}`:                     "humidity_pct is missing: give it or moisture_pct, since the shop file has no climate",
		`{"temperature_f": 68, "humidity_pct": 50}`: "",
		`{"temperature_c": 20, "moisture_pct": 9}`:  "",
	} {
		if _, err := moisture.Solve(&endpoint.Call{Context: t.Context(), Shop: s}, endpoint.Body([]byte(body))); (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", body, err, want)
		}
	}
	run := endpoint.New("/v1/run", calculator.Run)
	a, err := run.Solve(&endpoint.Call{Context: t.Context(), Shop: s}, endpoint.Body([]byte(`{"board": {"thickness": 0.5, "width": 6, "length": 12, "moisture_pct": 15}, "leaf_thickness": 0.05}`)))
	if sheet, ok := a.(*calculator.RunAnswer); err != nil || !ok || len(sheet.After) != 3 {
		t.Errorf("%+v, %v", a, err)
	}
}
