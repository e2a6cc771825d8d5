package exactly

import (
	"errors"

	"resawd/calc/lp"
	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/relax"
)

// A partition is a tight problem whose patterns are all listed: those within
// the waste whose reduced cost alone does not rule them out. The question is
// then one of integer programming over known columns.
//
// Source: Baldacci, Christofides and Mingozzi, Mathematical Programming 115
// (2008) 351-385 (enumeration by reduced cost; from memory).
type partition struct {
	s      *relax.State
	target int
	q      *tight
	demand []int // of each row
	items  []int // of each row
	kinds  []int // of each pattern
	start  []int32
	rows   []uint16
	counts []uint16
	worth  []int64 // scratch of one scan
	pairs  []float64
	nodes  int
	most   int // nodes
}

// ErrNodes ends the search of a partition at its limit of nodes.
var ErrNodes = errors.New("limit of nodes")

// newPartition sets up the partition of a tight problem.
func newPartition(q *tight, list []colgen.Pattern) *partition {
	t := &partition{s: q.s, q: q, target: q.target, start: []int32{0}}
	row := make([]uint16, len(q.demand))
	for i, d := range q.demand {
		if d > 0 {
			row[i] = uint16(len(t.demand))
			t.demand = append(t.demand, d)
			t.items = append(t.items, i)
		}
	}
	for _, p := range list {
		for _, pc := range p.Pieces {
			t.rows = append(t.rows, row[pc.Item])
			t.counts = append(t.counts, uint16(pc.Count))
		}
		t.start = append(t.start, int32(len(t.rows)))
		t.kinds = append(t.kinds, p.Kind)
	}
	t.pairs = make([]float64, len(t.demand)*len(t.demand))
	return t
}

// column is the rows and counts of a listed pattern.
func (t *partition) column(p int32) (rows, counts []uint16) {
	a, b := t.start[p], t.start[p+1]
	return t.rows[a:b], t.counts[a:b]
}

// solve searches the tree. It offers a plan when it finds one, and reports
// whether it has shown that there is none.
func (t *partition) solve() (none bool, err error) {
	err = t.branch(t.rootNode())
	if errors.Is(err, lp.ErrNumeric) || errors.Is(err, ErrNodes) {
		return false, nil
	}
	return err == nil, err
}

// rootNode starts without columns.
func (t *partition) rootNode() *partNode {
	rhs := make([]float64, len(t.demand))
	for r, d := range t.demand {
		rhs[r] = float64(d)
	}
	n := &partNode{t: t, lp: lp.New(make([]float64, len(rhs)), rhs, firstBig)}
	n.lp.Alive = t.s.Alive
	n.has = make([]bool, len(t.start)-1)
	for p := range n.has {
		n.active = append(n.active, int32(p))
	}
	return n
}
