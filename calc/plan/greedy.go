package plan

import (
	"math"
	"slices"
)

// volumes returns a value for each item in proportion to the wood its sets
// take up, kerfs included, scaled so that everything wanted is worth about 2^40.
func (p *problem) volumes(need []int) []int64 {
	size, total := make([]float64, len(p.items)), 0.0
	for i, it := range p.items {
		size[i] = float64(it.size)
		if p.crosscuts() {
			size[i] *= float64(p.lens[it.len] + p.order.CrosscutKerf)
		}
		if p.rips() {
			size[i] *= float64(p.wids[it.wid] + p.order.RipKerf)
		}
		total += size[i] * float64(need[i])
	}
	value := make([]int64, len(p.items))
	for i := range value {
		value[i] = 1 + int64(math.Round(size[i]/max(total, 1)*(1<<40)))
	}
	return value
}

// greedy returns cuts that deliver what they can of a need, and what is left
// of it: board after board, the one with the most wood in leaves for its price, however priced.
func greedy(p *problem, need []int, price func(kind int) int64) ([]cut, []int) {
	g := greed{p: p, t: newTables(p), a: newAscent(p), value: p.volumes(need), left: slices.Clone(need),
		stock: p.stock(), price: price, rounds: 1, limit: math.MaxInt64}
	var cuts []cut
	for {
		c, ok := g.next()
		if !ok {
			return cuts, g.left
		}
		cuts = append(cuts, c)
	}
}

// greed is the state of the greedy method.
type greed struct {
	p     *problem
	t     *tables
	a     *ascent
	value []int64
	left  []int // sets
	stock []int // boards
	price func(kind int) int64

	rounds int   // of ascent for each board
	limit  int64 // on the price of a board
	single bool  // take boards one by one
}

// tries is how many kinds of board are laid out to choose the next one.
const tries = 3

// next takes the next boards.
func (g *greed) next() (cut, bool) {
	var best layout
	score := 0.0
	for _, k := range g.promising() {
		f := g.a.board(k, g.value, g.left, g.rounds, 0)
		if s := g.score(k, f.worth); s > score {
			best, score = f.lay, s
		}
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

// promising returns the kinds of board with the best scores by the tables.
func (g *greed) promising() []int {
	g.t.ask(g.value, g.left)
	var total int64
	for i, n := range g.left {
		total += int64(n) * g.value[i]
	}
	score := make([]float64, len(g.p.kinds))
	var kinds []int
	for k, kd := range g.p.kinds {
		if g.stock[k] <= 0 || g.p.order.Boards[k].Price > g.limit {
			continue
		}
		most, _ := g.t.board(kd, kd.segs)
		if score[k] = g.score(k, min(most, total)); most > 0 {
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

// score is the worth for the price of a board.
func (g *greed) score(k int, worth int64) float64 {
	return float64(worth) / float64(max(1, g.price(k)))
}
