package bound

import (
	"context"
	"math"
	"slices"

	"resawd/calc/plan/internal/board"
)

// subproblem is what is left to choose: entries for boards that are to deliver a need.
type subproblem struct {
	left   []int
	groups []shortlisted
	work   int64 // that is left, at its price, but for leaves that cost the same from every billet
	whole  int64 // that all boards may take
}

// tighten seeks prices at which the shortlists become shorter, from some on, and
// tells whether the boards cannot deliver what is left. The groups keep how much of
// each item their best entries gave.
func (a *feasibility) tighten(ctx context.Context, c *subproblem, price []float64, rounds int) bool {
	least, stride := math.Inf(1), board.NewStride(5, 0.7)
	for n := range c.groups {
		c.groups[n].low, c.groups[n].high = slices.Repeat([]int{math.MaxInt}, len(c.left)), make([]int, len(c.left))
	}
	for range rounds {
		if a.over(ctx) {
			return false
		}
		v := a.h.d.p.Values(price)
		for i := range v {
			v[i] = max(0, v[i]-a.h.d.p.AlikeSteps(i))
		}
		want := board.Total(v, c.left)
		over := a.filter(c, v, want)
		if over < 0 {
			return true
		}
		slack := make([]float64, len(v))
		for i, n := range c.left {
			slack[i] = float64(n)
		}
		for _, g := range c.groups {
			for i, b := range g.entries[0].sets {
				m := min(int(b), c.left[i])
				g.low[i], g.high[i] = min(g.low[i], m), max(g.high[i], m)
				slack[i] -= float64(g.number * m)
			}
		}
		part := float64(over) / float64(max(1, want))
		stride.Note(part < least)
		least = min(least, part)
		shift(price, slack, stride.Step()*(part+0.01)*float64(want)/a.h.d.p.Grain)
		a.h.d.bring(price)
	}
	return false
}

// over tells whether choosing takes too long.
func (a *feasibility) over(ctx context.Context) bool {
	return a.steps > chooseSteps || ctx.Err() != nil
}

// filter drops the entries that are worth too little at some values for what is
// left to be delivered. It returns by how much more the boards are worth at most, below 0
// when they cannot deliver it, and puts the best entry of each kind first.
func (a *feasibility) filter(c *subproblem, v []int64, want int64) int64 {
	over := a.h.d.p.WorkSteps(c.work) - want
	worth := make([][]int64, len(c.groups))
	for n, g := range c.groups {
		if len(g.entries) == 0 {
			return -1
		}
		best := 0
		for m, e := range g.entries {
			w := -e.work
			for i, b := range e.sets {
				w += int64(min(int(b), c.left[i])) * v[i]
			}
			worth[n] = append(worth[n], w)
			if w > worth[n][best] {
				best = m
			}
		}
		g.entries[0], g.entries[best] = g.entries[best], g.entries[0]
		worth[n][0], worth[n][best] = worth[n][best], worth[n][0]
		over += int64(g.number) * worth[n][0]
		a.steps += len(g.entries)
	}
	if over < 0 {
		return over
	}
	for n := range c.groups {
		g, kept := &c.groups[n], 0
		for m, e := range g.entries {
			if worth[n][m] >= worth[n][0]-over {
				g.entries[kept] = e
				kept++
			}
		}
		g.entries = g.entries[:kept]
	}
	return over
}

// choose chooses entries for all boards: one by one from a list that is short
// enough, and else by how much of an item the boards of a group give. The verdict is
// undecided when that takes too long.
func (a *feasibility) choose(ctx context.Context, c *subproblem, price []float64) verdict {
	if c.work < 0 {
		return cannot
	}
	if board.None(c.left) || len(c.groups) == 0 {
		return a.complete(c)
	}
	price = slices.Clone(price)
	if a.tighten(ctx, c, price, tightenRounds) {
		return cannot
	}
	at := 0
	for n, g := range c.groups {
		if len(g.entries) < len(c.groups[at].entries) {
			at = n
		}
	}
	if len(c.groups[at].entries) > fewEntries {
		if n, item := c.doubt(price); n >= 0 {
			return a.part(ctx, c, price, n, item)
		}
	}
	kind := c.groups[at].kind
	for m, e := range c.groups[at].entries {
		if a.over(ctx) {
			return undecided
		}
		a.chosen[kind] = append(a.chosen[kind], e)
		v := a.choose(ctx, c.after(at, m), price)
		a.chosen[kind] = a.chosen[kind][:len(a.chosen[kind])-1]
		if v != cannot {
			return v
		}
	}
	return cannot
}

// doubt returns the group and the item of which it is most in doubt, by value, how much
// a board gives, -1 where there is no doubt.
func (c *subproblem) doubt(price []float64) (at, item int) {
	at, most := -1, 0.0
	for n, g := range c.groups {
		for i, p := range price {
			if s := p * float64(g.high[i]-g.low[i]); s > most {
				at, item, most = n, i, s
			}
		}
	}
	return at, item
}

// part chooses after some boards of a group have been told to give few of an
// item, and the others many: all, all but one and so on.
func (a *feasibility) part(ctx context.Context, c *subproblem, price []float64, at, item int) verdict {
	g := c.groups[at]
	most := (g.low[item] + g.high[item]) / 2
	var few, many []*entry
	for _, e := range g.entries {
		if min(int(e.sets[item]), c.left[item]) <= most {
			few = append(few, e)
		} else {
			many = append(many, e)
		}
	}
	for n := g.number; n >= 0; n-- {
		if a.over(ctx) {
			return undecided
		}
		d := &subproblem{left: c.left, work: c.work, whole: c.whole}
		for m, x := range c.groups {
			if m != at {
				x.entries = slices.Clone(x.entries)
				d.groups = append(d.groups, x)
			}
		}
		if n > 0 {
			d.groups = append(d.groups, shortlisted{kind: g.kind, number: n, list: g.list, entries: slices.Clone(many)})
		}
		if n < g.number {
			d.groups = append(d.groups, shortlisted{kind: g.kind, number: g.number - n, list: g.list, entries: slices.Clone(few)})
		}
		if v := a.choose(ctx, d, price); v != cannot {
			return v
		}
	}
	return cannot
}

// after returns what is left to choose when a board of a group has had an entry:
// the others of the group have that one or a later one.
func (c *subproblem) after(at, entry int) *subproblem {
	e := c.groups[at].entries[entry]
	d := &subproblem{left: slices.Clone(c.left), work: c.work - e.lot.Work, whole: c.whole}
	for i, n := range e.sets {
		d.left[i] = max(0, d.left[i]-int(n))
	}
	for n, g := range c.groups {
		from := 0
		if n == at {
			g.number, from = g.number-1, entry
		}
		if g.number > 0 {
			g.entries = slices.Clone(g.entries[from:])
			d.groups = append(d.groups, g)
		}
	}
	return d
}
