package plan

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// counts seeks the cheapest numbers of boards that no prices forbid. A row says,
// for some prices of the items, what the need is worth and what a board of each
// kind gives at most: boards that are worth less together cannot deliver it.
// Numbers that every row allows are asked for a further row; when none is found
// their price is the bound. Numbers are reached best first, so that the price of
// the next ones is a bound at any time.
//
// Source: Benders, Numerische Mathematik 4 (1962) 238-252: integer counts and
// cuts from the duals of the rest (from memory).
type counts struct {
	d      *dual
	a      *ascent
	h      *haggler
	rows   []row
	open   queue[*node]
	order  []int    // kinds, the dearest first
	limit  int64    // plans of this cost or more are of no interest
	tabled bool     // the tables forbid no further numbers
	short  [][]int  // numbers that cannot deliver, though every row allows them
	stuck  bool     // nothing more is to be learned of them
	plan   []layout // on them
	nodes  int
}

// row is what the need and a board of each kind are worth at some prices.
type row struct {
	worth []int64
	want  int64
	order []int // kinds, the most worth for its price first
}

// node holds the numbers of the first kinds of the order; of kind n and after
// there may be more.
type node struct {
	n      int
	number []int
	low    int64 // bound on the price of all numbers from here
	rows   int   // of which low knows
}

// key puts the lowest bound first.
func (x *node) key() int64 { return x.low }

// Limits of the counts.
const (
	maxNodes   = 1_500_000 // times kinds of board
	maxRows    = 200
	mostTabled = 60 // rows by the tables
	countSteps = 60 // of the dual for a row
	sliceNodes = 2000
)

// newCounts returns counts with the row of the best prices of a dual.
func newCounts(ctx context.Context, d *dual, a *ascent, o *pool, limit int64) *counts {
	c := &counts{d: d, a: a, h: newHaggler(d, o), limit: limit}
	for k := range d.p.kinds {
		c.order = append(c.order, k)
	}
	slices.SortStableFunc(c.order, func(x, y int) int { return cmp.Compare(d.p.price(y), d.p.price(x)) })
	c.open.push(&node{number: c.d.p.costless()})
	c.addRow(ctx, d.p.values(d.best))
	return c
}

// costless returns the numbers of boards that cost nothing: all there are, and none of
// those of which there are any number, as the need leaves out what they give.
func (p *problem) costless() []int {
	number := make([]int, len(p.kinds))
	for k, b := range p.order.Boards {
		if b.Price == 0 && b.Quantity != Unlimited {
			number[k] = b.Quantity
		}
	}
	return number
}

// rowOf returns the row of boards and what the need is worth, unordered.
func rowOf(boards []coverBoard, want int64) row {
	r := row{want: want, worth: make([]int64, len(boards))}
	for k, b := range boards {
		r.worth[k] = b.worth
	}
	return r
}

// addRow adds the row of some values, weighed by the tables and an ascent.
func (c *counts) addRow(ctx context.Context, v []int64) {
	p := c.d.p
	worth := make([]int64, len(p.kinds))
	c.d.t.ask(v, c.d.need)
	for k, kd := range p.kinds {
		most, _ := c.d.t.board(kd, kd.segs)
		f := c.a.board(k, v, c.d.need, 10, 0)
		if ctx.Err() != nil || c.d.t.arena.full {
			return
		}
		worth[k] = min(f.bound, most)
	}
	c.add(offer{v, worth})
}

// add adds the row of an offer, unless there are too many.
func (c *counts) add(o offer) {
	p := c.d.p
	if len(c.rows) >= maxRows {
		return
	}
	r := row{want: total(o.value, c.d.need), worth: make([]int64, len(p.kinds))}
	for k := range r.worth {
		if r.worth[k] = min(o.worth[k], r.want); r.worth[k] > 0 {
			r.order = append(r.order, k)
		}
	}
	slices.SortStableFunc(r.order, func(x, y int) int {
		return cmp.Compare(float64(p.price(x))/float64(r.worth[x]), float64(p.price(y))/float64(r.worth[y]))
	})
	c.rows = append(c.rows, r)
}

// work goes on for some nodes and returns a bound below limit, or limit.
func (c *counts) work(ctx context.Context, limit int64) int64 {
	c.limit = limit
	for range sliceNodes {
		if c.open.len() == 0 || c.open.first().low >= limit {
			return limit
		}
		if c.nodes > maxNodes/len(c.order) || ctx.Err() != nil {
			break
		}
		if x := c.open.first(); x.rows < len(c.rows) {
			c.weigh(x)
			c.open.refresh()
		} else if x.low == c.price(x) {
			if !c.stuck {
				c.doubt(ctx, x, limit)
			}
			break
		} else {
			c.branch(c.open.pop())
		}
	}
	return c.open.first().low
}

// done tells whether the bound will not rise further.
func (c *counts) done() bool {
	return c.stuck || c.open.len() == 0 || c.nodes > maxNodes/len(c.order)
}

