package later

import (
	"cmp"
	"slices"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
)

// Limits of the work.
const (
	mostBillets = 400
	mostSteps   = 4_000_000 // billets and lengths looked at
)

// Improve returns cuts that deliver no less and are no worse by cost, boards, passes,
// and the largest single piece left over, in this order.
func Improve(p *board.Problem, cuts []board.Use) []board.Use {
	c := climber{p: p, steps: mostSteps}
	billets := 0
	for _, u := range cuts {
		for _, st := range u.Strips {
			billets += u.Copies * len(st.Billets)
		}
		if billets > mostBillets {
			return cuts
		}
		for range u.Copies {
			c.boards, c.worth = append(c.boards, u.Layout), append(c.worth, measure(p, u.Layout))
		}
	}
	for c.pass() && c.steps > 0 {
	}
	return board.UsesOf(c.boards)
}

// climber is the plan that is made better.
type climber struct {
	p      *board.Problem
	boards []board.Layout
	worth  []worth // of each board
	steps  int     // left
}

// worth is how good boards are by what counts.
type worth struct {
	cost           int64
	boards, passes int
	largest        float64 // volume of the largest piece left over
}

// compare orders what is worth most first.
func (w worth) compare(x worth) int {
	return cmp.Or(cmp.Compare(w.cost, x.cost), cmp.Compare(w.boards, x.boards), cmp.Compare(w.passes, x.passes), cmp.Compare(x.largest, w.largest))
}

// measure returns what a board is worth.
func measure(p *board.Problem, lay board.Layout) worth {
	t := p.Taken(board.Use{Layout: lay, Copies: 1})
	if len(t.Billets) == 0 {
		return worth{}
	}
	b := p.Order.Boards[t.Board]
	w := worth{cost: b.Price, boards: 1}
	for _, bl := range t.Billets {
		long := bl.Length
		if long == 0 {
			long = b.Length
		}
		w.cost += p.Order.BilletCost(bl.Passes(), long)
		w.passes += bl.Passes()
	}
	for _, l := range p.Order.LeftOver([]plan.Taken{t}) {
		w.largest = max(w.largest, float64(l.Thickness)*float64(max(1, l.Width))*float64(max(1, l.Length)))
	}
	return w
}

// sum returns what boards are worth together.
func sum(all []worth) worth {
	var s worth
	for _, w := range all {
		s.cost, s.boards, s.passes, s.largest = s.cost+w.cost, s.boards+w.boards, s.passes+w.passes, max(s.largest, w.largest)
	}
	return s
}

// pass tries every step once and tells whether any was one forward.
func (c *climber) pass() bool {
	better := false
	for i := range c.boards {
		better = c.clear(i) || better
		better = c.slide(i) || better
		for s := len(c.boards[i].Strips) - 1; s >= 0; s-- {
			for b := len(c.boards[i].Strips[s].Billets) - 1; b >= 0; b-- {
				better = c.drain(place{i, s, b}) || better
			}
		}
	}
	return better
}

// clear empties a board length by length, the shortest first, as far as it goes.
func (c *climber) clear(i int) bool {
	a := c.attempt()
	better := false
	order := make([]int, len(c.boards[i].Strips))
	for s := range order {
		order[s] = s
	}
	slices.SortStableFunc(order, func(s, t int) int {
		return cmp.Compare(c.boards[i].Strips[s].L, c.boards[i].Strips[t].L)
	})
	for _, s := range order {
		if a.empty(i, s) {
			better = a.keep() || better
		}
	}
	return better
}

// slide moves the lengths of a board to other stretches of it.
func (c *climber) slide(i int) bool {
	better := false
	for s := range c.boards[i].Strips {
		for stretch := range c.p.Kinds[c.boards[i].Kind].Segs {
			if a := c.attempt(); a.slide(i, s, stretch) {
				better = a.keep() || better
			}
		}
	}
	return better
}

// drain moves the leaves of a billet elsewhere, the thickest sets first, as far as it goes.
func (c *climber) drain(at place) bool {
	a := c.attempt()
	better := false
	for _, s := range a.thickest(at) {
		if a.disperse(at, s) {
			better = a.keep() || better
		}
	}
	return better
}
