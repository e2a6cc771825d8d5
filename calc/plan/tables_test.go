package plan

import "testing"

// BenchmarkPricing prices all boards of a real order once.
func BenchmarkPricing(b *testing.B) {
	p := prepare(RealOrder(1))
	need := p.possible()
	value, t := p.volumes(need), newTables(p)
	for b.Loop() {
		t.ask(value, need)
		for _, k := range p.kinds {
			t.board(k, k.segs)
		}
	}
}
