package layouts

import (
	"context"
	"math/rand/v2"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/trial"
)

// TestBrancher compares what a brancher finds with trying everything: its layout
// is the best one, and its bound hardly ever more than that is worth. A brancher of few
// nodes has a bound that is no less, and a layout that is worth no more.
func TestBrancher(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 4))
	var boards, loose int
	for n := range trial.Rounds(200) {
		o := trial.Tiny(r)
		if n%3 == 1 {
			o = trial.TinyWith(r, trial.Grids|trial.Smallest)
		}
		value, limit := make([]int64, len(o.Parts)), make([]int, len(o.Parts))
		for i := range limit {
			value[i], limit[i] = 1000*int64(r.IntN(50)), 1+r.IntN(4)
			o.Parts[i].Quantity, o.Parts[i].Spare = limit[i]*o.Parts[i].SetSize(), 0
		}
		p := board.Prepare(o)
		b := trial.NewBrute(o)
		b.Want = limit
		br := NewBrancher(p)
		for k := range p.Kinds {
			var most int64
			for v := range b.Board(o.Boards[k]) {
				most = max(most, worthOf(v, value))
			}
			zero := make([]float64, len(value))
			if br.f.kd = p.Kinds[k]; br.f.joined() {
				continue
			}
			few := br.Board(context.Background(), k, value, limit, 0, zero, r.IntN(4))
			if few < most || br.Worth > most {
				t.Fatalf("order %d, board %d: best %d, few nodes say %d to %d\n%+v", n, k, most, br.Worth, few, o)
			}
			bound := br.Board(context.Background(), k, value, limit, 0, zero, 1000)
			if bound < most || br.Worth != most || board.Worth(br.Best.Pieces(), value, limit) != most {
				t.Fatalf("order %d, board %d: best %d, found %d to %d\n%+v", n, k, most, br.Worth, bound, o)
			}
			if boards++; bound > most {
				loose++
			}
			checkLayout(t, o, p, br.Best)
		}
	}
	if loose > boards/25 {
		t.Errorf("the bound of %d boards of %d is not the worth of the best layout", loose, boards)
	}
}

// worthOf returns what sets are worth.
func worthOf(sets []int, value []int64) int64 {
	var sum int64
	for i, n := range sets {
		sum += int64(n) * value[i]
	}
	return sum
}

// checkLayout checks a layout as a board of a plan.
func checkLayout(t *testing.T, o plan.Order, p *board.Problem, lay board.Layout) {
	t.Helper()
	if len(lay.Strips) == 0 {
		return
	}
	if err := trial.CheckBoard(o, p.Taken(board.Use{Layout: lay, Copies: 1})); err != nil {
		t.Fatalf("%v\n%+v\n%+v", err, lay, o)
	}
}
