package bound

import (
	"cmp"
	"context"
	"math"
	"slices"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/layouts"
)

// Benders is the master problem of numbers of boards: it seeks the cheapest ones
// that no surrogate row rules out. A row says, for some prices of the items, what
// the need is worth and what a board of each kind gives at most: boards that are
// worth less together cannot deliver it. For numbers that every row allows a
// further row is sought; when none is found their price is the bound. Numbers are
// reached best first, so that the price of the next ones is a bound at any time.
//
// Source: Benders, Numerische Mathematik 4 (1962) 238-252: integer counts and
// cuts from the duals of the rest (from memory).
type Benders struct {
	d          *Dual
	a          *board.Ascent
	restricted *restricted
	Rows       []Row
	open       layouts.Queue[*node]
	order      []int          // kinds, the dearest first
	limit      int64          // plans of this cost or more are of no interest
	passes     int64          // what they cost in any plan at least
	bare       *bare          // the same problem where work costs nothing; nil where no work has a price
	Tabled     bool           // the tables forbid no further numbers
	short      []shortage     // numbers that cannot deliver, though every row allows them
	stuck      bool           // nothing more is to be learned of them
	Plan       []board.Layout // on them
	nodes      int
}

// Row is what the need and a board of each kind are worth at some prices: the need
// without the passes that any plan takes, the boards without the mounting of a billet.
type Row struct {
	Worth []int64
	Want  int64
	Work  float64 // steps of value that a unit of price makes up for that is spent on work
	order []int   // kinds, the most worth for its price first
}

// node holds the numbers of the first kinds of the order; of kind n and after
// there may be more.
type node struct {
	n      int
	number []int
	low    int64 // bound on the price of all numbers from here
	rows   int   // of which low knows
}

// Key puts the lowest bound first.
func (x *node) Key() int64 { return x.low }

// Limits of the master problem.
const (
	maxNodes   = 1_500_000 // times kinds of board
	maxRows    = 200
	mostTabled = 60  // rows by the tables
	countSteps = 60  // of the dual for a row
	farOver    = 0.2 // of the need: boards that are worth so much more cannot be forbidden
	sliceNodes = 2000
)

// NewBenders returns the master problem with the row of the best prices of a dual.
func NewBenders(ctx context.Context, d *Dual, a *board.Ascent, o *Pool, limit int64) *Benders {
	c := &Benders{d: d, a: a, restricted: newRestricted(d, o), limit: limit, passes: d.p.LeastPasses(d.need)}
	for k := range d.p.Kinds {
		c.order = append(c.order, k)
	}
	slices.SortStableFunc(c.order, func(x, y int) int { return cmp.Compare(d.p.Price(y), d.p.Price(x)) })
	c.open.Push(&node{number: costless(c.d.p, d.need)})
	c.addRow(ctx, d.p.Values(d.Best))
	c.bare = newBare(ctx, c)
	return c
}

// costless returns the numbers of boards that cost nothing: all there are, and none of
// those of which there are any number, as the need leaves out what they give. Where work
// costs anything it does not, and there are as many as there may be use for.
func costless(p *board.Problem, need []int) []int {
	number, sets := make([]int, len(p.Kinds)), 0
	for _, n := range need {
		sets += n
	}
	for k, b := range p.Order.Boards {
		switch {
		case b.Price > 0:
		case b.Quantity != plan.Unlimited:
			number[k] = b.Quantity
		case p.Priced():
			number[k] = sets
		}
	}
	return number
}

// rowOf returns the row of boards and what the need is worth, unordered.
func rowOf(boards []CoverBoard, want int64, work float64) Row {
	r := Row{Want: want, Work: work, Worth: make([]int64, len(boards))}
	for k, b := range boards {
		r.Worth[k] = b.Worth
	}
	return r
}

// addRow adds the row of some values, weighed by the tables and an ascent.
func (c *Benders) addRow(ctx context.Context, v []int64) {
	p := c.d.p
	worth := make([]int64, len(p.Kinds))
	c.d.T.Ask(v, c.d.need)
	for k, kd := range p.Kinds {
		most, _ := c.d.T.Board(kd, kd.Segs)
		f := c.a.Board(k, v, c.d.need, 10, 0)
		if ctx.Err() != nil || c.d.T.Arena.Full {
			return
		}
		worth[k] = min(f.Bound, most)
	}
	c.add(surrogate{v, worth})
}

