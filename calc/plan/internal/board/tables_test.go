package board

import (
	"testing"

	"resawd/calc/plan/internal/trial"
)

// BenchmarkPricing prices all boards of a real order once.
func BenchmarkPricing(b *testing.B) {
	p := Prepare(trial.RealOrder(1))
	need := p.Possible()
	value, t := p.Volumes(need), NewTables(p)
	for b.Loop() {
		t.Ask(value, need)
		for _, k := range p.Kinds {
			t.Board(k, k.Segs)
		}
	}
}
