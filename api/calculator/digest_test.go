package calculator_test

import (
	"bytes"
	"os"
	"testing"

	"resawd/api"
	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/api/shop"
)

// TestIDs: the same request to the same build and shop file has the same ID,
// however it is written; another build, shop file or value has another.
func TestIDs(t *testing.T) {
	file, err := os.ReadFile("../shop/demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	k, _ := api.CalculatorAt("/v1/run")
	id := func(file []byte, build, body string) string {
		s, err := shop.Parse(file)
		if err != nil {
			t.Fatal(err)
		}
		a, err := k.Ask(t.Context(), s, build, endpoint.Body([]byte(body)), endpoint.Search{})
		if err != nil {
			t.Fatal(err)
		}
		return a.Answer.(*calculator.RunAnswer).ID
	}
	const body = `{"board": {"thickness": 2, "width": 6, "length": 20}, "leaf_thickness": 0.05, "leaf_count": 3}`
	first := id(file, "1", body)
	if again := id(file, "1", `{"leaf_count":3,"leaf_thickness":"1/20 in","board":{"length":20,"width":6,"thickness":2}}`); again != first || len(first) != 16 {
		t.Errorf("%s, then %s", first, again)
	}
	for what, other := range map[string]string{
		"another build":     id(file, "2", body),
		"another shop file": id(append(bytes.Clone(file), "# changed\n"...), "1", body),
		"another value":     id(file, "1", `{"board": {"thickness": 2, "width": 6, "length": 20}, "leaf_thickness": 0.05, "leaf_count": 4}`),
	} {
		if other == first {
			t.Errorf("%s has the same ID", what)
		}
	}
}
