package board

import "math"

// Ascent finds good layouts of one board, and a bound on all of them, for a
// question whose limits hold for the board as a whole. The tables keep within
// the limits of each billet only; what goes beyond a limit on the board is
// made dearer, round by round, by a multiplier: the bound is what the dearer
// board is worth plus what the multipliers take from the limits.
//
// Source: Lagrangian relaxation with subgradient steps: Held, Wolfe and
// Crowder, Mathematical Programming 6 (1974) 62-88 (from memory); for cutting
// with limits, state space relaxation with ascent: Christofides and
// Hadjiconstantinou, European J. Oper. Res. 83 (1995) 21-38 (from memory).
type Ascent struct {
	B    *Builder
	held [][]float64 // by kind: the multipliers of the last question, as shares of the value
}

// Arenas returns the arenas that hold its lists.
func (a *Ascent) Arenas() []*Arena { return a.B.Arenas() }

// maxHeld is how many multipliers are remembered.
const maxHeld = 500_000

// NewAscent returns an ascent without memory.
func NewAscent(p *Problem) *Ascent {
	return &Ascent{NewBuilder(p), make([][]float64, len(p.Kinds))}
}

// found is what an ascent has found for one board.
type found struct {
	Lay   Layout
	Worth int64     // of lay
	Bound int64     // no layout within the limits is worth more
	Share []float64 // its multipliers
}

// climb is one ascent.
type climb struct {
	*Ascent
	kind   int
	segs   []Segment // of the board that may be cut
	value  []int64
	limit  []int
	dear   []int64   // value less the multipliers
	share  []float64 // multipliers as shares of the value
	best   found
	stride stride
}

// Board searches for a layout of a board, for a number of rounds at most, or until
// nothing can be worth more than floor.
func (a *Ascent) Board(k int, value []int64, limit []int, rounds int, floor int64) found {
	return a.Part(k, a.B.T.P.Kinds[k].Segs, value, limit, rounds, floor)
}

// Part is board for some stretches of a board alone.
func (a *Ascent) Part(k int, segs []Segment, value []int64, limit []int, rounds int, floor int64) found {
	c := climb{Ascent: a, kind: k, segs: segs, value: value, limit: Still(limit), stride: NewStride(3, 0.6)}
	c.best.Bound, c.best.Share = math.MaxInt64, make([]float64, len(value))
	c.best.Lay.Kind = k
	if c.share = a.held[k]; c.share == nil {
		c.share = make([]float64, len(value))
	}
	if len(value)*len(a.held) <= maxHeld {
		a.held[k] = c.share
	}
	for range rounds {
		c.dearer()
		if c.round() || c.best.Bound <= floor {
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
	kd := c.B.T.P.Kinds[c.kind]
	c.B.start(c.kind, c.dear, c.limit)
	bound, pieces := c.B.T.Board(kd, c.segs)
	for i, n := range c.limit {
		bound += (c.value[i] - c.dear[i]) * int64(n)
	}
	count := CountOf(c.B.T, kd, pieces)
	better := bound < c.best.Bound && !c.B.T.Arena.Full
	c.stride.Note(better)
	if better {
		c.best.Bound = bound
		c.best.Share = append(c.best.Share[:0], c.share...)
	}
	if strips, ok := c.B.whole(kd, pieces); ok {
		c.offer(Layout{Kind: c.kind, Strips: strips})
	} else {
		c.B.value = c.value
		c.offer(c.B.mend(c.kind, pieces))
	}
	return c.best.Worth >= c.best.Bound || !c.move(count, bound)
}

// offer takes a layout that is worth more than the best one.
func (c *climb) offer(lay Layout) {
	if w := c.B.T.P.NetWorth(lay, c.value, c.limit); w > c.best.Worth {
		c.best.Lay, c.best.Worth = lay, w
	}
}

// move makes dearer what the board had too many of, and cheaper what it had
// too few of. It tells whether there was anything to move.
func (c *climb) move(count []int, bound int64) bool {
	return ClimbBy(c.share, count, c.limit, c.value, c.stride.Step()*float64(min(bound, c.best.Bound)-c.best.Worth))
}

// ClimbBy moves multipliers against what counts are beyond their limits, by a
// step that would gain a worth, and tells whether there was anything to move.
func ClimbBy(share []float64, count, limit []int, value []int64, gain float64) bool {
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

// CountOf returns how many sets of each item the pieces of a board hold by the
// tables, no more of a billet than its limit.
func CountOf(t *Tables, kd Kind, pieces []Piece) []int {
	count := make([]int, len(t.value))
	for _, pc := range pieces {
		for _, w := range t.billets(kd.Group, pc.L, kd.Rip) {
			for _, s := range t.contents(kd.Group, pc.L, w) {
				count[s.Item] += min(s.Sets(), t.limit[s.Item])
			}
		}
	}
	return count
}

// Worth returns what pieces are worth: what is beyond a limit, nothing.
func Worth(sets []Sets, value []int64, limit []int) int64 {
	var sum int64
	for _, s := range sets {
		sum += int64(min(s.Count, limit[s.Item])) * value[s.Item]
	}
	return sum
}
