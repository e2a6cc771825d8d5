package relax

import (
	"math"

	"resawd/calc/lp"
	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/knapsack"
)

// Generator solves the linear relaxation of one node by column generation: the
// demands still open and how many boards of each kind it may and must take.
type Generator struct {
	S         *State
	Demand    []int
	Low, High []int // boards of each kind; high may be Unlimited
	Lp        *lp.Program
	ItemRow   []int // row of an item, -1 without demand
	HighRow   []int // row of a kind's upper limit, -1 without
	LowRow    []int
	ids       []int32   // pool number of each column
	has       []bool    // pool numbers that are columns
	Centre    []float64 // prices of the best bound, to smooth with
	height    float64   // the bound they gave
	Proof     prices    // the same in whole numbers
	Most      []int64   // the worth of the best pattern of each kind at them
	Bound     int64     // certified for this node, in units of s.unit
}

// NewGenerator sets up the master problem of a node with all patterns of the
// pool as columns.
func (s *State) NewGenerator(demand, low, high []int) *Generator {
	g := &Generator{S: s, Demand: append([]int(nil), demand...),
		Low: append([]int(nil), low...), High: append([]int(nil), high...)}
	var sign, rhs []float64
	row := func(sg, b float64) int {
		sign, rhs = append(sign, sg), append(rhs, b)
		return len(sign) - 1
	}
	for _, d := range demand {
		if d > 0 {
			g.ItemRow = append(g.ItemRow, row(-1, float64(d)))
		} else {
			g.ItemRow = append(g.ItemRow, -1)
		}
	}
	for k := range s.Kinds {
		g.HighRow, g.LowRow = append(g.HighRow, -1), append(g.LowRow, -1)
		if high[k] != colgen.Unlimited {
			g.HighRow[k] = row(1, float64(high[k]))
		}
		if low[k] > 0 {
			g.LowRow[k] = row(-1, float64(low[k]))
		}
	}
	g.Lp = lp.New(sign, rhs, s.big)
	g.Lp.Alive = s.Alive
	for id := range s.Pool.Patterns {
		g.AddColumn(int32(id))
	}
	return g
}

// AddColumn makes a pattern of the pool a column, and reports whether it was
// none yet.
func (g *Generator) AddColumn(id int32) bool {
	for int(id) >= len(g.has) {
		g.has = append(g.has, false)
	}
	if g.has[id] {
		return false
	}
	g.has[id] = true
	t := g.S.Pool.Patterns[id]
	c := lp.Column{Cost: float64(g.S.Kinds[t.Kind].Cost) / g.S.Dearest}
	put := func(row int, v float64) {
		if row >= 0 {
			c.Rows, c.Vals = append(c.Rows, int32(row)), append(c.Vals, v)
		}
	}
	for _, pc := range t.Pieces {
		put(g.ItemRow[pc.Item], float64(pc.Count))
	}
	put(g.HighRow[t.Kind], 1)
	put(g.LowRow[t.Kind], 1)
	g.Lp.AddColumn(c)
	g.ids = append(g.ids, id)
	return true
}

// Clone copies the node; the pool stays shared.
func (g *Generator) Clone() *Generator {
	c := *g
	c.Demand = append([]int(nil), g.Demand...)
	c.High = append([]int(nil), g.High...)
	c.Low = append([]int(nil), g.Low...)
	c.ids = append([]int32(nil), g.ids...)
	c.has = append([]bool(nil), g.has...)
	c.Lp = g.Lp.Clone()
	c.Bound, c.Centre, c.height = 0, nil, 0
	return &c
}

// prices are whole dual prices: of items, and what a board of each kind must
// be worth to pay.
type prices struct {
	Value []int64
	floor []int64
	scale int64
}

// finite is prices with 0 for what is not a number or beyond all costs: the
// linear program may break down, the proof may not.
func finite(y []float64) []float64 {
	out := make([]float64, len(y))
	for r, v := range y {
		if math.Abs(v) < 1e15 {
			out[r] = v
		}
	}
	return out
}

