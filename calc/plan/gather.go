package plan

// maxGathered is how many billets gather takes on.
const maxGathered = 400

// gather moves sets between the billets of cuts as long as that makes the
// remainders more useful: one thick rest is worth more than many thin ones, so
// that a rest counts by its face times the square of its thickness. Prices and
// boards stay as they are.
//
// Source: definition.
func gather(p *problem, cuts []cut) []cut {
	g := gatherer{p: p}
	out := make([]cut, len(cuts))
	for i, c := range cuts {
		out[i] = cut{c.clone(), c.copies}
		if c.copies == 1 {
			g.add(out[i].layout)
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
	p   *problem
	all []gathered
}

// gathered is a billet and its rest.
type gathered struct {
	*billet
	l    int
	set  []int // items the board may give
	rest nm
	face float64
}

// add adds the billets of a layout.
func (g *gatherer) add(lay layout) {
	gr := g.p.groups[g.p.kinds[lay.kind].group]
	for _, s := range lay.strips {
		for b := range s.billets {
			x := gathered{&s.billets[b], s.l, g.p.sets[gr.set], gr.room[s.l], 1}
			x.face *= max(1, float64(g.p.lens[s.l])) * max(1, float64(g.p.wids[x.w]))
			for _, pc := range x.sets {
				x.rest -= nm(pc.Count) * g.p.items[pc.Item].size
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
			for _, pc := range append([]Sets(nil), g.all[from].sets...) {
				moved = from != to && g.move(from, to, pc) || moved
			}
		}
	}
	return moved
}

// move moves the sets of an item from a billet to another if that is useful.
func (g *gatherer) move(from, to int, pc Sets) bool {
	a, b := &g.all[from], &g.all[to]
	it := g.p.items[pc.Item]
	size := nm(pc.Count) * it.size
	if it.len > b.l || it.wid > b.w || size > b.rest || !holds(b.set, pc.Item) {
		return false
	}
	square := func(x nm) float64 { return float64(x) * float64(x) }
	gain := a.face*(square(a.rest+size)-square(a.rest)) - b.face*(square(b.rest)-square(b.rest-size))
	if gain <= 0 {
		return false
	}
	a.rest, b.rest = a.rest+size, b.rest-size
	b.sets = addPiece(b.sets, pc.Item, pc.Count)
	for i := range a.sets {
		if a.sets[i].Item == pc.Item {
			a.sets[i].Count = 0
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
