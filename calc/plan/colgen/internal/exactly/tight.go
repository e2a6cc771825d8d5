package exactly

import (
	"math"
	"math/rand/v2"

	"resawd/calc/lp"
	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/knapsack"
	"resawd/calc/plan/colgen/internal/relax"
)

// A tight problem asks whether the demands can be covered with exactly as many
// boards of each kind. Such a plan cuts every item exactly as often as
// demanded, so no board wastes more than all boards together may: what they
// hold less what is demanded. Only patterns within that waste are priced, and
// the rows are equations. This relaxation is stronger than the covering one,
// and its dives waste nothing.
//
// Source: Gilmore and Gomory 1961 for the relaxation; the limit on the waste as
// in Vance, Barnhart, Johnson and Nemhauser, Computational Optimization and
// Applications 3 (1994) 111-130 (from memory).
type tight struct {
	knapsack.Rules
	s      *relax.State
	n      *knapsack.Knapsack // of its own: items stuck together are added to it
	pool   *relax.Pool        // patterns of items and of items stuck together
	glue   *glue
	target int   // boards in all
	demand []int // of each item; with several kinds of each kind, too: a board is cut once
	nodes  int   // of the tree
	limit  int   // of them
	fixed  []colgen.Use
	row    []int // of an item, -1 without demand
	lp     *lp.Program
	ids    []int32 // pool number of each column
	has    []bool
	value  []int64 // the last prices, in whole numbers
	most   []int64 // no pattern of each kind is worth more at them
	rough  bool    // good prices will do: nothing is to be proved
	short  int64   // what the boards are worth at most, less what the demands are worth
}

const (
	tightScale = 1 << 32
	firstBig   = 3.0 // cost of an unmet demand, to begin with
	mostRaises = 6   // of it, each by 4
)

// newTight sets up the question for numbers of boards of each kind. With
// several kinds a pattern also holds one copy of an item that stands for its
// kind, so that the numbers are demands like others.
func newTight(s *relax.State, boards []int) *tight {
	n := s.Sack
	t := &tight{s: s, n: n.Clone(), pool: &relax.Pool{}, demand: append([]int(nil), s.P.Demand...)}
	for k, b := range boards {
		t.target += b
		t.Waste += n.Capacity[k] * int64(b)
		if len(boards) > 1 {
			t.demand = append(t.demand, b)
			t.n.Add(neverFits)
		}
	}
	for i, d := range s.P.Demand {
		t.Waste -= n.Size[i] * int64(d)
	}
	t.glue = newGlue(len(t.demand))
	for _, p := range s.Pool.Patterns {
		t.pool.Add(p.Kind, t.marked(p.Kind, p.Pieces))
	}
	t.open(nil)
	return t
}

// open sets up the linear program of the demands that are left. Its basis is
// made of the likely patterns, as far as they go: those of the program before.
func (t *tight) open(likely []int32) {
	var rhs []float64
	t.row, t.ids, t.has = nil, nil, nil
	for _, d := range t.demand {
		t.row = append(t.row, -1)
		if d > 0 {
			t.row[len(t.row)-1] = len(rhs)
			rhs = append(rhs, float64(d))
		}
	}
	t.lp = lp.New(make([]float64, len(rhs)), rhs, firstBig)
	t.lp.Alive = t.s.Alive
	for _, id := range likely {
		t.addColumn(id)
	}
	t.lp.Crash()
	t.sync()
}

// sync makes all patterns of the pool that can be used columns.
func (t *tight) sync() {
	for id := range t.pool.Patterns {
		t.addColumn(int32(id))
	}
}

// usable reports whether a plan of the target can hold a pattern.
func (t *tight) usable(p colgen.Pattern) bool {
	for _, pc := range p.Pieces {
		if pc.Item >= len(t.demand) || pc.Count > t.demand[pc.Item] {
			return false
		}
	}
	return t.wasted(p) <= t.Waste && !t.clash(p.Pieces)
}

// wasted is what a pattern leaves of its board.
func (t *tight) wasted(p colgen.Pattern) int64 {
	left := t.n.Capacity[p.Kind]
	for _, pc := range p.Pieces {
		if !t.isKind(pc.Item) {
			left -= int64(pc.Count) * t.n.Size[pc.Item]
		}
	}
	return left
}

// clash reports whether pieces hold both of a pair that is kept apart.
func (t *tight) clash(pieces []colgen.Piece) bool {
	for _, pair := range t.Apart {
		if holdsBoth(pieces, pair[0], pair[1]) {
			return true
		}
	}
	return false
}

// countOf is how many copies of an item there are.
func countOf(pieces []colgen.Piece, item int) int {
	for _, pc := range pieces {
		if pc.Item == item {
			return pc.Count
		}
	}
	return 0
}

// addColumn makes a pattern of the pool a column when it is none yet.
func (t *tight) addColumn(id int32) bool {
	for int(id) >= len(t.has) {
		t.has = append(t.has, false)
	}
	p := t.pool.Patterns[id]
	if t.has[id] || !t.usable(p) {
		return false
	}
	t.has[id] = true
	c := lp.Column{Cost: 1}
	for _, pc := range p.Pieces {
		c.Rows, c.Vals = append(c.Rows, int32(t.row[pc.Item])), append(c.Vals, float64(pc.Count))
	}
	t.ids = append(t.ids, id)
	t.lp.AddColumn(c)
	return true
}

