package pack

import (
	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/knapsack"
	"resawd/calc/plan/colgen/internal/relax"
)

// filler cuts boards one after the other, each filled as well as a short
// search can.
//
// Source: minimum bin slack, Gupta and Ho, Production Planning and Control 10
// (1999) 598-603; starting each board with the largest item left and accepting
// a slack above zero as in Fleszar and Hindi, Computers and Operations Research
// 29 (2002) 821-839 (from memory).
type filler struct {
	Sizes
	left  []int
	rest  []int64 // size of all that is left from here on
	take  []int
	found []int
	slack int64 // of found
	allow int64 // slack good enough to stop
	nodes int
	work  int64
}

// plan cuts everything, accepting boards with a slack of allow, with at most
// a number of nodes for each board. It gives up at more than most boards.
func (f *filler) plan(allow int64, nodes int, most int64) ([]colgen.Use, bool) {
	f.left = append(f.left[:0], f.Count...)
	f.take = make([]int, len(f.size))
	f.found = make([]int, len(f.size))
	f.rest = make([]int64, len(f.size)+1)
	f.allow = allow
	var plan []colgen.Use
	boards := int64(0)
	for first := 0; ; {
		for first < len(f.left) && f.left[first] == 0 {
			first++
		}
		if first == len(f.left) {
			return plan, true
		}
		f.fill(first, nodes)
		u := f.cut(first)
		if boards += int64(u.Copies); boards > most {
			return nil, false
		}
		plan = append(plan, u)
	}
}

// fill searches for the best filled board with the largest item in it.
func (f *filler) fill(first, nodes int) {
	for x := len(f.size) - 1; x >= first; x-- {
		f.rest[x] = f.rest[x+1] + int64(f.left[x])*f.size[x]
	}
	f.slack, f.nodes = f.capacity+1, nodes
	most := int(min(int64(f.left[first]), f.capacity/f.size[first]))
	for c := most; c > 0 && f.slack > f.allow; c-- {
		f.take[first] = c
		f.descend(first+1, f.capacity-int64(c)*f.size[first])
	}
	f.take[first] = 0
	f.work += int64(nodes-f.nodes) + int64(2*(len(f.size)-first))
}

// descend tries items from x on in what is left of the board.
func (f *filler) descend(x int, capacity int64) {
	if capacity < f.slack {
		f.slack = capacity
		copy(f.found, f.take)
	}
	for ; x < len(f.size); x++ {
		if f.nodes--; f.nodes < 0 || f.slack <= f.allow || capacity-f.rest[x] >= f.slack {
			return
		}
		for c := int(min(int64(f.left[x]), capacity/f.size[x])); c > 0 && f.slack > f.allow; c-- {
			f.take[x] = c
			f.descend(x+1, capacity-int64(c)*f.size[x])
		}
		f.take[x] = 0
	}
}

// cut takes away the board found, as often as the items last.
func (f *filler) cut(first int) colgen.Use {
	copies := f.left[first]
	for x, c := range f.found {
		if c > 0 {
			copies = min(copies, f.left[x]/c)
		}
	}
	count := map[int]int{}
	for x, c := range f.found {
		if c > 0 {
			f.left[x] -= c * copies
			count[f.item[x]] = c
		}
	}
	return colgen.Use{Pattern: colgen.Pattern{Kind: 0, Pieces: knapsack.SortedPieces(count)}, Copies: copies}
}

// Cheap closes a problem of one kind in one dimension without a linear
// program, where it can: bounds by sizes alone, and boards filled one by one.
func Cheap(s *relax.State) error {
	t, ok := stacked(s)
	if !ok || len(t.size) == 0 {
		return nil
	}
	if err := s.Raise(t.bound()); err != nil {
		return err
	}
	f := &filler{Sizes: t}
	total := int64(0)
	for x, w := range t.size {
		total += w * int64(t.Count[x])
	}
	spare := max(s.Bound*t.capacity-total, 0)
	each := spare / max(s.Bound, 1) // slack of a board when all are alike
	for _, try := range []struct {
		allow int64
		nodes int
	}{
		{t.capacity, 1 << 20}, // the largest that fits, over and over
		{each, 400}, {0, 400}, {each / 2, 400}, {2 * each, 400}, {each / 4, 400},
		{each, 4000}, {0, 4000}, {each / 3, 4000}, {3 * each / 2, 4000},
	} {
		plan, ok := f.plan(try.allow, try.nodes, s.Cutoff()-1)
		s.Spend(f.work)
		f.work = 0
		if ok {
			if err := s.Offer(plan); err != nil {
				return err
			}
		}
		if err := s.Alive(); err != nil {
			return err
		}
	}
	return nil
}
