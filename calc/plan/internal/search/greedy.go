package search

import (
	"cmp"
	"context"
	"math"
	"slices"

	"resawd/calc/plan/internal/board"
)

// Greedy returns cuts that deliver what they can of a need, and what is left
// of it: board after board, the one with the most wood in leaves for its price, however priced.
func Greedy(ctx context.Context, t *board.Tables, a *board.Ascent, need []int, price func(kind int) int64) ([]board.Use, []int) {
	p, before := t.P, t.Arena.Work+a.B.T.Arena.Work
	g := greed{ctx: ctx, p: p, t: t, a: a, value: p.Volumes(need), left: slices.Clone(need),
		stock: p.Stock(), price: price, rounds: 1, limit: math.MaxInt64}
	var cuts []board.Use
	for {
		c, ok := g.next()
		if !ok {
			p.Spent += t.Arena.Work + a.B.T.Arena.Work - before
			return cuts, g.left
		}
		cuts = append(cuts, c)
	}
}

// greed is the state of the greedy method.
type greed struct {
	ctx   context.Context
	p     *board.Problem
	t     *board.Tables
	a     *board.Ascent
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
func (g *greed) next() (board.Use, bool) {
	if g.ctx.Err() != nil {
		return g.quick()
	}
	var best board.Layout
	score, left := 0.0, g.focus(focused)
	for _, k := range g.promising(left) {
		floor := int64(score * float64(g.price(k)))
		if best.Strips != nil && g.most[k] <= floor {
			continue
		}
		f := g.a.Board(k, g.value, left, g.rounds, floor)
		if s := g.score(k, f.Worth); s > score {
			best, score = f.Lay, s
		}
	}
	if len(best.Strips) == 0 && (g.ctx.Err() != nil || g.t.Arena.Full || g.a.B.T.Arena.Full) {
		return g.quick()
	}
	return g.take(best)
}

// Board takes one board of a kind.
func (g *greed) Board(k int) (board.Use, bool) {
	if g.stock[k] <= 0 {
		return board.Use{}, false
	}
	return g.take(g.a.Board(k, g.value, g.left, g.rounds, 0).Lay)
}

// take takes boards of a layout, as many as there are and all their leaves are
// wanted of.
func (g *greed) take(lay board.Layout) (board.Use, bool) {
	c := board.Use{Layout: lay, Copies: 0}
	sets := lay.Pieces()
	if len(sets) == 0 {
		return c, false
	}
	c.Copies = g.stock[lay.Kind]
	if g.single {
		c.Copies = 1
	}
	for _, s := range sets {
		c.Copies = min(c.Copies, max(1, g.left[s.Item]/s.Count)) // the last leaf may give more than is left
	}
	for _, s := range sets {
		g.left[s.Item] -= s.Count * c.Copies
	}
	g.stock[lay.Kind] -= c.Copies
	return c, true
}

// grid takes boards that give nothing but the first part that is left, in rows
// and columns: what little can be done when time is up.
func (g *greed) grid() (board.Use, bool) {
	for ; g.at < len(g.left); g.at++ { // what had no board before has none now
		for k, kd := range g.p.Kinds {
			if g.left[g.at] > 0 && g.stock[k] > 0 && board.Suits(g.p.Order.Boards[k], g.p.Order.Parts[g.at]) && g.p.Fits(kd, g.at) {
				return g.take(grid(g.p, k, g.at, g.left[g.at]))
			}
		}
	}
	return board.Use{}, false
}

// grid returns the layout of a board with at most n sets of one item.
func grid(p *board.Problem, k, i, n int) board.Layout {
	kd, it := p.Kinds[k], p.Items[i]
	lay := board.Layout{Kind: k}
	most := int(p.Groups[kd.Group].Room[it.Len] / it.Size)
	n = board.Leaves(n, p.Places(i, it.Len, it.Wid))
	at, ok := kd.Place(0, p.Lens[it.Len])
	for n > 0 && (ok || !p.Crosscuts()) {
		s := board.Strip{Piece: board.Piece{L: it.Len, From: at}}
		for rip := kd.Rip; n > 0; {
			c := min(n, most)
			s.Billets = append(s.Billets, board.Billet{W: it.Wid, Stacks: p.Add(nil, i, c, it.Len, it.Wid)})
			n -= c
			if rip -= p.Wids[it.Wid] + p.Order.RipKerf; !p.Rips() || rip < p.Wids[it.Wid]+p.Order.RipKerf {
				break
			}
		}
		lay.Strips = append(lay.Strips, s)
		if !p.Crosscuts() {
			return lay
		}
		at, ok = kd.Place(at+p.Lens[it.Len]+p.Order.CrosscutKerf, p.Lens[it.Len])
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

// quick takes a board of the first of the likely kinds that gives something, and
// weighs few items: for when time is up.
func (g *greed) quick() (board.Use, bool) {
	tried, left := 0, g.focus(focusedQuick)
	for _, k := range g.order() {
		if g.stock[k] <= 0 || g.p.Order.Boards[k].Price > g.limit {
			continue
		}
		if tried++; tried > tries || g.quicks > maxQuick {
			break
		}
		g.quicks++
		if c, ok := g.take(g.a.Board(k, g.value, left, 1, 0).Lay); ok {
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
	g.t.Ask(g.value, left)
	var total int64
	for i, n := range left {
		total += int64(max(0, n)) * g.value[i]
	}
	score := make([]float64, len(g.p.Kinds))
	g.most = make([]int64, len(g.p.Kinds))
	var kinds []int
	enough := max(tries, maxWeighed/(len(g.p.Lens)*len(g.p.Wids)))
	for _, k := range g.order() {
		if g.stock[k] <= 0 || g.p.Order.Boards[k].Price > g.limit || len(kinds) >= enough || g.ctx.Err() != nil {
			continue
		}
		kd := g.p.Kinds[k]
		most, _ := g.t.Board(kd, kd.Segs)
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
	g.likely = make([]int, len(g.p.Kinds))
	wood := make([]float64, len(g.p.Kinds))
	for k := range g.likely {
		g.likely[k] = k
		wood[k] = float64(g.p.Face(k)) / float64(max(1, g.price(k)))
	}
	slices.SortStableFunc(g.likely, func(x, y int) int { return cmp.Compare(wood[y], wood[x]) })
	return g.likely
}

// score is the worth for the price of a board.
func (g *greed) score(k int, worth int64) float64 {
	return float64(worth) / float64(max(1, g.price(k)))
}
