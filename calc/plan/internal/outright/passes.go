package outright

import (
	"context"
	"slices"

	"resawd/calc/plan/internal/board"
)

// passes say how passes are counted beside the cost: one number is the cost, then the
// boards, then those passes that a plan can do without. The zero value counts none.
type passes struct {
	unit    int64  // of cost
	board   int64  // and of boards
	trued   []bool // by kind: its billets have a truing pass
	divided []bool // by item: a leaf of it may give several
}

// counted tells whether passes are counted.
func (c passes) counted() bool { return c.unit > 0 }

// price returns what a board counts.
func (c passes) price(price int64) int64 {
	if !c.counted() {
		return price
	}
	return price*c.unit + c.board
}

// work returns what a billet of a kind of board counts on which work costs so much and
// which has so many leaves of items that may be divided: leaves of others are the same
// in every plan.
func (c passes) work(cost int64, k, leaves int) int64 {
	if !c.counted() {
		return cost
	}
	if c.trued[k] {
		leaves++
	}
	return cost*c.unit + int64(leaves)
}

// mostCounted is what cost, boards and passes together may come to.
const mostCounted = 1 << 52

// passesOf returns how passes are counted in answers as good as one, and the most that
// such an answer comes to: false where no plan can do without any, or numbers would
// become too large.
func passesOf(p *board.Problem, a Answer) (c passes, most int64, ok bool) {
	for _, b := range p.Order.Boards {
		c.trued = append(c.trued, p.Order.Skim > 0 || b.Bow > 0)
	}
	leaves, sets := 0, 0
	for i, n := range a.Given {
		leaves, sets = leaves+n*p.Order.Parts[i].SetSize(), sets+n
		c.divided = append(c.divided, p.Places(i, len(p.Lens)-1, len(p.Wids)-1) > 1)
	}
	c.board = 2*int64(leaves) + 2 // a billet for each leaf has so many passes at most
	c.unit = c.board * int64(sets+2)
	cost := p.Cost(a.Cuts)
	most = (cost + 1) * c.unit
	ok = slices.Contains(c.trued, true) || slices.Contains(c.divided, true)
	return c, most, ok && cost < mostCounted/c.unit
}

// FewestPasses returns an answer with the fewest passes of those that give the same for
// the same cost from as few boards, false when it takes more than so many steps to find
// it or there is nothing to find.
func FewestPasses(ctx context.Context, p *board.Problem, a Answer, steps int) (Answer, bool) {
	count, most, ok := passesOf(p, a)
	if !ok || len(a.Cuts) == 0 {
		return Answer{}, false
	}
	x := exact{p: p, kits: a.Kits, need: a.Given, budget: steps, quick: steps, done: ctx.Done(), passes: count, most: most}
	better, ok := x.solve()
	return better, ok && slices.Equal(better.Given, a.Given) && slices.Equal(better.Kits, a.Kits)
}