// add adds a surrogate row, unless there are too many.
func (c *Benders) add(o surrogate) {
	p := c.d.p
	if len(c.Rows) >= maxRows {
		return
	}
	r := Row{Want: max(0, board.Total(o.value, c.d.need)-p.WorkSteps(c.passes)), Work: p.WorkGrain(), Worth: make([]int64, len(p.Kinds))}
	for k := range r.Worth {
		r.Worth[k] = min(o.worth[k]+p.WorkSteps(c.mount(k)), r.Want)
	}
	c.insert(r)
}

// insert adds a row.
func (c *Benders) insert(r Row) {
	r.order = nil
	for k, w := range r.Worth {
		if w > 0 {
			r.order = append(r.order, k)
		}
	}
	slices.SortStableFunc(r.order, func(x, y int) int {
		return cmp.Compare(float64(c.priceOf(x))/float64(r.Worth[x]), float64(c.priceOf(y))/float64(r.Worth[y]))
	})
	c.Rows = append(c.Rows, r)
}

// Raise goes on for some nodes and returns a bound below limit, or limit.
func (c *Benders) Raise(ctx context.Context, limit int64) int64 {
	c.limit = limit
	least := c.bare.raise(ctx, c)
	for range sliceNodes {
		if c.open.Len() == 0 || c.open.First().low >= limit {
			return limit
		}
		if c.full() || ctx.Err() != nil {
			break
		}
		if x := c.open.First(); x.rows < len(c.Rows) {
			c.weigh(x)
			c.open.Refresh()
		} else if x.low == c.own(x) {
			if !c.stuck {
				c.separate(ctx, x, limit)
			}
			break
		} else {
			c.branch(c.open.Pop())
		}
	}
	if c.open.Len() == 0 { // none can deliver for less
		return limit
	}
	return min(limit, max(least, c.open.First().low))
}

// Arenas returns the arenas that hold its lists, but for those it was given.
func (c *Benders) Arenas() []*board.Arena {
	return append(c.bare.arenas(), append(c.restricted.a.Arenas(), c.restricted.b.Arenas()...)...)
}

// Spent returns the steps of work so far, but for those of the dual and the ascent it was
// given.
func (c *Benders) Spent() int64 { return c.restricted.Work() + c.bare.spent() }

// Done tells whether the bound will not rise further.
func (c *Benders) Done() bool {
	return c.stuck || c.open.Len() == 0 || c.full()
}

// full tells whether there are as many nodes as there may be.
func (c *Benders) full() bool {
	full := c.nodes > maxNodes/len(c.order)
	c.d.p.Full = c.d.p.Full || full
	return full
}

// separate seeks a row that numbers of boards violate: from prices for which the
// tables will do, then from better ones, then by deciding whether they can deliver.
func (c *Benders) separate(ctx context.Context, x *node, limit int64) {
	switch {
	case c.failed(x.number):
		c.branch(c.open.Pop())
	case !c.Tabled:
		c.Tabled = !c.forbidByTables(ctx, x)
		c.stuck = c.Tabled && large(c.d.p)
	case !c.restricted.done:
		if o, ok := c.restricted.round(ctx, limit); ok {
			c.add(o)
		}
	default:
		c.decide(ctx, x.number)
	}
}

// decide works on numbers that no row forbids: by prices for these numbers, and
// where those become no better by shortlists, level by level.
func (c *Benders) decide(ctx context.Context, number []int) {
	c.restricted.ask(number)
	level := c.restricted.level
	if level == len(listSteps) {
		c.stuck = true
		return
	}
	work := c.work(number)
	o, v := c.restricted.forbid(ctx, number, work)
	if v == cannot && len(c.Rows) < maxRows {
		c.add(o)
		return
	}
	if c.restricted.level > level {
		c.sharpen(number)
		v, c.Plan = c.restricted.decide(ctx, number, listSteps[level], work)
	}
	if v == cannot {
		if c.Plan != nil { // and no cheaper one
			work = c.d.p.CostOf(c.Plan) - 1 - c.d.p.BoardsPrice(number)
		}
		c.short = append(c.short, shortage{number, work})
	}
	c.stuck = v == can
}

