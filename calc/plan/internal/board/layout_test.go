package board

import (
	"testing"

	"resawd/calc/plan"
)

// TestFree: of a board of 1000 with a defect from 500 to 501, a strip of 300 on
// either side and a kerf of 3.
func TestFree(t *testing.T) {
	p := Prepare(plan.Order{
		Boards: []plan.Board{{Thickness: 50, Width: 100, Length: 1000, Quantity: 1, Defects: []plan.Defect{{From: 500, To: 501}}}},
		Parts:  []plan.Part{{Thickness: 5, Width: 100, Length: 300, Quantity: 1}}, CrosscutKerf: 3})
	for _, c := range []struct{ from, from0, to0, from1, to1 nm }{
		{0, 303, 500, 501, 1000},
		{200, 503, 500, 503, 1000},
		{501, 0, 498, 804, 1000},
	} {
		segs := p.Free(Layout{Strips: []Strip{{Piece: Piece{0, c.from}}}})
		if segs[0].From != c.from0 || segs[0].To != c.to0 || segs[1].From != c.from1 || segs[1].To != c.to1 {
			t.Errorf("strip at %d: %v", int64(c.from), segs)
		}
	}
}
