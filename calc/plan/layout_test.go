package plan

import "testing"

// TestFree: of a board of 1000 with a defect from 500 to 501, a strip of 300 on
// either side and a kerf of 3.
func TestFree(t *testing.T) {
	p := prepare(Order{
		Boards: []Board{{Thickness: 50, Width: 100, Length: 1000, Quantity: 1, Defects: []Defect{{500, 501}}}},
		Parts:  []Part{{Thickness: 5, Width: 100, Length: 300, Quantity: 1}}, CrosscutKerf: 3})
	for _, c := range []struct{ from, from0, to0, from1, to1 nm }{
		{0, 303, 500, 501, 1000},
		{200, 503, 500, 503, 1000},
		{501, 0, 498, 804, 1000},
	} {
		segs := p.free(layout{strips: []strip{{piece: piece{0, c.from}}}})
		if segs[0].from != c.from0 || segs[0].to != c.to0 || segs[1].from != c.from1 || segs[1].to != c.to1 {
			t.Errorf("strip at %d: %v", int64(c.from), segs)
		}
	}
}
