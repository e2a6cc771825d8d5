package colgen

import "errors"

// A partition asks whether one kind of board can cover the demands with
// exactly target boards. Such a plan cuts every item exactly as often as
// demanded, so each board wastes at most the difference of what the boards
// hold and what is demanded, and has a reduced cost of at most what the
// target exceeds the bound by. Where these two limits leave few enough
// patterns, all are listed, and the question is one of integer programming
// over known columns.
//
// Source: Baldacci, Christofides and Mingozzi, Mathematical Programming 115
// (2008) 351-385 (enumeration by reduced cost; from memory).
type partition struct {
	s      *search
	target int
	demand []int // of each row
	start  []int32
	rows   []uint16
	counts []uint16
	items  []int   // of each row
	worth  []int64 // scratch of one scan
	pairs  []float64
	nodes  int
}

// most patterns of a partition, and most steps to list them
const (
	mostListed = 150_000
	listSteps  = 100_000_000
)

// size of column p and its rows
func (t *partition) column(p int32) (rows, counts []uint16) {
	a, b := t.start[p], t.start[p+1]
	return t.rows[a:b], t.counts[a:b]
}

// newPartition lists the patterns, or returns nil when there are too many.
func (s *search) newPartition(n *Knapsack, target int) *partition {
	d := s.p.Demand
	waste := n.capacity[0] * int64(target)
	for i := range d {
		waste -= n.size[i] * int64(d[i])
	}
	pr, most := s.root.proof, s.root.most[0]
	room := int64(target) * pr.scale
	for i := range d {
		room -= pr.value[i] * int64(d[i])
	}
	// Every board is worth at most most; the others together may be
	// worth (target-1) times that, so one board must be worth the rest.
	over := max(most-pr.scale, 0) * int64(target-1)
	least := pr.scale - room - over
	list, work, ok := n.enumerate(0, pr.value, d, least, waste, mostListed, listSteps)
	s.spend(work)
	if !ok {
		return nil
	}
	return s.fillPartition(list, target)
}

func (s *search) fillPartition(list [][]Piece, target int) *partition {
	t := &partition{s: s, target: target, start: []int32{0}}
	row := make([]uint16, len(s.p.Demand))
	for i, d := range s.p.Demand {
		if d > 0 {
			row[i] = uint16(len(t.demand))
			t.demand = append(t.demand, d)
			t.items = append(t.items, i)
		}
	}
	for _, p := range list {
		for _, pc := range p {
			t.rows = append(t.rows, row[pc.Item])
			t.counts = append(t.counts, uint16(pc.Count))
		}
		t.start = append(t.start, int32(len(t.rows)))
	}
	t.pairs = make([]float64, len(t.demand)*len(t.demand))
	return t
}

// solve searches the tree. It offers a plan when it finds one, and reports
// whether it has shown that there is none.
func (t *partition) solve() (none bool, err error) {
	err = t.branch(t.rootNode())
	if errors.Is(err, errNumeric) {
		return false, nil
	}
	return err == nil, err
}

// rootNode starts from the columns of the best-known point.
func (t *partition) rootNode() *partNode {
	m := len(t.demand)
	sign, rhs := make([]float64, m), make([]float64, m)
	for r, d := range t.demand {
		sign[r], rhs[r] = -1, float64(d)
	}
	n := &partNode{t: t, lp: newMaster(sign, rhs, 3)}
	n.has = make([]bool, len(t.start)-1)
	for p := range n.has {
		n.active = append(n.active, int32(p))
	}
	return n
}

// partitions closes the gap from below: as long as the bound is below the best
// plan, it looks for a plan of as many boards as the bound says, or shows that
// there is none.
func (s *search) partitions() error {
	n, ok := s.p.Pricer.(*Knapsack)
	if !ok || len(s.kinds) != 1 || s.kinds[0].Quantity != Unlimited || s.kinds[0].Cost == 0 {
		return nil
	}
	for s.bound < s.cutoff() {
		t := s.newPartition(n, int(s.bound))
		if t == nil {
			return nil
		}
		none, err := t.solve()
		if err != nil || !none {
			return err
		}
		if err := s.raise(s.bound + 1); err != nil {
			return err
		}
	}
	return nil
}
