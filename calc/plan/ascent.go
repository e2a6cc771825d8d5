package plan

import "math"

// ascent finds good layouts of one board, and a bound on all of them, for a
// question whose limits hold for the board as a whole. The tables keep within
// the limits of each billet only; what goes beyond a limit on the board is
// made dearer, round by round, by a multiplier: the bound is what the dearer
// board is worth plus what the multipliers take from the limits.
//
// Source: Lagrangian relaxation with subgradient steps: Held, Wolfe and
// Crowder, Mathematical Programming 6 (1974) 62-88 (from memory); for cutting
// with limits, state space relaxation with ascent: Christofides and
// Hadjiconstantinou, European J. Oper. Res. 83 (1995) 21-38 (from memory).
type ascent struct {
	b    *builder
	held [][]float64 // by kind: the multipliers of the last question, as shares of the value
}

// maxHeld is how many multipliers are remembered.
const maxHeld = 500_000

// newAscent returns an ascent without memory.
func newAscent(p *problem) *ascent {
	return &ascent{newBuilder(p), make([][]float64, len(p.kinds))}
}

// found is what an ascent has found for one board.
type found struct {
	lay   layout
	worth int64     // of lay
	bound int64     // no layout within the limits is worth more
	count []int     // sets of each item in the board that gave the bound
	share []float64 // its multipliers
}

// climb is one ascent.
type climb struct {
	*ascent
	kind   int
	segs   []segment // of the board that may be cut
	value  []int64
	limit  []int
	dear   []int64   // value less the multipliers
	share  []float64 // multipliers as shares of the value
	best   found
	stride stride
}

// board searches for a layout of a board, for at most so many rounds, or until
// nothing can be worth more than floor.
func (a *ascent) board(k int, value []int64, limit []int, rounds int, floor int64) found {
	return a.part(k, a.b.t.p.kinds[k].segs, value, limit, rounds, floor)
}

// part is board for some stretches of a board alone.
func (a *ascent) part(k int, segs []segment, value []int64, limit []int, rounds int, floor int64) found {
	c := climb{ascent: a, kind: k, segs: segs, value: value, limit: limit, stride: newStride(3, 0.6)}
	c.best.bound, c.best.share = math.MaxInt64, make([]float64, len(value))
	c.best.lay.kind = k
	if c.share = a.held[k]; c.share == nil {
		c.share = make([]float64, len(value))
	}
	if len(value)*len(a.held) <= maxHeld {
		a.held[k] = c.share
	}
	for range rounds {
		c.dearer()
		if c.round() || c.best.bound <= floor {
			break
		}
	}
	return c.best
}

// dearer applies the multipliers.
func (c *climb) dearer() {
	c.dear = make([]int64, len(c.value))
	for i, v := range c.value {
		c.dear[i] = v - int64(c.share[i]*float64(v))
	}
}

// round weighs the board with the multipliers as they are, lays it out, and
// moves the multipliers. It tells whether the best layout is proven.
func (c *climb) round() bool {
	kd := c.b.t.p.kinds[c.kind]
	c.b.start(c.kind, c.dear, c.limit)
	bound, pieces := c.b.t.board(kd, c.segs)
	for i, n := range c.limit {
		bound += (c.value[i] - c.dear[i]) * int64(n)
	}
	count := countOf(c.b.t, kd, pieces)
	better := bound < c.best.bound && !c.b.t.arena.full
	c.stride.note(better)
	if better {
		c.best.bound, c.best.count = bound, count
		c.best.share = append(c.best.share[:0], c.share...)
	}
	if strips, ok := c.b.whole(kd, pieces); ok {
		c.offer(layout{c.kind, strips})
	} else {
		c.b.value = c.value
		c.offer(c.b.mend(c.kind, pieces))
	}
	return c.best.worth >= c.best.bound || !c.move(count, bound)
}

// offer takes a layout that is worth more than the best one.
func (c *climb) offer(lay layout) {
	if w := worth(lay.pieces(), c.value); w > c.best.worth {
		c.best.lay, c.best.worth = lay, w
	}
}

// move makes dearer what the board had too many of, and cheaper what it had
// too few of. It tells whether there was anything to move.
func (c *climb) move(count []int, bound int64) bool {
	return climbBy(c.share, count, c.limit, c.value, c.stride.step()*float64(min(bound, c.best.bound)-c.best.worth))
}

// climbBy moves multipliers against what counts are beyond their limits, by a
// step that would gain a worth, and tells whether there was anything to move.
func climbBy(share []float64, count, limit []int, value []int64, gain float64) bool {
	var norm float64
	for i, n := range count {
		if d := float64(n - limit[i]); d > 0 || share[i] > 0 {
			norm += d * d
		}
	}
	if norm == 0 {
		return false
	}
	for i, n := range count {
		if d := float64(n - limit[i]); value[i] > 0 && (d > 0 || share[i] > 0) {
			share[i] = min(1, max(0, share[i]+gain/norm*d/float64(value[i])))
		}
	}
	return true
}

// countOf returns how many sets of each item the pieces of a board hold by the
// tables.
func countOf(t *tables, kd kind, pieces []piece) []int {
	count := make([]int, len(t.value))
	for _, pc := range pieces {
		for _, w := range t.billets(kd.group, pc.l, kd.rip) {
			t.contents(kd.group, pc.l, w, func(item, n int) { count[item] += n })
		}
	}
	return count
}

// worth returns what pieces are worth.
func worth(sets []Sets, value []int64) int64 {
	var sum int64
	for _, s := range sets {
		sum += int64(s.Count) * value[s.Item]
	}
	return sum
}
