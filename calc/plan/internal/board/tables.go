package board

import "slices"

// Tables holds the nested knapsacks of one question: what every billet, every
// length and every board is worth at most, when a leaf is worth value and no
// billet has more of it than limit. The lists are made when first asked for.
//
// Source: Gilmore and Gomory 1965 (GG65), over lists as in NU69.
type Tables struct {
	P     *Problem
	value []int64 // of one set of each item
	limit []int   // sets of each item
	Arena Arena
	thick [][][]List // by set, length class, width class; nil when not made
	wide  [][]wide   // by group and length class; nil before the first is made
	asked int32      // questions so far
	Deep  []nm       // by set: the largest room
	High  int        // width classes that stand in the saw
	asks  [][]int    // by set: the items in question, the narrowest first
	Live  [][]bool   // by set and length class: an item in question has more places than in a shorter one

	// Where leaves are divided, or work costs anything, the lists for a width are no help with the next one:
	// billets are filled one by one.
	single bool
	sack   Knapsack
	wider  [][]bool // as Live, by width class
	held   map[[3]int][]Stack
}

// wide is what a length of a class can be ripped into.
type wide struct {
	made int32 // for the question of this number
	List List
}

// NewTables returns the tables of a problem, without a question.
func NewTables(p *Problem) *Tables {
	t := &Tables{P: p, Arena: p.NewArena(), High: p.Highest(), Deep: make([]nm, len(p.Sets))}
	for _, g := range p.Groups {
		for _, room := range g.Room {
			t.Deep[g.Set] = max(t.Deep[g.Set], room)
		}
	}
	t.thick, t.Live, t.asks = make([][][]List, len(p.Sets)), make([][]bool, len(p.Sets)), make([][]int, len(p.Sets))
	for s := range t.thick {
		t.thick[s], t.Live[s] = make([][]List, len(p.Lens)), make([]bool, len(p.Lens))
	}
	t.wide = make([][]wide, len(p.Groups))
	if t.single = p.Divides() || p.Priced(); t.single {
		t.sack.Arena, t.held, t.wider = p.NewArena(), map[[3]int][]Stack{}, make([][]bool, len(p.Sets))
		for s := range t.wider {
			t.wider[s] = make([]bool, len(p.Wids))
		}
	}
	return t
}

// Ask sets the question and forgets the answers to the one before.
func (t *Tables) Ask(value []int64, limit []int) {
	t.value, t.limit = value, limit
	t.Arena.Reset()
	for s, set := range t.P.Sets {
		clear(t.thick[s])
		clear(t.Live[s])
		t.asks[s] = t.asks[s][:0]
		for _, i := range set {
			if value[i] > 0 && limit[i] > 0 {
				t.Live[s][t.P.Items[i].Len] = true
				t.asks[s] = append(t.asks[s], i)
			}
		}
		slices.SortStableFunc(t.asks[s], func(x, y int) int { return t.P.Items[x].Wid - t.P.Items[y].Wid })
		if t.single {
			t.turns(s)
		}
	}
	t.asked++
}

// turns notes the classes in which an item in question has more places.
func (t *Tables) turns(s int) {
	clear(t.held)
	clear(t.wider[s])
	for _, i := range t.asks[s] {
		for l := range t.P.Lens {
			t.Live[s][l] = t.Live[s][l] || t.P.Longer(i, l)
		}
		for w := range t.P.Wids {
			t.wider[s][w] = t.wider[s][w] || t.P.Wider(i, w)
		}
	}
}

// leaves returns the lists of what billets of a length class hold, one for
// each width class: the next one has further items to choose from.
func (t *Tables) leaves(set, l int) []List {
	if t.thick[set][l] != nil {
		return t.thick[set][l]
	}
	lists := make([]List, len(t.P.Wids))
	at, w := t.Arena.Start(), 0
	for _, i := range t.asks[set] {
		it := t.P.Items[i]
		if it.Len > l {
			continue
		}
		if len(t.Arena.States) > maxThick {
			t.Arena.fill()
			break
		}
		for ; w < it.Wid; w++ {
			lists[w] = at
		}
		at = t.Arena.Limited(at, int32(i), it.Size, t.value[i], t.limit[i], t.Deep[set])
	}
	for ; w < len(lists); w++ {
		lists[w] = at
	}
	t.thick[set][l] = lists
	return lists
}

