package colgen

import (
	"math"
	"sort"
)

// partNode is a node of the search tree of a partition.
type partNode struct {
	t      *partition
	lp     *master
	ids    []int32 // listed pattern of each column
	has    []bool  // listed patterns that are columns
	active []int32 // listed patterns allowed
	extra  []setRow
	depth  int
}

// most bytes that the nodes on a path of the tree may take
const partMemory = 64 << 20

// size is roughly the bytes that a node takes.
func (n *partNode) size() int {
	return 8*n.lp.m*n.lp.m + 5*len(n.has) + 64*len(n.ids)
}

// setRow is a branching row: the patterns of a set are used at least or at
// most so often. The set is those that hold both items of a pair, or one
// pattern.
type setRow struct {
	i, j    uint16
	pattern int32 // -1: the pair
	sign    float64
	rhs     int
}

// in reports whether a listed pattern is in the set.
func (w *setRow) in(t *partition, p int32) bool {
	if w.pattern >= 0 {
		return p == w.pattern
	}
	return t.together(p, w.i, w.j)
}

// together reports whether a pattern holds both items; for an item and itself,
// whether it holds two copies.
func (t *partition) together(p int32, i, j uint16) bool {
	rows, counts := t.column(p)
	found := 0
	for x, r := range rows {
		switch r {
		case i:
			found++
			if i == j {
				return counts[x] > 1
			}
		case j:
			found++
		}
	}
	return found == 2
}

// holds reports whether a pattern holds an item.
func (t *partition) holds(p int32, i uint16) bool {
	rows, _ := t.column(p)
	for _, r := range rows {
		if r == i {
			return true
		}
	}
	return false
}

// branch solves a node and those below it. It returns nil when they hold no
// plan, errEnd when one was found or the search is over.
func (t *partition) branch(n *partNode) error {
	t.nodes++
	t.s.stats.Nodes++
	if err := t.s.alive(); err != nil {
		return err
	}
	if t.nodes > t.most || n.depth*n.size() > partMemory {
		return errNodes
	}
	pruned, err := n.solve()
	if err != nil || pruned {
		return err
	}
	set, f, ok := n.choose()
	if !ok {
		return n.offer()
	}
	n.depth++
	up := n.clone()
	if err := up.restrict(set, -1, int(math.Ceil(f))); err != nil {
		return err
	}
	if err := t.branch(up); err != nil {
		return err
	}
	if err := n.restrict(set, 1, int(math.Floor(f))); err != nil {
		return err
	}
	return t.branch(n)
}

func (n *partNode) clone() *partNode {
	c := *n
	c.lp = n.lp.clone()
	c.ids = append([]int32(nil), n.ids...)
	c.has = append([]bool(nil), n.has...)
	c.active = append([]int32(nil), n.active...)
	c.extra = append([]setRow(nil), n.extra...)
	return &c
}

// solve generates columns from the list. It reports true when whole-number
// prices show that the node holds no plan.
func (n *partNode) solve() (pruned bool, err error) {
	for raise := 0; ; {
		before, pivots := n.lp.work, n.lp.count
		err := n.lp.primal()
		n.t.s.spend(n.lp.work - before)
		n.t.s.stats.Pivots += n.lp.count - pivots
		if err != nil {
			return false, err
		}
		_, room, low := n.scan()
		if room < int64(n.t.target)*min(low, 0) {
			return true, nil
		}
		if n.enter(low) {
			continue
		}
		n.fix(room, low)
		if n.artificial() > 1e-6 && raise < 6 {
			raise++
			n.dearer()
			continue
		}
		if n.artificial() > 1e-6 {
			return false, errNumeric
		}
		return false, nil
	}
}

// scan computes the reduced costs of the active patterns in whole numbers. It
// returns the scale, what the target exceeds the dual value by, and the lowest
// reduced cost.
func (n *partNode) scan() (scale, room, low int64) {
	scale = 1 << 32
	t, y := n.t, make([]int64, n.lp.m)
	room = int64(t.target) * scale
	for r := range y {
		y[r] = n.lp.whole(r, scale)
		room -= y[r] * int64(n.lp.rhs[r])
	}
	t.worth = t.worth[:0]
	low = math.MaxInt64
	for _, p := range n.active {
		rows, counts := t.column(p)
		c := scale
		for x, r := range rows {
			c -= y[r] * int64(counts[x])
		}
		for w := range n.extra {
			if n.extra[w].in(t, p) {
				c -= y[len(t.demand)+w]
			}
		}
		t.worth = append(t.worth, c)
		low = min(low, c)
	}
	t.s.spend(int64(4 * len(n.active)))
	return scale, room, low
}

// whole is the dual price of a row in whole numbers. That of "at least" is not
// negative, that of "at most" not positive, whatever rounding says: otherwise
// it would prove nothing.
func (lp *master) whole(r int, scale int64) int64 {
	v := int64(clamp(lp.y[r]) * float64(scale))
	switch {
	case lp.sign[r] < 0:
		return max(v, 0)
	case lp.sign[r] > 0:
		return min(v, 0)
	}
	return v
}

// enter adds the columns of the most negative reduced costs.
func (n *partNode) enter(low int64) bool {
	const tolerance = -16
	if low > tolerance {
		return false
	}
	var at []int
	for x, c := range n.t.worth {
		if c < low/4 && c < tolerance && !n.has[n.active[x]] {
			at = append(at, x)
		}
	}
	sort.Slice(at, func(a, b int) bool { return n.t.worth[at[a]] < n.t.worth[at[b]] })
	for _, x := range at[:min(len(at), 40)] {
		n.addColumn(n.active[x])
	}
	return len(at) > 0
}

