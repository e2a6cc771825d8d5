package mix

import (
	"math"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/exactly"
	"resawd/calc/plan/colgen/internal/relax"
)

// mixes searches the mixes that meet all rows. A mix is a number of boards of
// each kind.
type mixes struct {
	*surrogates
	low, high []int
	near      []int // numbers to begin with
	floor     int64 // mixes that cost less are of no interest
	target    int64 // nor those that cost more
	next      int64 // the least cost of those
	rest      []int64
	boards    int // more are of no use
	mix       []int
	nodes     int
	do        func(mix []int) error
}

// run calls do with mixes of costs from floor to target, until it returns an
// error. It returns ErrNodes when it gave up after that number of nodes.
func (m *mixes) run(nodes int) error {
	m.nodes, m.next = nodes, math.MaxInt64
	m.mix = make([]int, len(m.kinds))
	m.rest = make([]int64, len(m.kinds)+1)
	for k := len(m.kinds) - 1; k >= 0; k-- {
		_, high, _ := m.span(k, m.target)
		m.rest[k] = min(m.rest[k+1]+int64(high)*m.kinds[k].Cost, relax.Unreachable)
	}
	return m.descend(0, 0, m.left(-1, nil))
}

// span is how many boards of kind k there may be when left is all there is to
// spend. One board more than that shows what is dearer; dearer says
// whether there may be more still.
func (m *mixes) span(k int, left int64) (low, high int, dearer bool) {
	low, most := m.low[k], m.high[k]
	if most == colgen.Unlimited || most > m.boards {
		most = m.boards
	}
	most = max(low, most)
	c := m.kinds[k].Cost
	if c == 0 {
		return most, most, false // what costs nothing is taken
	}
	high = max(low, int(min(int64(most), max(left, 0)/c+1)))
	return low, high, high < most
}

// descend decides on the number of boards of kind k and those after it.
func (m *mixes) descend(k int, cost int64, need []int64) error {
	if m.nodes--; m.nodes < 0 {
		return exactly.ErrNodes
	}
	if least := cost + m.least(k, need); least > m.target {
		m.next = min(m.next, least)
		return nil
	}
	if cost+m.rest[k] < m.floor {
		return nil
	}
	if k == len(m.kinds) {
		return m.do(m.mix)
	}
	low, high, dearer := m.span(k, m.target-cost)
	if dearer {
		m.next = min(m.next, cost+int64(high+1)*m.kinds[k].Cost)
	}
	for n, more := around(low, high, m.near[k]); more; n, more = n.next() {
		m.mix[k] = n.at
		if err := m.descend(k+1, cost+int64(n.at)*m.kinds[k].Cost, m.left(k, need)); err != nil {
			return err
		}
	}
	return nil
}

// left is what is needed of each row beyond the boards of kind k, given what
// is needed before. Of rows that came later it counts all kinds up to k.
func (m *mixes) left(k int, need []int64) []int64 {
	left := make([]int64, len(m.list))
	for j, v := range m.list {
		from := k
		if j < len(need) {
			left[j] = need[j]
		} else {
			left[j], from = v.worth, 0
		}
		for x := from; x <= k && left[j] > 0; x++ {
			if v.most[x] > 0 {
				left[j] -= min(int64(m.mix[x]), m.enough(v, x)) * v.most[x]
			}
		}
	}
	return left
}

// nearby counts from a number outward.
type nearby struct{ at, low, high, down, up int }

// around begins to count the numbers from low to high at near.
func around(low, high, near int) (nearby, bool) {
	at := max(low, min(near, high))
	return nearby{at, low, high, at - 1, at + 1}, low <= high
}

// next goes on to the nearest number not met yet.
func (n nearby) next() (nearby, bool) {
	below := (n.at + n.at) < n.up+n.down // at was on the lower side
	switch {
	case n.down < n.low && n.up > n.high:
		return n, false
	case n.up <= n.high && (below || n.down < n.low):
		n.at = n.up
		n.up++
	default:
		n.at = n.down
		n.down--
	}
	return n, true
}
