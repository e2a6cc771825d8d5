package bound

import (
	"context"
	"testing"

	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/trial"
)

// TestRefine: where the cut between copies takes as much as that between billets,
// divided leaves save no wood, and the least cost of boards that were cut apart is known.
// No bound is above it, and in more classes of sizes bounds are nearer to it.
func TestRefine(t *testing.T) {
	for seed := range uint64(trial.Rounds(2)) {
		o, least := trial.ApartOrder(seed)
		o.LeafKerf = o.RipKerf
		for i := range o.Parts {
			o.Parts[i].Divide = true
		}
		p := board.Prepare(o)
		if !p.Thinned() {
			t.Fatal("few sizes of billets")
		}
		d, first, levels := NewDual(p.Bounds(), p.Possible(), float64(least)), int64(0), 0
		for more := true; more; more = d.Refine() {
			for range 5 {
				d.Step(context.Background(), 2*least)
			}
			if d.Bound > least {
				t.Errorf("order %d: bound %d above the least cost %d", seed, d.Bound, least)
			}
			if levels++; levels == 1 {
				first = d.Bound
			}
		}
		if levels < 3 || d.Bound-first < least/100 {
			t.Errorf("order %d: from %d to %d with %d numbers of classes", seed, first, d.Bound, levels)
		}
	}
}
