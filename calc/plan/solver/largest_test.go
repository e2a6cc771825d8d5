package solver

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"resawd/calc/plan/internal/trial"
)

// TestLargestPiece compares the largest single piece that plans leave over with trying
// everything, at the least cost with the fewest boards and passes: none is larger than
// the largest there is, and nine in ten are as large.
func TestLargestPiece(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 68))
	all, reached := 0, 0
	for n := range trial.Rounds(1000) {
		o := trial.TinyWith(r, trial.Feature(n%16)&^trial.Kits)
		sets, best, ok := trial.NewLargest(o, 3_000_000).Solve()
		if !ok {
			continue
		}
		p, err := Solve(context.Background(), o, Options{WorkLimit: 1e7})
		if err != nil {
			t.Fatalf("order %d: %v\n%+v", n, err, o)
		}
		got := trial.Rank{Cost: p.Cost, Boards: p.Stats.Boards, Passes: p.Stats.Passes}
		for _, l := range p.LeftOver {
			got.Largest = max(got.Largest, int64(l.Thickness)*int64(max(1, l.Width))*int64(max(1, l.Length)))
		}
		if all++; got == best {
			reached++
		}
		if got.Largest = max(got.Largest, best.Largest); got != best || !slices.Equal(delivered(o, p), sets) {
			t.Fatalf("order %d: %v and %+v, by trying everything %v and %+v\n%+v\n%+v", n, delivered(o, p), got, sets, best, o, p)
		}
	}
	t.Logf("%d of %d leave the largest piece there is", reached, all)
	if all < trial.Rounds(900) || reached < all*88/100 {
		t.Errorf("%d of %d leave the largest piece there is", reached, all)
	}
}