// doubt works on numbers that no row forbids: with prices for which the tables
// will do, then with better ones, then by deciding whether they can deliver.
func (c *counts) doubt(ctx context.Context, x *node, limit int64) {
	switch {
	case c.failed(x.number):
		c.branch(c.open.pop())
	case !c.tabled:
		c.tabled = !c.forbid(ctx, x)
		c.stuck = c.tabled && c.d.p.large()
	case !c.h.done:
		if o, ok := c.h.round(ctx, limit); ok {
			c.add(o)
		}
	default:
		c.decide(ctx, x.number)
	}
}

// decide works on numbers that no row forbids: by prices for these numbers, and
// where those become no better by shortlists, level by level.
func (c *counts) decide(ctx context.Context, number []int) {
	c.h.ask(number)
	level := c.h.level
	if level == len(allotSteps) {
		c.stuck = true
		return
	}
	o, v := c.h.forbid(ctx, number)
	if v == cannot && len(c.rows) < maxRows {
		c.add(o)
		return
	}
	if c.h.level > level {
		v, c.plan = c.h.allot(ctx, number, allotSteps[level])
	}
	if v == cannot {
		c.short = append(c.short, number)
	}
	c.stuck = v == can
}

// failed tells whether numbers of boards are known not to do: the same ones or more
// of them have failed.
func (c *counts) failed(number []int) bool {
	return slices.ContainsFunc(c.short, func(n []int) bool { return covers(n, number) })
}

// price returns what the boards of a node cost.
func (c *counts) price(x *node) int64 {
	var sum int64
	for k, n := range x.number {
		sum += int64(n) * c.d.p.price(k)
	}
	return sum
}

// branch adds the nodes after one: a further board of its kind, or none.
func (c *counts) branch(x *node) {
	if x.n == len(c.order) {
		return
	}
	c.nodes++
	k := c.order[x.n]
	if b := c.d.p.order.Boards[k]; b.Price > 0 && (b.Quantity == Unlimited || x.number[k] < b.Quantity) {
		more := &node{n: x.n, number: slices.Clone(x.number)}
		more.number[k]++
		c.weigh(more)
		c.open.push(more)
	}
	next := &node{n: x.n + 1, number: x.number}
	c.weigh(next)
	c.open.push(next)
}

// weigh finds the bound of a node.
func (c *counts) weigh(x *node) {
	later := make([]bool, len(x.number))
	for _, k := range c.order[x.n:] {
		later[k] = true
	}
	spent := c.price(x)
	x.low = max(x.low, spent)
	for _, r := range c.rows[x.rows:] {
		x.low = max(x.low, spent+c.fraction(r, x, later))
	}
	c.d.t.arena.work += int64(len(c.rows)-x.rows+1) * int64(len(c.order))
	x.rows = len(c.rows)
}

// fraction returns a bound on the price of what a row still wants, when the
// last board may be cut.
func (c *counts) fraction(r row, x *node, later []bool) int64 {
	want := r.want
	for k, n := range x.number {
		want -= int64(n) * r.worth[k]
	}
	return fraction(func(yield func(coverBoard) bool) {
		for _, k := range r.order {
			b := coverBoard{r.worth[k], c.d.p.price(k), max(0, c.d.p.most(k, c.limit)-int64(x.number[k]))}
			if later[k] && !yield(b) {
				return
			}
		}
	}, want)
}

// forbid seeks prices at which, by the tables, numbers of boards are worth less
// than the need, and adds their row. It tells whether there are any.
func (c *counts) forbid(ctx context.Context, x *node) bool {
	if len(c.rows) >= mostTabled {
		return false
	}
	v, ok := c.d.against(ctx, x.number)
	if !ok {
		return false
	}
	before := x.low
	c.addRow(ctx, v)
	c.weigh(x)
	c.open.refresh()
	return x.low > before
}

// against seeks values at which numbers of boards are worth less than the need,
// or as little more as it finds.
func (d *dual) against(ctx context.Context, number []int) ([]int64, bool) {
	price, best := slices.Clone(d.best), []int64(nil)
	least, stride := math.Inf(1), newStride(5, 0.6)
	for range countSteps {
		v := d.p.values(price)
		over, slack := d.excess(v, number)
		if d.full() || ctx.Err() != nil {
			return nil, false
		}
		part := over / float64(max(1, total(v, d.need)))
		stride.note(part < least)
		if part < least {
			least, best = part, v
		}
		if over < 0 {
			return v, true
		}
		aim := (over + 0.02*float64(total(v, d.need))) / d.p.fine
		shift(price, slack, stride.step()*aim)
	}
	return best, best != nil && least < 0.2
}

// excess returns how much more boards are worth than the need, and how many
// sets of each item they lack.
func (d *dual) excess(v []int64, number []int) (float64, []float64) {
	d.ask(v)
	slack := make([]float64, len(v))
	for i, n := range d.need {
		slack[i] = float64(n)
	}
	over := -total(v, d.need)
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
