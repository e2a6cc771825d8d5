package knapsack

import "resawd/calc/plan/colgen"

// Listing asks for all patterns of one board that are worth something.
type Listing struct {
	Capacity int64
	Value    []int64 // of one copy of each item
	Limit    []int   // the most copies of each item
	Rules
	Least int64 // that a pattern is worth
	Most  int   // patterns
	Steps int64 // of the search
}

// enumerator lists all patterns of a board that are worth a floor.
type enumerator struct {
	table table
	least int64
	most  int // patterns
	steps int64
	out   [][]colgen.Piece
}

// Enumerate lists the patterns that are asked for, and returns the work that it took. It
// gives up, and returns false, when there are more patterns or steps than there may be.
func (n *Knapsack) Enumerate(l Listing) (patterns [][]colgen.Piece, work int64, ok bool) {
	e := &enumerator{least: l.Least, most: l.Most, steps: l.Steps}
	e.table.fill(n, l.Value, l.Limit, l.Capacity, min(l.Waste, l.Capacity-1))
	e.table.keepApart(l.Apart)
	e.table.take = make([]int, len(e.table.things))
	ok = e.descend(0, l.Capacity, 0)
	return e.out, e.table.work + l.Steps - e.steps, ok
}

// descend decides on thing i and those after it.
func (e *enumerator) descend(i int, capacity, worth int64) bool {
	if e.steps--; e.steps < 0 {
		return false
	}
	t := &e.table
	if worth+t.row(i)[capacity/t.unit] < e.least {
		return true
	}
	if i == len(t.things) {
		return capacity > t.waste || e.keep()
	}
	th := &t.things[i]
	for c := t.room(i, th.count, capacity); c >= 0; c-- {
		t.take[i] = c
		if !e.descend(i+1, capacity-int64(c)*th.size, worth+int64(c)*th.value) {
			return false
		}
	}
	t.take[i] = 0
	return true
}

// keep stores the pattern taken.
func (e *enumerator) keep() bool {
	var p []colgen.Piece
	for i, c := range e.table.take {
		if c > 0 {
			p = append(p, colgen.Piece{Item: e.table.things[i].item, Count: c})
		}
	}
	e.out = append(e.out, p)
	return len(e.out) <= e.most
}
