package solver

import "resawd/calc/plan/internal/board"

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
		if c.Copies == 1 {
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
			for _, pc := range x.Sets {
				x.rest -= nm(pc.Count) * g.p.Items[pc.Item].Size
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
			for _, pc := range append([]board.Sets(nil), g.all[from].Sets...) {
				moved = from != to && g.move(from, to, pc) || moved
			}
		}
	}
	return moved
}

// move moves the sets of an item from a billet to another if that is useful.
func (g *gatherer) move(from, to int, pc board.Sets) bool {
	a, b := &g.all[from], &g.all[to]
	it := g.p.Items[pc.Item]
	size := nm(pc.Count) * it.Size
	if it.Len > b.l || it.Wid > b.W || size > b.rest || !holds(b.set, pc.Item) {
		return false
	}
	square := func(x nm) float64 { return float64(x) * float64(x) }
	gain := a.face*(square(a.rest+size)-square(a.rest)) - b.face*(square(b.rest)-square(b.rest-size))
	if gain <= 0 {
		return false
	}
	a.rest, b.rest = a.rest+size, b.rest-size
	b.Sets = board.AddPiece(b.Sets, pc.Item, pc.Count)
	for i := range a.Sets {
		if a.Sets[i].Item == pc.Item {
			a.Sets[i].Count = 0
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
