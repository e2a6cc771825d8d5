package search

import (
	"math"
	"slices"

	"resawd/calc/lp"
	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
)

// columns finds plans of many boards of few items: the linear relaxation over
// whole layouts by column generation, its point rounded down, and what is left of
// the need searched on its own. Then boards of the plan are taken back by chance
// and searched again together with that.
//
// Source: Gilmore and Gomory, Operations Research 9 (1961) 849-859; residual
// problems as in Belov and Scheithauer, European Journal of Operational Research
// 171 (2006) 85-106.
type columns struct {
	*toolbox
	best    *Incumbent
	program *lp.Program
	row     []int          // of an item, -1 without need
	limit   []int          // row of a kind of which there are some numbers, -1 of others
	lays    []board.Layout // of the columns
	dearest float64        // price: the program counts in it
	rounds  int
	state   columnState
	rest    *Search        // what is left of the need
	fixed   []board.Layout // what is not
	tried   int            // rests
	work    int64
}

// columnState says what is to be done next.
type columnState int

// The states.
const (
	relaxing columnState = iota
	resting
	finished
)

// How columns are generated, and what is left is searched.
const (
	manyBoards   = 2 // times the items, and leastBoards: a plan with as many boards is begun with columns
	leastBoards  = 20
	columnChunk  = 5          // rounds between looks at the clock
	mostColumns  = 60         // rounds
	columnClimbs = 2          // rounds of ascent for a layout
	unmetCost    = 10         // of a set, in the dearest board
	leastGain    = 1e-7       // of a layout, as a part of its price
	restWork     = 60_000_000 // on a rest
	mostRests    = 40
	restBoards   = 2 // that are taken back for each rest before
)

// newColumns returns columns that begin with the best plan, nil where the plan has
// few boards, or kits.
func newColumns(x *toolbox, best *Incumbent) *columns {
	items := 0
	for _, n := range x.need {
		if n > 0 {
			items++
		}
	}
	if x.kits != nil || len(best.Plan) < max(leastBoards, manyBoards*items) {
		return nil
	}
	c := &columns{toolbox: x, best: best, dearest: 1}
	var sign, rhs []float64
	for _, n := range x.need {
		c.row = append(c.row, -1)
		if n > 0 {
			c.row[len(c.row)-1] = len(sign)
			sign, rhs = append(sign, -1), append(rhs, float64(n))
		}
	}
	for k, b := range x.p.Order.Boards {
		c.dearest = max(c.dearest, float64(x.p.Price(k)+x.p.LeastMount(k)))
		c.limit = append(c.limit, -1)
		if b.Quantity != plan.Unlimited {
			c.limit[k] = len(sign)
			sign, rhs = append(sign, 1), append(rhs, float64(b.Quantity))
		}
	}
	c.program = lp.New(sign, rhs, unmetCost)
	c.program.Alive = x.ctx.Err
	for _, lay := range best.Plan {
		c.add(lay)
	}
	return c
}

// due tells whether it is the turn of columns: until the first point is rounded,
// and then for three quarters of the work on plans.
func (c *columns) due(work int64) bool {
	return c != nil && c.state != finished && (c.state == relaxing || 4*c.work < 3*work)
}

// add adds a layout as a column.
func (c *columns) add(lay board.Layout) {
	col := lp.Column{Cost: float64(c.p.LayoutCost(lay)) / c.dearest}
	for _, s := range lay.Pieces() {
		if r := c.row[s.Item]; r >= 0 {
			col.Rows, col.Vals = append(col.Rows, int32(r)), append(col.Vals, float64(min(s.Count, c.need[s.Item])))
		}
	}
	if r := c.limit[lay.Kind]; r >= 0 {
		col.Rows, col.Vals = append(col.Rows, int32(r)), append(col.Vals, 1)
	}
	c.program.AddColumn(col)
	c.lays = append(c.lays, lay)
}

// step works for a while.
func (c *columns) step() {
	before := c.Work()
	defer func() { c.work += c.Work() - before }()
	switch c.state {
	case relaxing:
		c.relax()
	case resting:
		c.search()
	case finished:
	}
}