// solve generates columns. It reports true when whole-number prices show that
// there is no plan of the target.
func (t *tight) solve() (none bool, err error) {
	if t.Waste < 0 {
		return true, nil
	}
	var centre []float64
	t.short = 0 // what other nodes proved says nothing of this one
	for raises := 0; ; {
		if err := t.simplex(); err != nil {
			return false, err
		}
		added, err := false, error(nil)
		if centre != nil {
			centre = relax.Mix(centre, t.lp.Y, 0.5)
			added, err = t.price(centre, false)
		}
		if err == nil && !added && t.short >= 0 {
			added, err = t.price(t.lp.Y, !t.rough && t.lp.Value() > float64(t.target)-1e-6)
		}
		if err != nil || t.short < 0 {
			return err == nil, err
		}
		switch {
		case added:
			if centre == nil {
				centre = append([]float64(nil), t.lp.Y...)
			}
		case t.lp.Unmet() < 1e-7:
			return false, nil
		case raises == mostRaises:
			return false, lp.ErrNumeric
		default:
			raises++
			t.dearer()
			centre = nil
		}
	}
}

func (t *tight) simplex() error {
	return t.s.Metered(t.lp, t.lp.Primal)
}

// price adds the patterns worth more than they cost at prices y, and computes
// the certificate: when short is negative, the boards cannot be worth what the
// demands are.
func (t *tight) price(y []float64, exact bool) (added bool, err error) {
	if err := t.s.Alive(); err != nil {
		return false, err
	}
	t.value = make([]int64, len(t.demand))
	for i, r := range t.row {
		if r >= 0 {
			t.value[i] = int64(clamp(y[r]) * tightScale)
		}
	}
	floor := make([]int64, len(t.s.Kinds))
	for k := range floor {
		n, worth := t.boards(k)
		if floor[k] = tightScale + 4 - worth; n == 0 {
			floor[k] = knapsack.NotWanted
		}
	}
	answers, work, err := t.n.Tight(t.s.Ctx, knapsack.Query{Value: t.value, Limit: t.demand, Floor: floor, Many: 2 * t.s.Many, Exact: exact}, t.Rules)
	t.s.Spend(work)
	if err != nil {
		return false, relax.ErrEnd
	}
	t.most, t.short = make([]int64, len(answers)), 0
	for k, a := range answers {
		n, _ := t.boards(k)
		t.most[k] = a.Bound
		t.short += int64(n) * a.Bound
		for _, p := range a.Patterns {
			added = t.addColumn(t.pool.Add(k, t.marked(k, p))) || added
		}
	}
	for i, d := range t.demand {
		if !t.isKind(i) {
			t.short -= t.value[i] * int64(d)
		}
	}
	return added, nil
}

// clamp keeps a dual price so small that sums of whole prices stay within 64
// bits. Any prices prove what they prove.
func clamp(y float64) float64 {
	if y != y { // not a number: the linear program broke down
		return 0
	}
	return max(-mostPrice, min(y, mostPrice))
}

const mostPrice = 1 << 13

// dearer raises the cost of an unmet demand.
func (t *tight) dearer() {
	t.lp.Big *= 4
	t.lp.SolvePrices()
}

// list turns the question into a partition, when its patterns are at most
// that many by the prices y. It is full when they are more, nil then and when they take
// more steps.
func (t *tight) list(y []float64, most int, steps int64) (part *partition, full bool) {
	if _, err := t.price(y, true); err != nil {
		return nil, false
	}
	// No board is worth more than most of its kind, so none may fall short of
	// it by more than all of them together do.
	var all []colgen.Pattern
	for k := range t.s.Kinds {
		if n, _ := t.boards(k); n == 0 {
			continue
		}
		list, work, ok := t.n.Enumerate(knapsack.Listing{Capacity: t.n.Capacity[k], Value: t.value, Limit: t.demand, Rules: t.Rules, Least: t.most[k] - t.short, Most: most - len(all), Steps: steps})
		t.s.Spend(work)
		if !ok {
			return nil, len(list) > most-len(all)
		}
		for _, p := range list {
			all = append(all, colgen.Pattern{Kind: k, Pieces: t.marked(k, p)})
		}
	}
	return newPartition(t, all), false
}

// settle moves to what is left after a pattern was fixed or a pair kept apart.
func (t *tight) settle() { t.open(t.basic()) }

// move changes the right-hand sides and restores the simplex method's point.
func (t *tight) move(rhs []float64) error {
	return t.s.Metered(t.lp, func() error {
		t.lp.SetRHS(rhs)
		return t.lp.Dual()
	})
}

// fix cuts n boards to a pattern.
func (t *tight) fix(id int32, n int) {
	p := t.pool.Patterns[id]
	for _, pc := range p.Pieces {
		t.demand[pc.Item] -= pc.Count * n
	}
	t.Waste -= t.wasted(p) * int64(n)
	t.target -= n
	t.fixed = append(t.fixed, colgen.Use{Pattern: p, Copies: n})
}

// choices lists the patterns of the point, the largest first, and what to fix
// at once: those of a whole part of one or more.
func (t *tight) choices(noise float64, rng *rand.Rand) (whole, parts []relax.Fractional) {
	for r, c := range t.lp.Basis {
		if c < 0 || t.lp.X[r] < 1e-6 {
			continue
		}
		v := t.lp.X[r]
		if f := math.Floor(v + 1e-6); f >= 1 {
			whole = append(whole, relax.Fractional{ID: t.ids[c], Value: f})
			continue
		}
		parts = append(parts, relax.Fractional{ID: t.ids[c], Value: v + noise*rng.Float64()})
	}
	return whole, parts
}
