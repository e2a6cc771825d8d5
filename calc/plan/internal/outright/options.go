package outright

import (
	"cmp"
	"slices"

	"resawd/calc/plan/internal/board"
)

// Option is one way to cut a board of a small order: how many sets of each item it
// gives, no more than wanted, and what the work on it costs.
type Option struct {
	Sets []int
	Work int64
	lay  board.Layout
}

// Options returns the options of a kind of board that no other option outdoes, false
// when it takes more steps to find them than the budget allows.
func Options(p *board.Problem, need []int, k, budget int) ([]Option, bool) {
	f, ok := newFields(need, maxExactStates)
	if !ok {
		return nil, false
	}
	e := newEnumerator(p, f, budget)
	var out []Option
	for _, x := range e.board(k) {
		out = append(out, Option{f.counts(x.give), x.work, e.layout(k, x)})
	}
	return out, e.budget > 0
}

// entry is one way to cut a piece of a board: what it gives, and what the work on it
// costs. It is an earlier entry with one piece more.
type entry struct {
	give vector
	work int64
	from int32 // the step that led to the earlier entry, -1 for none
	last piece
}

// piece is a piece of some class that is cut in one of the ways that there are.
type piece struct{ class, way int32 }

// nothing is what a row begins with.
var nothing = entry{from: -1, last: piece{-1, -1}}

// step is how an entry that is kept came about.
type step struct {
	before int32 // step
	piece
	at nm // where the piece begins
}

// enumerator lists all options of boards that no other option outdoes: contents of
// billets, lengths with their billets, boards with their lengths.
type enumerator struct {
	p      *board.Problem
	f      *fields
	budget int // steps left
	steps  []step
	leaves map[spot][]entry
	strips map[spot][]entry
	least  []int64 // by number of a vector, for undominated
	passes passes
	most   int64 // that the work of an entry may cost
}

// spot is a group of boards, or a kind, and a class of length and width there.
type spot struct {
	of   int
	rip  nm
	l, w int
}

// newEnumerator begins a list of options within a number of steps.
func newEnumerator(p *board.Problem, f *fields, budget int) *enumerator {
	return &enumerator{p: p, f: f, budget: budget, leaves: map[spot][]entry{}, strips: map[spot][]entry{}, most: never}
}

// board returns the options of a kind of board.
func (e *enumerator) board(k int) []entry {
	if !e.p.Crosscuts() {
		return e.strip(k, 0)
	}
	kerf := e.p.Order.CrosscutKerf
	r := row{e: e, at: map[nm][]entry{}, kerf: kerf}
	segs := e.p.Kinds[k].Segs
	for n, s := range segs {
		if n == 0 {
			r.at[s.From] = []entry{nothing}
		}
		r.begin(s.From)
		for l := len(e.p.Lens) - 1; l >= 0 && e.budget > 0; l-- {
			if s.From+e.p.Lens[l] <= s.To {
				r.add(int32(l), e.p.Lens[l], s.To, e.strip(k, l))
			}
		}
	}
	return r.all()
}

// strip returns the options of a length of a class: its billets.
func (e *enumerator) strip(k, l int) []entry {
	at := e.spot(k, l, 0)
	if all, ok := e.strips[at]; ok {
		return all
	}
	var all []entry
	if e.p.Groups[e.p.Kinds[k].Group].Room[l] > 0 {
		all = e.billets(k, l)
	}
	e.strips[at] = all
	return all
}

// billets lists the options of a length of a class.
func (e *enumerator) billets(k, l int) []entry {
	if !e.p.Rips() {
		var all []entry
		for n, x := range e.contents(k, l, 0) {
			all = append(all, e.settled(entry{x.give, x.work, -1, piece{0, int32(n)}}, 0))
		}
		return all
	}
	r := row{e: e, at: map[nm][]entry{0: {nothing}}, kerf: e.p.Order.RipKerf}
	room := e.p.Kinds[k].Rip - r.kerf
	for w := e.p.Highest() - 1; w >= 0 && e.budget > 0; w-- {
		if e.p.Wids[w] <= room {
			r.add(int32(w), e.p.Wids[w], room, e.contents(k, l, w))
		}
	}
	return slices.DeleteFunc(r.all(), func(x entry) bool { return x.give == 0 })
}

