package knapsack

import "resawd/calc/plan/colgen"

// enumerator lists all patterns of a board that are worth a floor.
type enumerator struct {
	table table
	least int64
	most  int // patterns
	steps int64
	out   [][]colgen.Piece
}

// Enumerate lists the patterns of a capacity with counts within limit that are
// worth at least least and leave at most waste of the capacity. It gives up
// when there are more than most, or after steps.
func (n *Knapsack) Enumerate(capacity int64, value []int64, limit []int, apart [][2]int, least, waste int64, most int, steps int64) ([][]colgen.Piece, int64, bool) {
	e := &enumerator{least: least, most: most, steps: steps}
	e.table.fill(n, value, limit, capacity, min(waste, capacity-1))
	e.table.keepApart(apart)
	e.table.take = make([]int, len(e.table.things))
	ok := e.descend(0, capacity, 0)
	return e.out, e.table.work + steps - e.steps, ok
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
