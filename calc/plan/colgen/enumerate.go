package colgen

// enumerator lists all patterns of a board that are worth at least so much and
// fill it at least so far.
type enumerator struct {
	worth, fill table // bounds of worth and of size
	leastWorth  int64
	most        int // patterns
	steps       int64
	take        []int
	out         [][]Piece // by item
}

// enumerate lists the patterns of a kind with counts within limit that are
// worth at least leastWorth and leave at most waste of the capacity. It gives
// up when there are more than most, or after steps.
func (n *Knapsack) enumerate(kind int, value []int64, limit []int, leastWorth, waste int64, most int, steps int64) ([][]Piece, int64, bool) {
	e := &enumerator{leastWorth: leastWorth, most: most, steps: steps}
	capacity := n.capacity[kind]
	e.worth.fill(n, value, limit, capacity)
	e.fill.fill(n, n.size, limit, capacity)
	e.take = make([]int, len(e.worth.things))
	ok := e.descend(0, capacity, waste, 0)
	return e.out, e.worth.work + e.fill.work + steps - e.steps, ok
}

// descend decides on thing i and those after it.
func (e *enumerator) descend(i int, capacity, waste, worth int64) bool {
	if e.steps--; e.steps < 0 {
		return false
	}
	things := e.worth.things
	if worth+e.worth.row(i)[capacity/e.worth.unit] < e.leastWorth {
		return true
	}
	if capacity > waste && capacity-e.fill.upper(i, capacity) > waste {
		return true
	}
	if i == len(things) {
		return e.keep()
	}
	th := &things[i]
	for c := int(min(int64(th.count), capacity/th.size)); c >= 0; c-- {
		e.take[i] = c
		if !e.descend(i+1, capacity-int64(c)*th.size, waste, worth+int64(c)*th.value) {
			return false
		}
	}
	e.take[i] = 0
	return true
}

// keep stores the pattern taken.
func (e *enumerator) keep() bool {
	var p []Piece
	for i, c := range e.take {
		if c > 0 {
			p = append(p, Piece{e.worth.things[i].item, c})
		}
	}
	e.out = append(e.out, p)
	return len(e.out) <= e.most
}
