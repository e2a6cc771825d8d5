package plan

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestShortlist compares shortlists of boards of tiny orders with all that they
// can give: what is worth the floor is covered by an entry, and every entry can
// be cut.
func TestShortlist(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 2))
	var weighed, short int
	for range 3000 {
		o := tiny(r)
		if len(Validate(o)) > 0 {
			continue
		}
		p := prepare(o)
		need := p.possible()
		value, share := make([]int64, len(need)), make([]float64, len(need))
		for i := range value {
			value[i], share[i] = r.Int64N(5)*r.Int64N(30), max(0, r.Float64()*1.5-0.5)
		}
		for k := range p.kinds {
			e := enumerator{p: p, need: need, budget: 1 << 30, strips: map[[2]int64][]option{}}
			options, ok := e.options(k)
			if !ok {
				continue
			}
			var most int64
			for _, x := range options {
				most = max(most, total(value, x.sets))
			}
			floor := r.Int64N(most + 1)
			s, ok := newLister(newTables(p), k, value, share, need)
			if !ok || !s.list(context.Background(), floor, 1<<30) {
				t.Fatalf("no shortlist of kind %d of %+v", k, o)
			}
			for _, x := range options {
				if total(value, x.sets) >= floor && !slices.ContainsFunc(s.boards, func(y lot) bool { return s.covers(y, x.sets) }) {
					t.Fatalf("%v of kind %d at %v, more than %d, is not listed of %+v", x.sets, k, value, floor, o)
				}
			}
			for _, y := range s.boards {
				lay := s.layout(k, y)
				sets := countSets(lay.pieces(), len(need))
				if !none(sets) && !slices.ContainsFunc(options, func(x option) bool { return covers(x.sets, limited(sets, need)) }) {
					t.Fatalf("%v of kind %d cannot be cut of %+v", sets, k, o)
				}
			}
			weighed++
			if len(s.boards) < len(options) {
				short++
			}
		}
	}
	if weighed < 1000 || short < weighed/10 {
		t.Errorf("%d shortlists, %d of them short", weighed, short)
	}
}

// covers tells whether a lot gives, of the items in question, what is asked.
func (s *lister) covers(x lot, sets []int) bool {
	for n, i := range s.items {
		if int(x.sets[n]) < sets[i] {
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
