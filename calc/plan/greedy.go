package plan

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// greedy returns cuts that deliver what they can of a need, and what is left
// of it: board after board, the one with the most wood in leaves for its price, however priced.
func greedy(ctx context.Context, t *tables, a *ascent, need []int, price func(kind int) int64) ([]cut, []int) {
	p, before := t.p, t.arena.work+a.b.t.arena.work
	g := greed{ctx: ctx, p: p, t: t, a: a, value: p.volumes(need), left: slices.Clone(need),
		stock: p.stock(), price: price, rounds: 1, limit: math.MaxInt64}
	var cuts []cut
	for {
		c, ok := g.next()
		if !ok {
			p.spent += t.arena.work + a.b.t.arena.work - before
			return cuts, g.left
		}
		cuts = append(cuts, c)
	}
}

// greed is the state of the greedy method.
type greed struct {
	ctx   context.Context
	p     *problem
	t     *tables
	a     *ascent
	value []int64
	left  []int // sets
	stock []int // boards
	price func(kind int) int64

	rounds int     // of ascent for each board
	limit  int64   // on the price of a board
	single bool    // take boards one by one
	at     int     // the first item that grid has not given up
	likely []int   // kinds of board, the most wood for its price first
	quicks int     // boards laid out by quick
	most   []int64 // what a board of a kind is worth at most, by promising
}

// tries is how many kinds of board are laid out to choose the next one.
const tries = 3

// next takes the next boards.
func (g *greed) next() (cut, bool) {
	if g.ctx.Err() != nil {
		return g.quick()
	}
	var best layout
	score, left := 0.0, g.focus(focused)
	for _, k := range g.promising(left) {
		floor := int64(score * float64(g.price(k)))
		if best.strips != nil && g.most[k] <= floor {
			continue
		}
		f := g.a.board(k, g.value, left, g.rounds, floor)
		if s := g.score(k, f.worth); s > score {
			best, score = f.lay, s
		}
	}
	if len(best.strips) == 0 && (g.ctx.Err() != nil || g.t.arena.full || g.a.b.t.arena.full) {
		return g.quick()
	}
	return g.take(best)
}

// board takes one board of a kind.
func (g *greed) board(k int) (cut, bool) {
	if g.stock[k] <= 0 {
		return cut{}, false
	}
	return g.take(g.a.board(k, g.value, g.left, g.rounds, 0).lay)
}

// take takes boards of a layout, as many as there are and all their leaves are
// wanted of.
func (g *greed) take(lay layout) (cut, bool) {
	c := cut{lay, 0}
	sets := lay.pieces()
	if len(sets) == 0 {
		return c, false
	}
	c.copies = g.stock[lay.kind]
	if g.single {
		c.copies = 1
	}
	for _, s := range sets {
		c.copies = min(c.copies, g.left[s.Item]/s.Count)
	}
	for _, s := range sets {
		g.left[s.Item] -= s.Count * c.copies
	}
	g.stock[lay.kind] -= c.copies
	return c, true
}

// grid takes boards that give nothing but the first part that is left, in rows
// and columns: what little can be done when time is up.
func (g *greed) grid() (cut, bool) {
	for ; g.at < len(g.left); g.at++ { // what had no board before has none now
		for k, kd := range g.p.kinds {
			if g.left[g.at] > 0 && g.stock[k] > 0 && suits(g.p.order.Boards[k], g.p.order.Parts[g.at]) && g.p.fits(kd, g.at) {
				return g.take(g.p.grid(k, g.at, g.left[g.at]))
			}
		}
	}
	return cut{}, false
}