// billet returns the most that a billet of a group and classes is worth. A floor is as
// good as less.
func (t *Tables) billet(g, l, w int, floor int64) int64 {
	gr := &t.P.Groups[g]
	if gr.Room[l] < 0 || w >= t.High || !t.Live[gr.Set][l] {
		return 0
	}
	if t.single {
		if !t.wider[gr.Set][w] {
			return floor
		}
		return t.fill(g, l, w, floor)
	}
	return t.Arena.Worth(t.leaves(gr.Set, l)[w], gr.Room[l])
}

// fill fills a billet of a group and classes, and returns what it is worth beyond the
// work on it if that is more than a floor, and else the floor.
func (t *Tables) fill(g, l, w int, floor int64) int64 {
	gr := &t.P.Groups[g]
	t.sack.Clear()
	for _, i := range t.asks[gr.Set] {
		if n := t.P.Places(i, l, w); n > 0 {
			t.sack.Add(i, t.P.Items[i].Size, t.value[i], t.limit[i], n, t.P.SetSteps(gr.Set, i, l), gr.Room[l])
		}
	}
	t.sack.Sort()
	before := t.sack.Arena.Work
	worth := t.sack.Mounted(gr.Room[l], floor, t.P.MountSteps(g, l))
	t.Arena.Work += t.sack.Arena.Work - before + int64(len(t.asks[gr.Set]))
	if t.sack.Arena.Full {
		t.Arena.fill()
	}
	return worth
}

// Strip returns what a length of a class of a group can be ripped into. A
// billet no better than a narrower one is not tried.
func (t *Tables) Strip(g, l int) wide {
	if t.wide[g] == nil {
		t.wide[g] = make([]wide, len(t.P.Lens))
	}
	s := &t.wide[g][l]
	if s.made == t.asked {
		return *s
	}
	*s = wide{made: t.asked}
	if t.single {
		s.List = t.ripped(g, l)
		return *s
	}
	room := t.P.Groups[g].rip
	worth := make([]int64, t.High) // before the list begins: thickness lists share the arena
	for w := range worth {
		worth[w] = t.billet(g, l, w, 0)
	}
	s.List = t.Arena.Start()
	var best int64
	for w, worth := range worth {
		if worth > best {
			best = worth
			s.List = t.Arena.Often(s.List, Step{int32(w), 1, t.P.Wids[w] + t.P.Order.RipKerf, worth}, room)
		}
	}
	return *s
}

// ripped returns what a length of a class of a group can be ripped into, where billets
// are filled one by one: only those that are worth more than narrower ones in their
// place.
func (t *Tables) ripped(g, l int) List {
	room := t.P.Groups[g].rip
	at := t.Arena.grow(t.Arena.Start())
	for w := range t.High {
		size := t.P.Wids[w] + t.P.Order.RipKerf
		if size > room {
			break
		}
		floor := t.Arena.Worth(at.List, size)
		if worth := t.billet(g, l, w, floor); worth > floor {
			at.often(Step{int32(w), 1, size, worth}, room)
		}
	}
	return at.linked()
}

// stripWorth returns the most that a length of a class is worth when there is
// a width of rip, its last kerf included.
func (t *Tables) stripWorth(g, l int, rip nm) int64 {
	if !t.Live[t.P.Groups[g].Set][l] {
		return 0 // no better than a shorter length
	}
	if !t.P.Rips() {
		return t.billet(g, l, 0, 0)
	}
	return t.Arena.Worth(t.Strip(g, l).List, rip)
}

// Face returns the list of what the face of a board can be crosscut into. The
// size of a state is where the next piece may begin.
func (t *Tables) Face(k Kind, segs []Segment) List {
	worth := make([]int64, len(t.P.Lens))
	for l, long := range t.P.Lens {
		if slices.ContainsFunc(segs, func(s Segment) bool { return l <= s.Most && s.From+long <= s.To }) {
			worth[l] = t.stripWorth(k.Group, l, k.Rip)
		}
	}
	at := t.Arena.Start()
	for _, seg := range segs {
		at = t.Arena.lift(at, seg.From)
		at = t.crosscut(at, seg, worth)
	}
	return at
}

