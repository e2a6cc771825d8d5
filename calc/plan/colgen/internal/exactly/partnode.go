package exactly

import (
	"math"
	"sort"

	"resawd/calc/lp"
	"resawd/calc/plan/colgen"
)

// partNode is a node of the search tree of a partition.
type partNode struct {
	t      *partition
	lp     *lp.Program
	ids    []int32 // listed pattern of each column
	has    []bool  // listed patterns that are columns
	active []int32 // listed patterns allowed
	extra  []setRow
	depth  int
}

// partMemory is the most bytes that the nodes on a path of the tree may take.
const partMemory = 64 << 20

// size is roughly the bytes that a node takes.
func (n *partNode) size() int {
	return 8*n.lp.M*n.lp.M + 5*len(n.has) + 64*len(n.ids)
}

// branch solves a node and those below it. It returns nil when they hold no
// plan, relax.ErrEnd when one was found or the search is over.
func (t *partition) branch(n *partNode) error {
	t.nodes++
	if err := t.s.Alive(); err != nil {
		return err
	}
	full := n.depth*n.size() > partMemory
	t.s.Stats.MemoryFull = t.s.Stats.MemoryFull || full
	if full || t.nodes > t.most {
		return ErrNodes
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
	c.lp = n.lp.Clone()
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
		if err := n.t.s.Metered(n.lp, n.lp.Primal); err != nil {
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
			return false, lp.ErrNumeric
		}
		return false, nil
	}
}

// scan computes the reduced costs of the active patterns in whole numbers. It
// returns the scale, what the target exceeds the dual value by, and the lowest
// reduced cost.
func (n *partNode) scan() (scale, room, low int64) {
	scale = 1 << 32
	t, y := n.t, make([]int64, n.lp.M)
	room = int64(t.target) * scale
	for r := range y {
		y[r] = whole(n.lp, r, scale)
		room -= y[r] * int64(n.lp.RHS[r])
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
			if y[len(t.demand)+w] != 0 {
				c -= y[len(t.demand)+w] * int64(n.extra[w].times(t, p))
			}
		}
		t.worth = append(t.worth, c)
		low = min(low, c)
	}
	t.s.Spend(int64(4 * len(n.active)))
	return scale, room, low
}

// whole is the dual price of a row in whole numbers. That of "at least" is not
// negative, that of "at most" not positive, whatever rounding says: otherwise
// it would prove nothing.
func whole(lp *lp.Program, r int, scale int64) int64 {
	v := int64(clamp(lp.Y[r]) * float64(scale))
	switch {
	case lp.Sign[r] < 0:
		return max(v, 0)
	case lp.Sign[r] > 0:
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
	c := lp.Column{Cost: 1}
	for x, r := range rows {
		c.Rows, c.Vals = append(c.Rows, int32(r)), append(c.Vals, float64(counts[x]))
	}
	for w := range n.extra {
		if v := n.extra[w].times(n.t, p); v > 0 {
			c.Rows, c.Vals = append(c.Rows, int32(len(n.t.demand)+w)), append(c.Vals, float64(v))
		}
	}
	n.has[p] = true
	n.ids = append(n.ids, p)
	n.lp.AddColumn(c)
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
	sum := n.lp.Unmet()
	for r, c := range n.lp.Basis {
		if c >= 0 && n.lp.Cols[c].Cost > 1 {
			sum += n.lp.X[r]
		}
	}
	return sum
}

// dearer raises the cost of what is not allowed.
func (n *partNode) dearer() {
	n.lp.Big *= 4
	for c := range n.lp.Cols {
		if n.lp.Cols[c].Cost > 1 {
			n.lp.Cols[c].Cost = n.lp.Big
		}
	}
	n.lp.SolvePrices()
}

// choose picks what to branch on: a pair of items whose patterns together have
// a fractional value, or one pattern of a fractional value. It prefers a pair
// far from whole of an item in few patterns: what has the fewest ways left
// fails first.
//
// Source: Vance, Computational Optimization and Applications 9 (1998) 211-228;
// Ryan and Foster 1981; Haralick and Elliott, Artificial Intelligence 14 (1980)
// 263-313 (fail first); from memory. With several copies of an item the sum
// over the patterns of a pair is bounded instead of the items merged.
func (n *partNode) choose() (set setRow, f float64, ok bool) {
	t, m := n.t, len(n.t.demand)
	var touched []int
	best := 0.0
	for r, c := range n.lp.Basis {
		v := n.lp.X[r]
		if c < 0 || v < 1e-7 {
			continue
		}
		if s := Fraction(v); s > 1e-6 && best == 0 {
			set, f, ok = setRow{pattern: n.ids[c]}, v, true
		}
		rows, counts := t.column(n.ids[c])
		for x, i := range rows {
			for z := x; z < len(rows); z++ {
				if z == x && counts[x] < 2 {
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
	few := n.ways()
	for _, at := range touched {
		v := t.pairs[at]
		t.pairs[at] = 0
		if Fraction(v) < 1e-6 {
			continue
		}
		if s := (0.1 + Fraction(v)) / max(1, min(few[at/m], few[at%m])); s > best {
			best = s
			set, f, ok = setRow{i: uint16(at / m), j: uint16(at % m), pattern: -1}, v, true
		}
	}
	return set, f, ok
}

// ways is in how many active patterns each item is.
func (n *partNode) ways() []float64 {
	out := make([]float64, len(n.t.demand))
	for _, p := range n.active {
		rows, _ := n.t.column(p)
		for _, r := range rows {
			out[r]++
		}
	}
	return out
}

// Fraction is the distance to the next whole number.
func Fraction(v float64) float64 { return math.Abs(v - math.Round(v)) }

// offer makes a plan of an integral point.
func (n *partNode) offer() error {
	plan := append([]colgen.Use(nil), n.t.q.fixed...)
	for r, c := range n.lp.Basis {
		copies := int(math.Round(n.lp.X[r]))
		if c < 0 || copies == 0 {
			continue
		}
		rows, counts := n.t.column(n.ids[c])
		var pieces []colgen.Piece
		for x, i := range rows {
			pieces = append(pieces, colgen.Piece{Item: n.t.items[i], Count: int(counts[x])})
		}
		sort.Slice(pieces, func(a, b int) bool { return pieces[a].Item < pieces[b].Item })
		plan = append(plan, colgen.Use{Pattern: colgen.Pattern{Kind: n.t.kinds[n.ids[c]], Pieces: pieces}, Copies: copies})
	}
	return n.t.q.offer(plan)
}
