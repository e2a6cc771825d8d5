package solver

import (
	"context"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/trial"
)

// TestPool checks that boards can be cut as the search and its bound have met
// them, and that they keep within the need.
func TestPool(t *testing.T) {
	for _, order := range []func(uint64) plan.Order{trial.RealOrder, trial.ShopOrder, trial.MakerOrder} {
		for seed := range uint64(trial.Rounds(2)) {
			o := order(seed)
			o.Parts, o.Boards = o.Parts[:8], o.Boards[:10]
			for i := range o.Parts {
				o.Parts[i].Species = ""
			}
			for _, j := range split(o) {
				if err := j.begin(context.Background()); err != nil {
					t.Fatal(err)
				}
				for j.search != nil && j.search.Work() < 10_000_000 && j.search.Slice() {
				}
				if j.search != nil {
					checkPool(t, j)
				}
			}
		}
	}
}

// checkPool checks the layouts in the pool of a job.
func checkPool(t *testing.T, j *job) {
	t.Helper()
	for _, patterns := range j.search.Best.Pool.Patterns {
		for _, x := range patterns {
			if err := trial.CheckBoard(j.p.Order, j.p.Taken(board.Use{Layout: x.Lay, Copies: 1})); err != nil {
				t.Fatalf("%v\n%+v", err, x.Lay)
			}
			for _, pc := range x.Sets {
				if pc.Count > j.need[pc.Item] {
					t.Errorf("%d of part %d, wanted %d", pc.Count, pc.Item, j.need[pc.Item])
				}
			}
		}
	}
}