// whole scales the dual prices y to whole numbers.
func (g *Generator) whole(y []float64) prices {
	s, y := g.S, finite(y)
	total := 1.0
	for i, d := range g.Demand {
		if r := g.ItemRow[i]; r >= 0 && y[r] > 0 {
			total += y[r] * s.Dearest * float64(d)
		}
	}
	p := prices{scale: max(int64((1<<48)/total), 1)}
	f := s.Dearest * float64(p.scale) * min(1, float64(colgen.MaxTotal)/total) // any prices make a bound
	for i := range g.Demand {
		v := int64(0)
		if r := g.ItemRow[i]; r >= 0 && g.Demand[i] > 0 && y[r] > 0 {
			v = int64(y[r] * f)
		}
		p.Value = append(p.Value, v)
	}
	for k, kind := range s.Kinds {
		floor := kind.Cost * p.scale
		if r := g.HighRow[k]; r >= 0 {
			floor -= int64(clampTo(y[r]*f, float64(colgen.MaxTotal)))
		}
		if r := g.LowRow[k]; r >= 0 {
			floor -= int64(clampTo(y[r]*f, float64(colgen.MaxTotal)))
		}
		floor = max(floor, 0)
		if g.High[k] == 0 {
			floor = knapsack.NotWanted
		}
		p.floor = append(p.floor, floor)
	}
	return p
}

// clampTo brings a number between the negative of a limit and the limit.
func clampTo(v, limit float64) float64 { return max(-limit, min(limit, v)) }

// smoothing is how near to the prices of the best bound a query's prices are.
const smoothing = 0.5

// Solve generates columns until the relaxation is solved, or its bound reaches
// the cutoff: then the node cannot hold a plan that is cheaper than it.
func (g *Generator) Solve(cutoff int64) (pruned bool, err error) {
	smooth := smoothing
	for round := 0; ; round++ {
		if err := g.Simplex(); err != nil {
			return false, err
		}
		added, err := g.round(smooth)
		if err != nil || g.Bound >= cutoff {
			return err == nil, err
		}
		switch {
		case added:
			smooth = smoothing
		case smooth > 0 && g.Centre != nil:
			smooth = 0 // the smoothed prices missed: price at the true ones
		case g.withdraw():
			smooth = smoothing
		default:
			return false, nil
		}
	}
}

// Simplex solves the linear program of the columns there are.
func (g *Generator) Simplex() error {
	return g.S.Metered(g.Lp, g.Lp.Primal)
}

// round prices once, smoothed or not, and adds what was found. It raises the
// bound.
func (g *Generator) round(smooth float64) (added bool, err error) {
	y := g.Lp.Y
	if smooth > 0 && g.Centre != nil {
		y = Mix(g.Centre, y, smooth)
	}
	return g.priceAt(y, smooth == 0 && !g.spent())
}

// spent reports whether the relaxation cannot raise the bound any more: then
// good patterns are enough. Several kinds go on, because the tree over their
// numbers wants true prices.
func (g *Generator) spent() bool {
	return g.S.OneKind() && g.Lp.Value()*g.S.Dearest < float64(g.S.Bound)+1e-6
}

// priceAt asks for patterns at prices y, adds them and certifies a bound.
// exact asks the pricer for its tightest bound.
func (g *Generator) priceAt(y []float64, exact bool) (added bool, err error) {
	p := g.whole(y)
	answers, err := g.S.price(knapsack.Query{Value: p.Value, Limit: g.Demand, Floor: p.floor, Many: g.S.Many, Exact: exact})
	if err != nil {
		return false, err
	}
	most := make([]int64, len(answers))
	for k, a := range answers {
		most[k] = a.Bound
		for _, t := range a.Patterns {
			added = g.AddColumn(g.S.Pool.Add(k, t)) || added
		}
	}
	b := g.certify(p.Value, p.scale, most)
	g.Bound = max(g.Bound, ceil(b))
	if f, _ := b.Float64(); g.Centre == nil || f > g.height-1e-7 {
		g.Centre, g.height = append([]float64(nil), y...), f
		g.Proof, g.Most = p, most
	}
	return added, nil
}

// Move changes the right-hand sides and restores the simplex method's point.
func (g *Generator) Move(rhs []float64) error {
	return g.S.Metered(g.Lp, func() error {
		g.Lp.SetRHS(rhs)
		return g.Lp.Dual()
	})
}

// Mix weighs two vectors.
func Mix(a, b []float64, weight float64) []float64 {
	out := make([]float64, len(a))
	for i := range out {
		out[i] = weight*a[i] + (1-weight)*b[i]
	}
	return out
}

// Fractional is a column of the point with its value.
type Fractional struct {
	ID    int32
	Value float64
}

// Point lists the patterns of the solution with a value above zero.
func (g *Generator) Point() []Fractional {
	var out []Fractional
	for r, c := range g.Lp.Basis {
		if c >= 0 && g.ids[c] != noPattern && g.Lp.X[r] > 1e-7 {
			out = append(out, Fractional{g.ids[c], g.Lp.X[r]})
		}
	}
	return out
}
