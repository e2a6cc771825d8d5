package exactly

// setRow is a row beyond the demands: the patterns of a set are used at least
// or at most so often. The set is those that hold both items of a pair, or one
// pattern.
type setRow struct {
	i, j    uint16
	pattern int32 // -1: the pair
	sign    float64
	rhs     int
}

// times is how often a listed pattern counts in the row.
func (w *setRow) times(t *partition, p int32) int {
	if w.in(t, p) {
		return 1
	}
	return 0
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
		n.addRow(set)
		return n.resolve()
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
			n.lp.Cols[c].Cost = n.lp.Big
		}
	}
	n.lp.SolvePrices()
}

// addRow adds a row; resolve follows the last of several.
func (n *partNode) addRow(w setRow) {
	r := len(n.t.demand) + len(n.extra)
	n.extra = append(n.extra, w)
	for c, p := range n.ids {
		if v := w.times(n.t, p); v > 0 {
			col := &n.lp.Cols[c]
			col.Rows = append(append([]int32(nil), col.Rows...), int32(r))
			col.Vals = append(append([]float64(nil), col.Vals...), float64(v))
		}
	}
	n.lp.AddRow(w.sign, float64(w.rhs))
}

// resolve restores the linear program after rows were added.
func (n *partNode) resolve() error {
	return n.t.s.Metered(n.lp, func() error {
		n.lp.Rebuild()
		return n.lp.Dual()
	})
}