// branch adds the nodes after one: a further board of its kind, or none.
func (c *Benders) branch(x *node) {
	if x.n == len(c.order) {
		return
	}
	c.nodes++
	k := c.order[x.n]
	if b := c.d.p.Order.Boards[k]; b.Price > 0 && (b.Quantity == plan.Unlimited || x.number[k] < b.Quantity) {
		more := &node{n: x.n, number: slices.Clone(x.number)}
		more.number[k]++
		c.weigh(more)
		c.open.Push(more)
	}
	next := &node{n: x.n + 1, number: x.number}
	c.weigh(next)
	c.open.Push(next)
}

// weigh finds the bound of a node.
func (c *Benders) weigh(x *node) {
	later := make([]bool, len(x.number))
	for _, k := range c.order[x.n:] {
		later[k] = true
	}
	spent := c.price(x)
	x.low = max(x.low, spent)
	for _, r := range c.Rows[x.rows:] {
		x.low = max(x.low, spent+c.fraction(r, x, later))
	}
	c.d.T.Arena.Work += int64(len(c.Rows)-x.rows+1) * int64(len(c.order))
	x.rows = len(c.Rows)
}

// fraction returns a bound on the price of what a row still wants, when the
// last board may be cut.
func (c *Benders) fraction(r Row, x *node, later []bool) int64 {
	return fraction(func(yield func(CoverBoard) bool) {
		for _, k := range r.order {
			b := CoverBoard{r.Worth[k], c.priceOf(k), max(0, c.d.p.Most(k, c.limit)-int64(x.number[k]))}
			if later[k] && !yield(b) {
				return
			}
		}
	}, r.wanting(x.number), r.Work)
}

// forbidByTables seeks prices at which, by the tables, numbers of boards are worth
// less than the need, and adds their row. It tells whether there are any.
func (c *Benders) forbidByTables(ctx context.Context, x *node) bool {
	if len(c.Rows) >= mostTabled {
		return false
	}
	v, ok := c.d.against(ctx, x.number, c.work(x.number))
	if !ok {
		return false
	}
	before := x.low
	c.addRow(ctx, v)
	c.weigh(x)
	c.open.Refresh()
	return x.low > before
}

// against seeks values at which numbers of boards, and work of a price, are worth less
// than the need, or as little more as it finds.
func (d *Dual) against(ctx context.Context, number []int, work int64) ([]int64, bool) {
	price, best := slices.Clone(d.Best), []int64(nil)
	least, stride := math.Inf(1), board.NewStride(5, 0.6)
	for range countSteps {
		v := d.p.Values(price)
		over, slack := d.excess(v, number)
		over += float64(d.p.WorkSteps(work))
		if d.full() || ctx.Err() != nil {
			return nil, false
		}
		part := over / float64(max(1, board.Total(v, d.need)))
		stride.Note(part < least)
		if part < least {
			least, best = part, v
		}
		if over < 0 {
			return v, true
		}
		aim := (over + 0.02*float64(board.Total(v, d.need))) / d.p.Grain
		shift(price, slack, stride.Step()*aim)
		d.bring(price)
	}
	return best, best != nil && (least < farOver || d.p.Priced())
}

// bring brings prices down to the most that the need is worth, where work costs
// anything: prices that are right for it are of no scale but their own.
func (d *Dual) bring(price []float64) {
	if !d.p.Priced() {
		return
	}
	var sum float64
	for i, n := range d.need {
		sum += float64(n) * price[i]
	}
	if sum <= d.most {
		return
	}
	for i := range price {
		price[i] *= d.most / sum
	}
}

// excess returns how much more boards are worth than the need, and how many
// sets of each item they lack.
func (d *Dual) excess(v []int64, number []int) (float64, []float64) {
	d.ask(v)
	slack := make([]float64, len(v))
	for i, n := range d.need {
		slack[i] = float64(n)
	}
	over := -board.Total(v, d.need)
	for k, n := range number {
		if n == 0 {
			continue
		}
		worth, give := d.board(k, v)
		over += int64(n) * worth
		for i, m := range give() {
			slack[i] -= float64(n) * float64(m)
		}
	}
	return float64(over), slack
}

// shift moves prices along the slack, by a step that would gain a value.
func shift(price, slack []float64, gain float64) {
	var norm float64
	for _, s := range slack {
		norm += s * s
	}
	if norm == 0 {
		return
	}
	for i, s := range slack {
		price[i] = max(0, price[i]+gain/norm*s)
	}
}