// spot returns where the options of a kind's boards stand: those of a group are the
// same, but for what a pass costs by its length where boards are not crosscut.
func (e *enumerator) spot(k, l, w int) spot {
	s := spot{e.p.Kinds[k].Group, e.p.Kinds[k].Rip, l, w}
	if !e.p.Crosscuts() && e.p.Priced() || e.passes.counted() {
		s.of = -1 - k
	}
	return s
}

// contents returns what a billet can give: every choice of stacks that none outdoes.
func (e *enumerator) contents(k, l, w int) []entry {
	at := e.spot(k, l, w)
	at.rip = 0
	if all, ok := e.leaves[at]; ok {
		return all
	}
	g := e.p.Groups[e.p.Kinds[k].Group]
	c := chooser{enumerator: e, k: k, l: l, w: w, items: e.p.Sets[g.Set]}
	c.choose(0, 0, 0, 0, g.Room[l])
	all := e.undominated(c.all)
	e.leaves[at] = all
	return all
}

// chooser chooses the stacks of a billet of classes.
type chooser struct {
	*enumerator
	k, l, w int
	items   []int
	all     []entry
}

// choose goes on from the n-th item, after so many leaves and some of them divided: with
// as much of it as fits and is wanted, and with less.
func (c *chooser) choose(n int, give vector, leaves, divided int, room nm) {
	if c.budget--; c.budget < 0 {
		return
	}
	if n == len(c.items) {
		work := c.passes.work(c.p.BilletWork(c.k, c.l, leaves), c.k, divided)
		if give != 0 && work <= c.most {
			c.all = append(c.all, entry{give: give, work: work, from: -1})
		}
		return
	}
	i := c.items[n]
	it, most, need := c.p.Items[i], 0, c.f.limit[i]
	places := c.p.Places(i, c.l, c.w)
	if places > 0 {
		most = int(min(nm(board.Leaves(need, places)), room/it.Size))
	}
	for x := most; x >= 0; x-- {
		more := give | vector(min(need, x*places))<<c.f.shift[i]
		sawn := x * c.p.Order.Parts[i].SetSize()
		if c.passes.counted() && c.passes.divided[i] {
			c.choose(n+1, more, leaves+sawn, divided+sawn, room-nm(x)*it.Size)
		} else {
			c.choose(n+1, more, leaves+sawn, divided, room-nm(x)*it.Size)
		}
	}
}

// layout returns an option of a kind of board as a layout.
func (e *enumerator) layout(k int, x entry) board.Layout {
	lay := board.Layout{Kind: k}
	if !e.p.Crosscuts() {
		lay.Strips = []board.Strip{e.stripOf(k, 0, x)}
		return lay
	}
	for n := x.from; n >= 0; n = e.steps[n].before {
		s := e.steps[n]
		st := e.stripOf(k, int(s.class), e.strip(k, int(s.class))[s.way])
		st.From = s.at
		lay.Strips = append(lay.Strips, st)
	}
	slices.SortFunc(lay.Strips, func(x, y board.Strip) int { return cmp.Compare(x.From, y.From) })
	return lay
}

// stripOf returns an option of a length.
func (e *enumerator) stripOf(k, l int, x entry) board.Strip {
	st := board.Strip{Piece: board.Piece{L: l}}
	for n := x.from; n >= 0; n = e.steps[n].before {
		s := e.steps[n]
		b, give := board.Billet{W: int(s.class)}, e.contents(k, l, int(s.class))[s.way].give
		for i := range e.p.Items {
			if sets := e.f.count(give, i); sets > 0 {
				b.Stacks = e.p.Add(b.Stacks, i, board.Leaves(sets, e.p.Places(i, l, b.W)), l, b.W)
			}
		}
		st.Billets = append(st.Billets, b)
	}
	return st
}