// relax generates columns. When no more are found the dual has the prices, and the
// point is rounded.
func (c *columns) relax() {
	for range columnChunk {
		before := c.program.Work
		err := c.program.Primal()
		c.steps += c.program.Work - before
		if err != nil {
			c.state = finished
			return
		}
		if c.rounds++; !c.price() || c.rounds > mostColumns {
			c.round()
			return
		}
	}
}

// price adds the layouts that are worth more than their price at the prices of the
// program, and tells whether there are any. The bound of the prices counts.
func (c *columns) price() bool {
	price := make([]float64, len(c.need))
	for i, r := range c.row {
		if r >= 0 {
			price[i] = max(0, c.program.Y[r]) * c.dearest
		}
	}
	c.Dual.Try(c.ctx, price, c.best.Cost)
	v, some := c.p.Values(price), false
	for k := range c.p.Kinds {
		if c.p.Order.Boards[k].Quantity == 0 || c.ctx.Err() != nil {
			continue
		}
		floor := float64(c.p.Price(k))
		if r := c.limit[k]; r >= 0 {
			floor -= c.program.Y[r] * c.dearest
		}
		least := int64(floor * c.p.Grain * (1 + leastGain))
		if f := c.ascent.Board(k, v, c.need, columnClimbs, least); f.Worth > least {
			c.add(f.Lay)
			c.best.Pool.Add(f.Lay)
			some = true
		}
	}
	return some
}

// round fixes the whole part of the point, and leaves the rest to a search.
func (c *columns) round() {
	c.fixed = nil
	left := slices.Clone(c.need)
	for q, col := range c.program.Basis {
		if col < 0 {
			continue
		}
		for range int(c.program.X[q] + 1e-6) {
			c.fixed = append(c.fixed, c.lays[col])
			board.Take(left, c.lays[col].Pieces())
		}
	}
	c.begin(left)
}

// begin begins to search what boards that are fixed leave of the need.
func (c *columns) begin(left []int) {
	c.state = resting
	for i, n := range left {
		left[i] = max(0, n)
	}
	if board.None(left) {
		c.best.see(c.fixed)
		c.again()
		return
	}
	g := c.Greed(c.fixed, slices.Clone(left), c.p.Worthy(c.p.Volumes(left)))
	var cuts []board.Use
	for !board.None(g.left) && c.ctx.Err() == nil {
		use, ok := g.next()
		if !ok {
			c.state = finished
			return
		}
		cuts = append(cuts, use)
	}
	if c.ctx.Err() != nil {
		return
	}
	c.rest = NewSearch(c.ctx, c.p.Without(c.fixed), left, cuts)
	c.offer()
}

// search goes on with what is left, and tries the next rest after a while.
func (c *columns) search() {
	before := c.rest.Work()
	more := c.rest.Slice()
	c.steps += c.rest.Work() - before
	c.offer()
	if !more || c.rest.Work() > restWork {
		c.again()
	}
}

// offer offers what is fixed and the best plan for the rest.
func (c *columns) offer() {
	c.best.Offer(slices.Concat(c.fixed, c.rest.Best.Plan))
}

// again takes some boards of the best plan back, more each time, and begins to
// search them again.
func (c *columns) again() {
	if c.tried++; c.tried > mostRests || c.best.Cost <= c.Dual.Bound {
		c.state = finished
		return
	}
	whole := slices.Clone(c.best.Plan)
	c.rng.Shuffle(len(whole), func(i, j int) { whole[i], whole[j] = whole[j], whole[i] })
	slices.SortStableFunc(whole, func(x, y board.Layout) int { return -compareLoss(c.toolbox, x, y) })
	out := min(len(whole), len(c.need)/2+restBoards*int(math.Sqrt(float64(c.tried))))
	c.fixed = slices.Clone(whole[out:])
	left := slices.Clone(c.need)
	for _, lay := range c.fixed {
		board.Take(left, lay.Pieces())
	}
	c.begin(left)
}

// compareLoss compares boards by what they lose, in steps of a tenth of a price so
// that chance decides among equals.
func compareLoss(x *toolbox, a, b board.Layout) int {
	part := func(lay board.Layout) int { return int(10 * x.loss(lay) / float64(max(1, x.p.Price(lay.Kind)))) }
	return part(a) - part(b)
}
