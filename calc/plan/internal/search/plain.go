package search

import (
	"resawd/calc/plan/internal/board"
)

// plain searches for plans of undivided leaves, where leaves can be divided in so many
// ways that each step takes far longer. What it finds the search goes on from.
type plain struct {
	*Search
	of   *Search
	cost int64 // of what was handed over last
	done bool
}

// plainFirst is the work on undivided leaves before there is any on others. Then both
// have the same.
const plainFirst = 100_000_000

// newPlain returns a search for plans of undivided leaves, nil where it does not help or
// finds none to begin with.
func newPlain(s *Search) *plain {
	if !s.p.Thinned() {
		return nil
	}
	u := s.p.Undivided()
	cuts, ok := undivided(s, u)
	if !ok {
		return nil
	}
	x := &plain{Search: newSearch(s.ctx, u, s.need, u.Trim(cuts, s.need)), of: s, cost: s.Best.Cost}
	x.hand()
	return x
}

// undivided returns a plan of undivided leaves to begin with: where there are kits, the best
// plan so far, if it divides none.
func undivided(s *Search, u *board.Problem) ([]board.Use, bool) {
	if s.kits != nil {
		return u.Plain(s.p, board.UsesOf(s.Best.Plan))
	}
	cuts, left := Greedy(s.ctx, board.NewTables(u), board.NewAscent(u), s.need, u.Price)
	return cuts, board.None(left)
}

// due tells whether it is the turn of undivided leaves.
func (x *plain) due() bool {
	return x != nil && !x.done && (x.Work() < plainFirst || x.Work() < x.of.own())
}

// step works for a while.
func (x *plain) step() {
	x.Patient = x.of.Patient
	x.done = !x.Slice()
	x.of.p.Full = x.of.p.Full || x.p.Full
	x.hand()
}

// hand hands a better plan over.
func (x *plain) hand() {
	if x.Best.Cost >= x.cost {
		return
	}
	x.cost = x.Best.Cost
	cuts := x.of.p.Adopted(x.p, board.UsesOf(x.Best.Plan))
	x.of.Best.Offer(board.Each(x.of.p.Trim(cuts, x.of.need)))
}
