package layouts

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/trial"
)

// TestNetWorth compares what boards are worth beyond the work on them with trying
// everything: no bound is below it, no layout that is found is worth more, and all that
// is worth a floor is listed.
func TestNetWorth(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 11))
	boards, missed, loose := 0, 0, 0
	for n := range trial.Rounds(600) {
		features := trial.Work
		if n%2 == 1 {
			features |= trial.Grids | trial.Smallest
		}
		o := trial.TinyWith(r, features)
		value, limit := make([]int64, len(o.Parts)), make([]int, len(o.Parts))
		for i := range limit {
			limit[i] = 1 + r.IntN(4)
			o.Parts[i].Quantity, o.Parts[i].Spare = limit[i]*o.Parts[i].SetSize(), 0
		}
		p := board.Prepare(o)
		for i := range value {
			value[i] = int64(p.Grain * 9 * r.Float64())
		}
		b, tb, a, br := trial.NewBrute(o), board.NewTables(p), board.NewAscent(p), NewBrancher(p)
		tb.Ask(value, limit)
		share := make([]float64, len(value))
		for k, kd := range p.Kinds {
			var most int64
			for v, work := range b.Board(o.Boards[k]) {
				most = max(most, board.Total(value, v)-p.Steps(work))
			}
			near := int64(400) // steps
			if o.PassLength.Price > 0 {
				near += int64(p.Grain) * 60 // a bound has a pass rounded down
			}
			bound, _ := tb.Board(kd, kd.Segs)
			f := a.Board(k, value, limit, 25, 0)
			if bound < most || f.Bound < most || f.Worth > most+near {
				t.Fatalf("order %d, board %d: best %d, tables %d, ascent %d to %d\n%+v", n, k, most, bound, f.Worth, f.Bound, o)
			}
			if br.f.kd = kd; br.f.joined() {
				continue
			}
			bound = br.Board(context.Background(), k, value, limit, 0, share, 1000)
			if bound < most || br.Worth > most+near {
				t.Fatalf("order %d, board %d: best %d, found %d to %d\n%+v", n, k, most, br.Worth, bound, o)
			}
			boards++
			if br.Worth < most {
				missed++
			}
			if bound > most+near {
				loose++
			}
			floor := r.Int64N(most + 1)
			for i := range share {
				share[i] = max(0, r.Float64()*1.5-0.5)
			}
			s, ok := NewEnumerator(board.NewTables(p), k, value, share, limit)
			if !ok || !s.List(context.Background(), floor, 1<<30) {
				t.Fatalf("order %d, board %d: no shortlist", n, k)
			}
			for v, work := range b.Board(o.Boards[k]) {
				if board.Total(value, v)-p.Steps(work) >= floor &&
					!slices.ContainsFunc(s.Boards, func(y Label) bool { return s.covers(y, v) && y.Work+p.AlikeWork(v) <= work }) {
					t.Fatalf("order %d, board %d: %v with work of %d is not listed\n%+v", n, k, v, work, o)
				}
			}
			clear(share)
		}
	}
	if missed+loose > boards/20 {
		t.Errorf("of %d boards the best layout was missed %d times, and not proven %d times", boards, missed, loose)
	}
}