func (n *partNode) addColumn(p int32) {
	rows, counts := n.t.column(p)
	c := column{cost: 1}
	for x, r := range rows {
		c.rows, c.vals = append(c.rows, int32(r)), append(c.vals, float64(counts[x]))
	}
	for w := range n.extra {
		if n.extra[w].in(n.t, p) {
			c.rows, c.vals = append(c.rows, int32(len(n.t.demand)+w)), append(c.vals, 1)
		}
	}
	n.has[p] = true
	n.ids = append(n.ids, p)
	n.lp.addColumn(c)
}

// fix drops the patterns whose reduced cost alone exceeds the room: no plan of
// the node uses them.
func (n *partNode) fix(room, low int64) {
	room -= int64(n.t.target-1) * min(low, 0)
	kept := n.active[:0]
	for x, p := range n.active {
		if n.t.worth[x] <= room {
			kept = append(kept, p)
		}
	}
	n.active = kept
}

// artificial is how much of the point is not made of patterns allowed.
func (n *partNode) artificial() float64 {
	sum := n.lp.unmet()
	for r, c := range n.lp.basis {
		if c >= 0 && n.lp.cols[c].cost > 1 {
			sum += n.lp.x[r]
		}
	}
	return sum
}

// dearer raises the cost of what is not allowed.
func (n *partNode) dearer() {
	n.lp.big *= 4
	for c := range n.lp.cols {
		if n.lp.cols[c].cost > 1 {
			n.lp.cols[c].cost = n.lp.big
		}
	}
	n.lp.solvePrices()
}

// choose picks what to branch on: a pair of items whose patterns together have
// a fractional value, or one pattern of a fractional value.
//
// Source: Vance, Computational Optimization and Applications 9 (1998) 211-228;
// Ryan and Foster 1981 (from memory). With several copies of an item the sum
// over the patterns of a pair is bounded instead of the items merged.
func (n *partNode) choose() (set setRow, f float64, ok bool) {
	t, m := n.t, len(n.t.demand)
	var touched []int
	best := 1e-6
	for r, c := range n.lp.basis {
		v := n.lp.x[r]
		if c < 0 || v < 1e-7 {
			continue
		}
		if s := fraction(v); s > 1e-6 && best <= 1e-6 {
			set, f, ok = setRow{pattern: n.ids[c]}, v, true
		}
		rows, counts := t.column(n.ids[c])
		for x, i := range rows {
			for z := x; z < len(rows) && t.items[i] != noItem; z++ {
				if z == x && counts[x] < 2 || t.items[rows[z]] == noItem {
					continue
				}
				at := int(min(i, rows[z]))*m + int(max(i, rows[z]))
				if t.pairs[at] == 0 {
					touched = append(touched, at)
				}
				t.pairs[at] += v
			}
		}
	}
	for _, at := range touched {
		v := t.pairs[at]
		t.pairs[at] = 0
		if s := fraction(v); s > best {
			best = s
			set, f, ok = setRow{i: uint16(at / m), j: uint16(at % m), pattern: -1}, v, true
		}
	}
	return set, f, ok
}

// fraction is the distance to the next whole number.
func fraction(v float64) float64 { return math.Abs(v - math.Round(v)) }

// restrict makes the set be used at least (sign -1) or at most (sign +1) so often.
func (n *partNode) restrict(set setRow, sign float64, rhs int) error {
	switch {
	case sign > 0 && rhs == 0:
		n.forbid(func(p int32) bool { return set.in(n.t, p) })
	case sign < 0 && set.pattern < 0 && set.i != set.j && (rhs >= n.t.demand[set.i] || rhs >= n.t.demand[set.j]):
		if rhs >= n.t.demand[set.i] {
			n.forbid(func(p int32) bool { return n.t.holds(p, set.i) && !set.in(n.t, p) })
		}
		if rhs >= n.t.demand[set.j] {
			n.forbid(func(p int32) bool { return n.t.holds(p, set.j) && !set.in(n.t, p) })
		}
	default:
		set.sign, set.rhs = sign, rhs
		return n.addRow(set)
	}
	return nil
}

// forbid drops patterns. Those in the basis stay at a cost that drives them out.
func (n *partNode) forbid(out func(int32) bool) {
	kept := n.active[:0]
	for _, p := range n.active {
		if !out(p) {
			kept = append(kept, p)
		}
	}
	n.active = kept
	for c, p := range n.ids {
		if out(p) {
			n.lp.cols[c].cost = n.lp.big
		}
	}
	n.lp.solvePrices()
}

// addRow adds a branching row.
func (n *partNode) addRow(w setRow) error {
	r := len(n.t.demand) + len(n.extra)
	n.extra = append(n.extra, w)
	for c, p := range n.ids {
		if w.in(n.t, p) {
			col := &n.lp.cols[c]
			col.rows = append(append([]int32(nil), col.rows...), int32(r))
			col.vals = append(append([]float64(nil), col.vals...), 1)
		}
	}
	n.lp.addRow(w.sign, float64(w.rhs))
	return n.lp.dual()
}

// offer makes a plan of an integral point.
func (n *partNode) offer() error {
	plan := append([]Use(nil), n.t.q.fixed...)
	for r, c := range n.lp.basis {
		copies := int(math.Round(n.lp.x[r]))
		if c < 0 || copies == 0 {
			continue
		}
		rows, counts := n.t.column(n.ids[c])
		var pieces []Piece
		for x, i := range rows {
			if n.t.items[i] != noItem {
				pieces = append(pieces, Piece{n.t.items[i], int(counts[x])})
			}
		}
		sort.Slice(pieces, func(a, b int) bool { return pieces[a].Item < pieces[b].Item })
		plan = append(plan, Use{Pattern{n.t.kinds[n.ids[c]], pieces}, copies})
	}
	return n.t.q.offer(plan)
}
