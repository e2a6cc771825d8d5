package colgen

import "math"

// most nodes of a tree over the numbers of boards for one target
const kindNodes = 60

// kindTree asks whether there is a plan of at most the target cost, by fixing
// how many boards of each kind are used. Where the relaxation of a node costs
// more than the target the node is closed; where the numbers are whole, dives
// look for the plan.
//
// Source: branching on the use of stock as in Belov and Scheithauer, INFORMS
// Journal on Computing 14 (2002) 274-294 (from memory).
type kindTree struct {
	s      *search
	target int64
	nodes  int
	open   bool // some node was left undecided
}

// byKinds raises the bound as long as trees close, and finds plans in them.
func (s *search) byKinds() error {
	for len(s.kinds) > 1 {
		t := &kindTree{s: s, target: s.bound}
		if err := t.search(s.root.low, s.root.high); err != nil {
			return err
		}
		if t.open {
			return nil
		}
		if s.best == nil && t.target >= s.ceiling() {
			s.none = true
			return errEnd
		}
		if err := s.raise(t.target + 1); err != nil {
			return err
		}
	}
	return nil
}

// search decides a node, given how many boards of each kind it must and may use.
func (t *kindTree) search(low, high []int) error {
	if t.nodes++; t.nodes > kindNodes {
		t.open = true
		return nil
	}
	t.s.stats.Nodes++
	g := t.s.newGenerator(t.s.p.Demand, low, high)
	if pruned, err := g.solve(t.target + 1); pruned || err != nil {
		return t.giveUp(err)
	}
	if k, n, ok := g.brokenKind(); ok {
		return t.split(low, high, k, n)
	}
	if none, err := t.counted(g); err != nil {
		return t.giveUp(err)
	} else if !none {
		t.open = true
		return nil
	}
	return t.around(g)
}

// counted looks for a plan with the numbers of boards of the relaxation, which
// are whole. It reports whether it has shown that there is none.
func (t *kindTree) counted(g *generator) (none bool, err error) {
	for try := range 2 {
		d := &dive{g: g.clone(), noise: 0.2 * float64(try), rng: t.s.rng, aim: t.target + 1}
		if err := d.run(); err != nil {
			return false, err
		}
		t.s.stats.Dives++
	}
	if total(t.s.p.Demand) > manyItems {
		return false, nil
	}
	return t.s.decide(g.boards(), countRounds, countNodes)
}

// rounds of dives and nodes of the tree for one choice of numbers of boards
const (
	countRounds = 3
	countNodes  = 100
)

// around searches what is left of a node when the numbers of the relaxation
// are ruled out: it splits off the first kind whose number is not fixed.
func (t *kindTree) around(g *generator) error {
	for k, n := range g.boards() {
		high := g.high[k]
		if g.low[k] == high {
			continue
		}
		if n > g.low[k] {
			h := append([]int(nil), g.high...)
			h[k] = n - 1
			if err := t.search(g.low, h); err != nil {
				return err
			}
		}
		if high == Unlimited || n < high {
			l := append([]int(nil), g.low...)
			l[k] = n + 1
			if err := t.search(l, g.high); err != nil {
				return err
			}
		}
		l, h := append([]int(nil), g.low...), append([]int(nil), g.high...)
		l[k], h[k] = n, n
		return t.search(l, h)
	}
	return nil // all are fixed, and that was ruled out
}

// boards is how many boards of each kind the relaxation uses, rounded.
func (g *generator) boards() []int {
	sum := make([]float64, len(g.s.kinds))
	for _, f := range g.point() {
		sum[g.s.pool.patterns[f.id].Kind] += f.value
	}
	out := make([]int, len(sum))
	for k, v := range sum {
		out[k] = int(math.Round(v))
	}
	return out
}

// giveUp leaves a node open when its linear program did not settle.
func (t *kindTree) giveUp(err error) error {
	if err != nil && ignoreNumeric(err) == nil {
		t.open = true
		return nil
	}
	return err
}

// split searches both sides of a fractional number n of boards of kind k, the
// nearer first.
func (t *kindTree) split(low, high []int, k int, n float64) error {
	down := append([]int(nil), high...)
	down[k] = int(math.Floor(n))
	up := append([]int(nil), low...)
	up[k] = down[k] + 1
	if n-math.Floor(n) > 0.5 {
		if err := t.search(up, high); err != nil {
			return err
		}
		return t.search(low, down)
	}
	if err := t.search(low, down); err != nil {
		return err
	}
	return t.search(up, high)
}

// brokenKind is the kind whose number of boards is farthest from whole.
func (g *generator) brokenKind() (kind int, n float64, ok bool) {
	sum := make([]float64, len(g.s.kinds))
	for _, f := range g.point() {
		sum[g.s.pool.patterns[f.id].Kind] += f.value
	}
	far := 1e-5
	for k, v := range sum {
		if f := fraction(v); f > far {
			far, kind, n, ok = f, k, v, true
		}
	}
	return kind, n, ok
}
