package layouts

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/outright"
	"resawd/calc/plan/internal/trial"
)

// TestShortlist compares shortlists of boards of tiny orders with all that they
// can give: what is worth the floor is covered by an entry, and every entry can
// be cut.
func TestShortlist(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 2))
	var weighed, short int
	for n := range trial.Rounds(3000) {
		o := trial.Tiny(r)
		if n%3 == 1 {
			o = trial.TinyWith(r, trial.Grids|trial.Smallest)
		}
		if len(plan.Validate(o)) > 0 {
			continue
		}
		p := board.Prepare(o)
		need := p.Possible()
		value, share := make([]int64, len(need)), make([]float64, len(need))
		for i := range value {
			value[i], share[i] = r.Int64N(5)*r.Int64N(30), max(0, r.Float64()*1.5-0.5)
		}
		for k := range p.Kinds {
			options, ok := outright.Options(p, need, k, 1<<30)
			if !ok {
				continue
			}
			var most int64
			for _, x := range options {
				most = max(most, board.Total(value, x.Sets))
			}
			floor := r.Int64N(most + 1)
			s, ok := NewEnumerator(board.NewTables(p), k, value, share, need)
			if !ok || !s.List(context.Background(), floor, 1<<30) {
				t.Fatalf("no shortlist of kind %d of %+v", k, o)
			}
			for _, x := range options {
				if board.Total(value, x.Sets) >= floor && !slices.ContainsFunc(s.Boards, func(y Label) bool { return s.covers(y, x.Sets) }) {
					t.Fatalf("%v of kind %d at %v, more than %d, is not listed of %+v", x.Sets, k, value, floor, o)
				}
			}
			for _, y := range s.Boards {
				lay := s.Layout(k, y)
				sets := board.CountSets(lay.Pieces(), len(need))
				if !board.None(sets) && !slices.ContainsFunc(options, func(x outright.Option) bool { return board.Covers(x.Sets, limited(sets, need)) }) {
					t.Fatalf("%v of kind %d cannot be cut of %+v", sets, k, o)
				}
			}
			weighed++
			if len(s.Boards) < len(options) {
				short++
			}
		}
	}
	if weighed < trial.Rounds(1000) || short < weighed/15 {
		t.Errorf("%d shortlists, %d of them short", weighed, short)
	}
}

// covers tells whether a label gives, of the items in question, what is asked.
func (s *Enumerator) covers(x Label, sets []int) bool {
	for n, i := range s.Items {
		if int(x.Sets[n]) < sets[i] {
			return false
		}
	}
	return true
}

// limited returns sets, no more of an item than the need.
func limited(sets, need []int) []int {
	out := slices.Clone(sets)
	for i, n := range need {
		out[i] = min(out[i], n)
	}
	return out
}
