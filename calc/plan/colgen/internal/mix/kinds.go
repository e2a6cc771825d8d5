package mix

import (
	"math"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/exactly"
	"resawd/calc/plan/colgen/internal/relax"
)

// kindNodes is the most nodes of a tree over the numbers of boards for one target.
const kindNodes = 60

// kindTree asks whether there is a plan of at most the target cost, by fixing
// how many boards of each kind are used. Where the relaxation of a node costs
// more than the target the node is closed; where the numbers are whole, dives
// look for the plan.
//
// Source: branching on the use of stock as in Belov and Scheithauer, INFORMS
// Journal on Computing 14 (2002) 274-294 (from memory).
type kindTree struct {
	s      *relax.State
	target int64
	nodes  int
	open   bool // some node was left undecided
}

// ByKinds raises the bound as long as trees close, and finds plans in them.
func ByKinds(s *relax.State) error {
	for len(s.Kinds) > 1 {
		t := &kindTree{s: s, target: s.Bound}
		if err := t.search(s.Root.Low, s.Root.High); err != nil {
			return err
		}
		if t.open {
			return nil
		}
		if s.Best == nil && t.target >= s.Ceiling() {
			s.None = true
			return relax.ErrEnd
		}
		if err := s.Raise(t.target + 1); err != nil {
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
	g := t.s.NewGenerator(t.s.P.Demand, low, high)
	if pruned, err := g.Solve(t.target + 1); pruned || err != nil {
		return t.giveUp(err)
	}
	if k, n, ok := brokenKind(g); ok {
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
func (t *kindTree) counted(g *relax.Generator) (none bool, err error) {
	for try := range 2 {
		d := &dive{g: g.Clone(), noise: 0.2 * float64(try), rng: t.s.Rng, aim: t.target + 1}
		if err := d.run(); err != nil {
			return false, err
		}
		t.s.Stats.Dives++
	}
	if relax.Total(t.s.P.Demand) > relax.ManyItems {
		return false, nil
	}
	return exactly.Decide(t.s, boards(g), countRounds, countNodes)
}

// Rounds of dives and nodes of the tree for one choice of numbers of boards.
const (
	countRounds = 3
	countNodes  = 100
)

// around searches what is left of a node when the numbers of the relaxation
// are ruled out: it splits off the first kind whose number is not fixed.
func (t *kindTree) around(g *relax.Generator) error {
	for k, n := range boards(g) {
		high := g.High[k]
		if g.Low[k] == high {
			continue
		}
		if n > g.Low[k] {
			h := append([]int(nil), g.High...)
			h[k] = n - 1
			if err := t.search(g.Low, h); err != nil {
				return err
			}
		}
		if high == colgen.Unlimited || n < high {
			l := append([]int(nil), g.Low...)
			l[k] = n + 1
			if err := t.search(l, g.High); err != nil {
				return err
			}
		}
		l, h := append([]int(nil), g.Low...), append([]int(nil), g.High...)
		l[k], h[k] = n, n
		return t.search(l, h)
	}
	return nil // all are fixed, and that was ruled out
}

// used is how many boards of each kind the relaxation uses.
func used(g *relax.Generator) []float64 {
	sum := make([]float64, len(g.S.Kinds))
	for _, f := range g.Point() {
		sum[g.S.Pool.Patterns[f.ID].Kind] += f.Value
	}
	return sum
}

// boards is used, rounded.
func boards(g *relax.Generator) []int {
	sum := used(g)
	out := make([]int, len(sum))
	for k, v := range sum {
		out[k] = int(math.Round(v))
	}
	return out
}

// giveUp leaves a node open when its linear program did not settle.
func (t *kindTree) giveUp(err error) error {
	if err != nil && relax.IgnoreNumeric(err) == nil {
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
func brokenKind(g *relax.Generator) (kind int, n float64, ok bool) {
	far := 1e-5
	for k, v := range used(g) {
		if f := exactly.Fraction(v); f > far {
			far, kind, n, ok = f, k, v, true
		}
	}
	return kind, n, ok
}
