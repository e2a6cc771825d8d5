package plan

import (
	"testing"

	"resawd/calc/plan/colgen"
)

// The engine does best by its own knapsack, and must see that it is.
func TestSourceOfLines(t *testing.T) {
	order := Order{
		Boards: []Board{{Thickness: 100 * mm, Quantity: Unlimited, Price: 1}},
		Parts:  []Part{{Thickness: 30 * mm, Quantity: 7, Matched: 1}},
	}
	src, err := newSource(prepare(order))
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := src.prices().(*colgen.Knapsack); !ok {
		t.Errorf("the engine is given a %T", src.prices())
	}
}
