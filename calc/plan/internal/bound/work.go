package bound

import (
	"context"
	"math"
	"slices"

	"resawd/calc/plan/internal/board"
)

// shortage is numbers of boards that cannot deliver with work of a price.
type shortage struct {
	number []int
	work   int64
}

// sharpen adds the row that came nearest to forbidding numbers of boards, where the work
// that it implies makes them dearer.
func (c *Benders) sharpen(number []int) {
	o := c.restricted.near
	if o.value == nil || !c.d.p.Priced() {
		return
	}
	r := Row{Want: board.Total(o.value, c.d.need), Worth: o.worth}
	price := c.d.p.BoardsPrice(number) + workFor(r.wanting(number), c.d.p.WorkGrain())
	if price > c.own(&node{number: number}) {
		c.add(o)
	}
}

// work returns what the work on numbers of boards may cost in a plan that is cheaper
// than the limit, 0 where work costs nothing.
func (c *Benders) work(number []int) int64 {
	if !c.d.p.Priced() {
		return 0
	}
	return c.limit - 1 - c.d.p.BoardsPrice(number)
}

// failed tells whether numbers of boards are known not to do: the same ones or more
// of them have failed, with no less work.
func (c *Benders) failed(number []int) bool {
	work := c.work(number)
	return slices.ContainsFunc(c.short, func(s shortage) bool { return s.work >= work && board.Covers(s.number, number) })
}

// priceOf returns what a board of a kind costs, with one billet mounted.
func (c *Benders) priceOf(k int) int64 { return c.d.p.Price(k) + c.mount(k) }

// mount returns what mounting one billet of a board costs at least. Of boards that cost
// nothing there are all in every number, used or not.
func (c *Benders) mount(k int) int64 {
	if c.d.p.Price(k) == 0 {
		return 0
	}
	return c.d.p.LeastMount(k)
}

// price returns what the boards of a node cost, with one billet of each mounted and the
// passes that any plan takes.
func (c *Benders) price(x *node) int64 {
	sum := c.passes
	for k, n := range x.number {
		sum += int64(n) * c.priceOf(k)
	}
	return sum
}

// own returns what the boards of a node cost, if no more are taken, and by the rows the
// work on them.
func (c *Benders) own(x *node) int64 {
	price, work := c.price(x), int64(0)
	if c.d.p.Priced() {
		for _, r := range c.Rows {
			work = max(work, workFor(r.wanting(x.number), r.Work))
		}
	}
	return price + work
}

// wanting returns what a row still wants beyond what boards give.
func (r Row) wanting(number []int) int64 {
	want := r.Want
	for k, n := range number {
		want -= int64(n) * r.Worth[k]
	}
	return want
}

// bare is the master problem where work costs nothing: which numbers of boards can
// deliver at all. What it learns holds whatever the work costs.
type bare struct {
	c     *Benders
	dual  *Dual
	rows  int // that were handed on
	short int
	done  bool
}

// How long it is worked on.
const (
	bareSteps = 120        // of the dual
	bareWork  = 40_000_000 // steps of work
)

// newBare returns the problem of a master where work costs nothing, nil where it does
// not cost anything anyway or boards have too many classes.
func newBare(ctx context.Context, c *Benders) *bare {
	if !c.d.p.Priced() || large(c.d.p) {
		return nil
	}
	q, limit := c.d.p.Gross(), c.limit-c.passes
	o, d := NewPool(q), NewDual(q, c.d.need, float64(limit))
	for _, all := range c.restricted.pool.Patterns {
		for _, x := range all {
			o.Add(x.Lay)
		}
	}
	for range bareSteps {
		d.Step(ctx, limit)
	}
	return &bare{c: NewBenders(ctx, d, board.NewAscent(q), o, limit), dual: d}
}

// raise goes on for a while and hands on what it learns. It returns a bound.
func (b *bare) raise(ctx context.Context, c *Benders) int64 {
	if b == nil || b.done {
		return 0
	}
	least := b.c.Raise(ctx, c.limit-c.passes) + c.passes
	b.done = b.c.Done() || b.spent() > bareWork
	for ; b.rows < len(b.c.Rows) && len(c.Rows) < maxRows; b.rows++ {
		c.insert(b.c.Rows[b.rows])
	}
	for ; b.short < len(b.c.short); b.short++ {
		c.short = append(c.short, shortage{b.c.short[b.short].number, math.MaxInt64})
	}
	if b.c.Plan != nil && c.Plan == nil {
		c.Plan = b.c.Plan
	}
	return least
}

// spent returns the steps of work so far.
func (b *bare) spent() int64 {
	if b == nil {
		return 0
	}
	return b.c.restricted.Work() + b.dual.T.Arena.Work + b.c.a.B.T.Arena.Work
}

// arenas returns the arenas that hold its lists.
func (b *bare) arenas() []*board.Arena {
	if b == nil {
		return nil
	}
	return append(append(b.c.Arenas(), b.c.a.Arenas()...), &b.dual.T.Arena)
}
