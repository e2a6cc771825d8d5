package solver

import (
	"slices"

	"resawd/calc/plan/internal/board"
)

// maxGathered is how many billets gather takes on.
const maxGathered = 400

// gather moves sets between the billets of cuts as long as that makes the
// remainders more useful: one thick rest is worth more than many thin ones, so
// that a rest counts by its face times the square of its thickness. Prices and
// boards stay as they are.
//
// Source: definition.
func gather(p *board.Problem, cuts []board.Use) []board.Use {
	g := gatherer{p: p}
	out := make([]board.Use, len(cuts))
	for i, c := range cuts {
		out[i] = board.Use{Layout: c.Clone(), Copies: c.Copies}
		if c.Copies == 1 && board.None(c.Kits) { // what a kit is made of stays in its board
			g.add(out[i].Layout)
		}
	}
	if len(g.all) > maxGathered {
		return cuts
	}
	for range 20 {
		if !g.pass() {
			break
		}
	}
	return out
}

// gatherer holds the billets of boards that are cut one by one.
type gatherer struct {
	p   *board.Problem
	all []gathered
}

// gathered is a billet and its rest.
type gathered struct {
	*board.Billet
	l    int
	set  []int // items the board may give
	rest nm
	face float64
}

// add adds the billets of a layout.
func (g *gatherer) add(lay board.Layout) {
	gr := g.p.Groups[g.p.Kinds[lay.Kind].Group]
	for _, s := range lay.Strips {
		for b := range s.Billets {
			x := gathered{&s.Billets[b], s.L, g.p.Sets[gr.Set], gr.Room[s.L], 1}
			x.face *= max(1, float64(g.p.Lens[s.L])) * max(1, float64(g.p.Wids[x.W]))
			for _, s := range x.Stacks {
				x.rest -= nm(s.Count) * g.p.Items[s.Item].Size
			}
			g.all = append(g.all, x)
		}
	}
}

// pass moves what it can once and tells whether anything moved.
func (g *gatherer) pass() bool {
	moved := false
	for from := range g.all {
		for to := range g.all {
			for _, s := range slices.Clone(g.all[from].Stacks) {
				moved = from != to && g.move(from, to, s) || moved
			}
		}
	}
	return moved
}

// move moves a stack from a billet to another if that is useful and its leaves have
// as many places there.
func (g *gatherer) move(from, to int, s board.Stack) bool {
	a, b := &g.all[from], &g.all[to]
	size := nm(s.Count) * g.p.Items[s.Item].Size
	if g.p.Places(s.Item, b.l, b.W) != s.Places || size > b.rest || !holds(b.set, s.Item) {
		return false
	}
	square := func(x nm) float64 { return float64(x) * float64(x) }
	gain := a.face*(square(a.rest+size)-square(a.rest)) - b.face*(square(b.rest)-square(b.rest-size))
	if gain <= 0 {
		return false
	}
	a.rest, b.rest = a.rest+size, b.rest-size
	b.Stacks = g.p.Add(b.Stacks, s.Item, s.Count, b.l, b.W)
	for i := range a.Stacks {
		if a.Stacks[i].Item == s.Item {
			a.Stacks[i].Count = 0
		}
	}
	return true
}

// holds tells whether a rising list holds a number.
func holds(list []int, n int) bool {
	for _, x := range list {
		if x == n {
			return true
		}
	}
	return false
}
