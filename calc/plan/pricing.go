package plan

import "slices"

// tables holds the nested knapsacks of one question: what every billet, every
// length and every board is worth at most, when a leaf is worth value and no
// billet has more of it than limit. The lists are made when first asked for.
//
// Source: Gilmore and Gomory 1965 (GG65), over lists as in NU69.
type tables struct {
	p     *problem
	value []int64 // of one set of each item
	limit []int   // sets of each item
	arena arena
	thick [][][]list // by set, length class, width class; nil when not made
	wide  [][]wide   // by group and length class; nil before the first is made
	asked int32      // questions so far
	deep  []nm       // by set: the largest room
	high  int        // width classes that stand in the saw
	asks  [][]int    // by set: the items in question, the narrowest first
	live  [][]bool   // by set and length class: an item of that length is in question
}

// wide is what a length of a class can be ripped into.
type wide struct {
	made int32 // for the question of this number
	list list
}

// newTables returns the tables of a problem, without a question.
func newTables(p *problem) *tables {
	t := &tables{p: p, high: p.highest(), deep: make([]nm, len(p.sets))}
	for _, g := range p.groups {
		for _, room := range g.room {
			t.deep[g.set] = max(t.deep[g.set], room)
		}
	}
	t.thick, t.live, t.asks = make([][][]list, len(p.sets)), make([][]bool, len(p.sets)), make([][]int, len(p.sets))
	for s := range t.thick {
		t.thick[s], t.live[s] = make([][]list, len(p.lens)), make([]bool, len(p.lens))
	}
	t.wide = make([][]wide, len(p.groups))
	return t
}

// ask sets the question and forgets the answers to the one before.
func (t *tables) ask(value []int64, limit []int) {
	t.value, t.limit = value, limit
	t.arena.reset()
	for s, set := range t.p.sets {
		clear(t.thick[s])
		clear(t.live[s])
		t.asks[s] = t.asks[s][:0]
		for _, i := range set {
			if value[i] > 0 && limit[i] > 0 {
				t.live[s][t.p.items[i].len] = true
				t.asks[s] = append(t.asks[s], i)
			}
		}
		slices.SortStableFunc(t.asks[s], func(x, y int) int { return t.p.items[x].wid - t.p.items[y].wid })
	}
	t.asked++
}

// leaves returns the lists of what billets of a length class hold, one for
// each width class: the next one has further items to choose from.
func (t *tables) leaves(set, l int) []list {
	if t.thick[set][l] != nil {
		return t.thick[set][l]
	}
	lists := make([]list, len(t.p.wids))
	at, w := t.arena.start(), 0
	for _, i := range t.asks[set] {
		it := t.p.items[i]
		if it.len > l {
			continue
		}
		if len(t.arena.states) > maxThick {
			t.arena.full = true
			break
		}
		for ; w < it.wid; w++ {
			lists[w] = at
		}
		at = t.arena.limited(at, int32(i), it.size, t.value[i], t.limit[i], t.deep[set])
	}
	for ; w < len(lists); w++ {
		lists[w] = at
	}
	t.thick[set][l] = lists
	return lists
}

// billet returns the most that a billet of a group and classes is worth.
func (t *tables) billet(g, l, w int) int64 {
	gr := &t.p.groups[g]
	if gr.room[l] < 0 || w >= t.high || !t.live[gr.set][l] {
		return 0
	}
	return t.arena.worth(t.leaves(gr.set, l)[w], gr.room[l])
}

// strip returns what a length of a class of a group can be ripped into. A
// billet no better than a narrower one is not tried.
func (t *tables) strip(g, l int) wide {
	if t.wide[g] == nil {
		t.wide[g] = make([]wide, len(t.p.lens))
	}
	s := &t.wide[g][l]
	if s.made == t.asked {
		return *s
	}
	*s = wide{made: t.asked}
	room := t.p.groups[g].rip
	worth := make([]int64, t.high) // before the list begins: thickness lists share the arena
	for w := range worth {
		worth[w] = t.billet(g, l, w)
	}
	s.list = t.arena.start()
	var best int64
	for w, worth := range worth {
		if worth > best {
			best = worth
			s.list = t.arena.often(s.list, step{int32(w), 1, t.p.wids[w] + t.p.order.RipKerf, worth}, room)
		}
	}
	return *s
}

// stripWorth returns the most that a length of a class is worth when there is
// a width of rip, its last kerf included.
func (t *tables) stripWorth(g, l int, rip nm) int64 {
	if !t.live[t.p.groups[g].set][l] {
		return 0 // no better than a shorter length
	}
	if !t.p.rips() {
		return t.billet(g, l, 0)
	}
	return t.arena.worth(t.strip(g, l).list, rip)
}

// face returns the list of what the face of a board can be crosscut into. The
// size of a state is where the next piece may begin.
func (t *tables) face(k kind, segs []segment) list {
	worth := make([]int64, len(t.p.lens))
	for l, long := range t.p.lens {
		if slices.ContainsFunc(segs, func(s segment) bool { return l <= s.most && s.from+long <= s.to }) {
			worth[l] = t.stripWorth(k.group, l, k.rip)
		}
	}
	kerf := t.p.order.CrosscutKerf
	at := t.arena.start()
	for _, seg := range segs {
		at = t.arena.lift(at, seg.from)
		var best int64
		for l, worth := range worth {
			if worth > best && l <= seg.most {
				best = worth
				at = t.arena.often(at, step{int32(l), 1, t.p.lens[l] + kerf, worth}, seg.to+kerf)
			}
		}
	}
	return at
}

// piece is a length that a board is crosscut into.
type piece struct {
	l    int // length class
	from nm  // where it begins
}

// board returns the most that a board is worth, and the pieces it is crosscut
// into, from the far end.
func (t *tables) board(k kind, segs []segment) (int64, []piece) {
	if !t.p.crosscuts() {
		worth := t.stripWorth(k.group, 0, k.rip)
		if worth == 0 {
			return 0, nil
		}
		return worth, []piece{{}}
	}
	l := t.face(k, segs)
	var pieces []piece
	t.arena.trace(l.hi-1, func(item, _ int32, from nm) { pieces = append(pieces, piece{int(item), from}) })
	return t.arena.states[l.hi-1].worth, pieces
}

// billets returns the width classes of the best billets of a length.
func (t *tables) billets(g, l int, rip nm) []int {
	if !t.p.rips() {
		return []int{0}
	}
	s := t.strip(g, l)
	var wids []int
	if i := t.arena.best(s.list, rip); i >= s.list.lo {
		t.arena.trace(i, func(item, _ int32, _ nm) { wids = append(wids, int(item)) })
	}
	return wids
}

// contents adds the leaves of the best billet of classes to a count per item.
func (t *tables) contents(g, l, w int, add func(item, count int)) {
	gr := &t.p.groups[g]
	if gr.room[l] < 0 {
		return
	}
	lists := t.leaves(gr.set, l)
	if i := t.arena.best(lists[w], gr.room[l]); i >= lists[w].lo {
		t.arena.trace(i, func(item, count int32, _ nm) { add(int(item), int(count)) })
	}
}