// grid returns the layout of a board with at most n sets of one item.
func (p *problem) grid(k, i, n int) layout {
	kd, it := p.kinds[k], p.items[i]
	lay := layout{kind: k}
	most := int(p.groups[kd.group].room[it.len] / it.size)
	at, ok := kd.place(0, p.lens[it.len])
	for n > 0 && (ok || !p.crosscuts()) {
		s := strip{piece: piece{it.len, at}}
		for rip := kd.rip; n > 0; {
			c := min(n, most)
			s.billets = append(s.billets, billet{it.wid, []Sets{{Item: i, Count: c}}})
			n -= c
			if rip -= p.wids[it.wid] + p.order.RipKerf; !p.rips() || rip < p.wids[it.wid]+p.order.RipKerf {
				break
			}
		}
		lay.strips = append(lay.strips, s)
		if !p.crosscuts() {
			return lay
		}
		at, ok = kd.place(at+p.lens[it.len]+p.order.CrosscutKerf, p.lens[it.len])
	}
	return lay
}

// focus returns what is left, but of no more than twice as many items as told:
// the most valuable ones, and some of each lesser value to fill with.
func (g *greed) focus(most int) []int {
	var items []int
	for i, n := range g.left {
		if n > 0 {
			items = append(items, i)
		}
	}
	if len(items) <= 2*most {
		return g.left
	}
	slices.SortStableFunc(items, func(x, y int) int { return cmp.Compare(g.value[y], g.value[x]) })
	left := make([]int, len(g.left))
	for n := range most {
		for _, i := range []int{items[n], items[most+n*(len(items)-most)/most]} {
			left[i] = g.left[i]
		}
	}
	return left
}

// Half the number of items that are weighed together, and when time is up.
const (
	focused      = 25
	focusedQuick = 4
)

// quick takes a board of the first of the likely kinds that is of use, and
// weighs few items: for when time is up.
func (g *greed) quick() (cut, bool) {
	tried, left := 0, g.focus(focusedQuick)
	for _, k := range g.order() {
		if g.stock[k] <= 0 || g.p.order.Boards[k].Price > g.limit {
			continue
		}
		if tried++; tried > tries || g.quicks > maxQuick {
			break
		}
		g.quicks++
		if c, ok := g.take(g.a.board(k, g.value, left, 1, 0).lay); ok {
			return c, true
		}
	}
	return g.grid()
}

// maxQuick is how many boards are laid out when time is up.
const maxQuick = 1000

// promising returns the kinds of board with the best scores by the tables for
// what is left.
func (g *greed) promising(left []int) []int {
	g.t.ask(g.value, left)
	var total int64
	for i, n := range left {
		total += int64(n) * g.value[i]
	}
	score := make([]float64, len(g.p.kinds))
	g.most = make([]int64, len(g.p.kinds))
	var kinds []int
	enough := max(tries, maxWeighed/(len(g.p.lens)*len(g.p.wids)))
	for _, k := range g.order() {
		if g.stock[k] <= 0 || g.p.order.Boards[k].Price > g.limit || len(kinds) >= enough || g.ctx.Err() != nil {
			continue
		}
		kd := g.p.kinds[k]
		most, _ := g.t.board(kd, kd.segs)
		g.most[k] = min(most, total)
		if score[k] = g.score(k, g.most[k]); most > 0 {
			kinds = append(kinds, k)
		}
	}
	slices.SortStableFunc(kinds, func(x, y int) int {
		switch {
		case score[x] > score[y]:
			return -1
		case score[x] < score[y]:
			return 1
		}
		return 0
	})
	return kinds[:min(len(kinds), tries)]
}

// maxWeighed is how many billets the tables are asked for at each step.
const maxWeighed = 2_000_000

// order returns the kinds of board, the most wood for its price first.
func (g *greed) order() []int {
	if g.likely != nil {
		return g.likely
	}
	g.likely = make([]int, len(g.p.kinds))
	wood := make([]float64, len(g.p.kinds))
	for k := range g.likely {
		g.likely[k] = k
		wood[k] = float64(g.p.face(k)) / float64(max(1, g.price(k)))
	}
	slices.SortStableFunc(g.likely, func(x, y int) int { return cmp.Compare(wood[y], wood[x]) })
	return g.likely
}

// score is the worth for the price of a board.
func (g *greed) score(k int, worth int64) float64 {
	return float64(worth) / float64(max(1, g.price(k)))
}
