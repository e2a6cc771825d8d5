package colgen

import "math"

// generator solves the linear relaxation of one node by column generation: the
// demands still open and how many boards of each kind it may and must take.
type generator struct {
	s         *search
	demand    []int
	low, high []int // boards of each kind; high may be Unlimited
	lp        *master
	itemRow   []int // row of an item, -1 without demand
	highRow   []int // row of a kind's upper limit, -1 without
	lowRow    []int
	ids       []int32   // pool number of each column
	has       []bool    // pool numbers that are columns
	centre    []float64 // prices of the best bound, to smooth with
	height    float64   // the bound they gave
	proof     prices    // the same in whole numbers
	most      []int64   // the worth of the best pattern of each kind at them
	bound     int64     // certified for this node, in units of s.unit
}

// newGenerator sets up the master problem of a node with all patterns of the
// pool as columns.
func (s *search) newGenerator(demand, low, high []int) *generator {
	g := &generator{s: s, demand: append([]int(nil), demand...),
		low: append([]int(nil), low...), high: append([]int(nil), high...)}
	var sign, rhs []float64
	row := func(sg, b float64) int {
		sign, rhs = append(sign, sg), append(rhs, b)
		return len(sign) - 1
	}
	for _, d := range demand {
		if d > 0 {
			g.itemRow = append(g.itemRow, row(-1, float64(d)))
		} else {
			g.itemRow = append(g.itemRow, -1)
		}
	}
	for k := range s.kinds {
		g.highRow, g.lowRow = append(g.highRow, -1), append(g.lowRow, -1)
		if high[k] != Unlimited {
			g.highRow[k] = row(1, float64(high[k]))
		}
		if low[k] > 0 {
			g.lowRow[k] = row(-1, float64(low[k]))
		}
	}
	g.lp = newMaster(sign, rhs, s.big)
	g.lp.alive = s.alive
	for id := range s.pool.patterns {
		g.addColumn(int32(id))
	}
	return g
}

// addColumn makes a pattern of the pool a column, and reports whether it was
// none yet.
func (g *generator) addColumn(id int32) bool {
	for int(id) >= len(g.has) {
		g.has = append(g.has, false)
	}
	if g.has[id] {
		return false
	}
	g.has[id] = true
	t := g.s.pool.patterns[id]
	c := column{cost: float64(g.s.kinds[t.Kind].Cost) / g.s.dearest}
	put := func(row int, v float64) {
		if row >= 0 {
			c.rows, c.vals = append(c.rows, int32(row)), append(c.vals, v)
		}
	}
	for _, pc := range t.Pieces {
		put(g.itemRow[pc.Item], float64(pc.Count))
	}
	put(g.highRow[t.Kind], 1)
	put(g.lowRow[t.Kind], 1)
	g.lp.addColumn(c)
	g.ids = append(g.ids, id)
	return true
}

// clone copies the node; the pool stays shared.
func (g *generator) clone() *generator {
	c := *g
	c.demand = append([]int(nil), g.demand...)
	c.high = append([]int(nil), g.high...)
	c.low = append([]int(nil), g.low...)
	c.ids = append([]int32(nil), g.ids...)
	c.has = append([]bool(nil), g.has...)
	c.lp = g.lp.clone()
	c.bound, c.centre, c.height = 0, nil, 0
	return &c
}