// crosscut returns what is reached from a list in a segment, with lengths of each class
// that are worth something.
func (t *Tables) crosscut(at List, seg Segment, worth []int64) List {
	kerf := t.P.Order.CrosscutKerf
	var grown grown
	if t.single {
		grown = t.Arena.grow(at)
	}
	var best int64
	for l, worth := range worth {
		if worth <= best || l > seg.Most {
			continue
		}
		best = worth
		if s := (Step{int32(l), 1, t.P.Lens[l] + kerf, worth}); t.single {
			grown.often(s, seg.To+kerf)
		} else {
			at = t.Arena.Often(at, s, seg.To+kerf)
		}
	}
	if t.single {
		return grown.linked()
	}
	return at
}

// Piece is a length that a board is crosscut into.
type Piece struct {
	L    int // length class
	From nm  // where it begins
}

// Board returns the most that a board is worth, and the pieces it is crosscut
// into, from the far end.
func (t *Tables) Board(k Kind, segs []Segment) (int64, []Piece) {
	if !t.P.Crosscuts() {
		worth := t.stripWorth(k.Group, 0, k.Rip)
		if worth == 0 {
			return 0, nil
		}
		return worth, []Piece{{}}
	}
	l := t.Face(k, segs)
	var pieces []Piece
	t.Arena.Trace(l.Hi-1, func(item, _ int32, from nm) { pieces = append(pieces, Piece{int(item), from}) })
	return t.Arena.States[l.Hi-1].Worth, pieces
}

// billets returns the width classes of the best billets of a length.
func (t *Tables) billets(g, l int, rip nm) []int {
	if !t.P.Rips() {
		return []int{0}
	}
	s := t.Strip(g, l)
	var wids []int
	if i := t.Arena.Best(s.List, rip); i >= s.List.Lo {
		t.Arena.Trace(i, func(item, _ int32, _ nm) { wids = append(wids, int(item)) })
	}
	return wids
}

// workSteps returns what the work on pieces of a board is at least, as the tables have
// them.
func (t *Tables) workSteps(k Kind, pieces []Piece) int64 {
	var sum int64
	for _, pc := range pieces {
		for _, w := range t.billets(k.Group, pc.L, k.Rip) {
			sum += t.P.billetSteps(k.Group, pc.L, t.contents(k.Group, pc.L, w))
		}
	}
	return sum
}

// Gross returns the most that a board is worth beyond the work on it, and what that
// work is at least, in steps of value.
func (t *Tables) Gross(k Kind) (worth, work int64) {
	worth, pieces := t.Board(k, k.Segs)
	return worth, t.workSteps(k, pieces)
}

// contents returns the stacks of the best billet of classes.
func (t *Tables) contents(g, l, w int) []Stack {
	gr := &t.P.Groups[g]
	if gr.Room[l] < 0 {
		return nil
	}
	if t.single {
		return t.stacks(g, l, w)
	}
	list := t.leaves(gr.Set, l)[w]
	if i := t.Arena.Best(list, gr.Room[l]); i >= list.Lo {
		return t.P.trace(&t.Arena, i, l, w)
	}
	return nil
}

// stacks returns the stacks of a billet that is filled by itself.
func (t *Tables) stacks(g, l, w int) []Stack {
	at := [3]int{g, l, w}
	held, ok := t.held[at]
	if !ok {
		if t.fill(g, l, w, 0) > 0 {
			held = t.P.trace(&t.sack.Arena, int32(len(t.sack.Arena.States)-1), l, w)
		}
		t.held[at] = held
	}
	return slices.Clone(held)
}

// trace returns the stacks of a billet of classes that led to a state.
func (p *Problem) trace(a *Arena, state int32, l, w int) []Stack {
	var stacks []Stack
	a.Trace(state, func(item, count int32, _ nm) { stacks = p.Add(stacks, int(item), int(count), l, w) })
	return stacks
}