// prices are whole dual prices: of items, and what a board of each kind must
// be worth to pay.
type prices struct {
	value []int64
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
func (g *generator) whole(y []float64) prices {
	s, y := g.s, finite(y)
	total := 1.0
	for i, d := range g.demand {
		if r := g.itemRow[i]; r >= 0 && y[r] > 0 {
			total += y[r] * s.dearest * float64(d)
		}
	}
	p := prices{scale: max(int64((1<<48)/total), 1)}
	f := s.dearest * float64(p.scale) * min(1, float64(MaxTotal)/total) // any prices make a bound
	for i := range g.demand {
		v := int64(0)
		if r := g.itemRow[i]; r >= 0 && g.demand[i] > 0 && y[r] > 0 {
			v = int64(y[r] * f)
		}
		p.value = append(p.value, v)
	}
	for k, kind := range s.kinds {
		floor := kind.Cost * p.scale
		if r := g.highRow[k]; r >= 0 {
			floor -= int64(clampTo(y[r]*f, float64(MaxTotal)))
		}
		if r := g.lowRow[k]; r >= 0 {
			floor -= int64(clampTo(y[r]*f, float64(MaxTotal)))
		}
		floor = max(floor, 0)
		if g.high[k] == 0 {
			floor = NotWanted
		}
		p.floor = append(p.floor, floor)
	}
	return p
}

// clampTo brings a number between the negative of a limit and the limit.
func clampTo(v, limit float64) float64 { return max(-limit, min(limit, v)) }

// solve generates columns until the relaxation is solved, or its bound reaches
// the cutoff: then the node cannot hold a plan that is cheaper than it.
func (g *generator) solve(cutoff int64) (pruned bool, err error) {
	smooth := g.s.smoothing
	for round := 0; ; round++ {
		if err := g.simplex(); err != nil {
			return false, err
		}
		added, err := g.round(smooth)
		if err != nil || g.bound >= cutoff {
			return err == nil, err
		}
		switch {
		case added:
			smooth = g.s.smoothing
		case smooth > 0 && g.centre != nil:
			smooth = 0 // the smoothed prices missed: price at the true ones
		case g.withdraw():
			smooth = g.s.smoothing
		default:
			return false, nil
		}
	}
}

func (g *generator) simplex() error {
	return g.s.metered(g.lp, g.lp.primal)
}

// round prices once, smoothed or not, and adds what was found. It raises the
// bound.
func (g *generator) round(smooth float64) (added bool, err error) {
	y := g.lp.y
	if smooth > 0 && g.centre != nil {
		y = mix(g.centre, y, smooth)
	}
	return g.priceAt(y, smooth == 0 && !g.spent())
}

// spent reports whether the relaxation cannot raise the bound any more: then
// good patterns are enough. Several kinds go on, because the tree over their
// numbers wants true prices.
func (g *generator) spent() bool {
	return g.s.oneKind() && g.lp.value()*g.s.dearest < float64(g.s.bound)+1e-6
}

// priceAt asks for patterns at prices y, adds them and certifies a bound.
// exact asks the pricer for its tightest bound.
func (g *generator) priceAt(y []float64, exact bool) (added bool, err error) {
	p := g.whole(y)
	answers, err := g.s.price(Query{Value: p.value, Limit: g.demand, Floor: p.floor, Many: g.s.many, Exact: exact})
	if err != nil {
		return false, err
	}
	most := make([]int64, len(answers))
	for k, a := range answers {
		most[k] = a.Bound
		for _, t := range a.Patterns {
			added = g.addColumn(g.s.pool.add(k, t)) || added
		}
	}
	b := g.certify(p.value, p.scale, most)
	g.bound = max(g.bound, ceil(b))
	if f, _ := b.Float64(); g.centre == nil || f > g.height-1e-7 {
		g.centre, g.height = append([]float64(nil), y...), f
		g.proof, g.most = p, most
	}
	return added, nil
}

// move changes the right-hand sides and restores the simplex method's point.
func (g *generator) move(rhs []float64) error {
	return g.s.metered(g.lp, func() error {
		g.lp.setRHS(rhs)
		return g.lp.dual()
	})
}

// mix weighs two vectors.
func mix(a, b []float64, weight float64) []float64 {
	out := make([]float64, len(a))
	for i := range out {
		out[i] = weight*a[i] + (1-weight)*b[i]
	}
	return out
}

// fractional is a column of the point with its value.
type fractional struct {
	id    int32
	value float64
}

// point lists the patterns of the solution with a value above zero.
func (g *generator) point() []fractional {
	var out []fractional
	for r, c := range g.lp.basis {
		if c >= 0 && g.ids[c] != noPattern && g.lp.x[r] > 1e-7 {
			out = append(out, fractional{g.ids[c], g.lp.x[r]})
		}
	}
	return out
}
