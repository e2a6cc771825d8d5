package plan

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// lister lists all that a board of a kind can give and that is worth a floor.
// A lot that cannot come to the floor with the best of what there is room for
// beside it is dropped, and so is one that gives what a smaller one gives: what
// is left is few where the floor is near what the board is worth at most.
//
// Source: enumeration of all columns within the gap: Baldacci, Christofides and
// Mingozzi, Mathematical Programming 115 (2008) 351-385 (from memory).
type lister struct {
	p      *problem
	t      *tables // at the dear values
	kd     kind
	items  []int   // in question: they are worth something
	value  []int64 // of items in question
	dear   []int64 // less what the multipliers take
	limit  []byte
	joined []byte       // of two lots
	least  int64        // that the lots of a board are worth, at the dear values
	clean  list         // crosscuts of a stretch without defects
	budget int          // steps left
	gone   func() error // tells that time is up
	stacks []lot
	ripped [][]lot // by length class
	strips []lot   // those of ripped that matter
	made   []lot   // of boards
	boards []lot   // those of made that matter
}

// lot is what a billet, a strip or a board can give.
type lot struct {
	sets string // of items in question, a byte each, no more than the need
	dear int64
	size nm    // it takes, kerf included; of a board: where the next piece may begin
	from int32 // the lot it grew from, -1 for none
	part int32 // the stack or strip that was added to that
	at   int32 // width class of a stack, length class of a strip
}

// mostSets is the largest need of an item that a byte holds.
const mostSets = math.MaxUint8

// newLister returns a lister for some values and multipliers, which has the tables to
// itself until it has listed, false where the need is too large for it.
func newLister(t *tables, k int, value []int64, share []float64, need []int) (*lister, bool) {
	s := &lister{p: t.p, t: t, kd: t.p.kinds[k]}
	dear := make([]int64, len(value))
	for _, i := range t.p.sets[t.p.groups[s.kd.group].set] {
		if value[i] == 0 || need[i] == 0 {
			continue
		}
		if need[i] > mostSets {
			return nil, false
		}
		dear[i] = max(1, value[i]-int64(share[i]*float64(value[i]))) // worth something: the tables leave out what is not
		s.items = append(s.items, i)
	}
	rate := func(i int) float64 { return float64(dear[i]) / float64(t.p.items[i].size) }
	slices.SortStableFunc(s.items, func(x, y int) int { return cmp.Compare(rate(y), rate(x)) })
	for _, i := range s.items {
		s.value, s.dear, s.limit = append(s.value, value[i]), append(s.dear, dear[i]), append(s.limit, byte(need[i]))
		s.least -= (value[i] - dear[i]) * int64(need[i])
	}
	g := t.p.groups[s.kd.group]
	t.deep[g.set] = slices.Max(g.room)
	t.ask(dear, need)
	return s, true
}

// list lists the lots of a board that are worth a floor, and tells whether these
// are all: not when the budget of steps or the time is up.
func (s *lister) list(ctx context.Context, floor int64, budget int) bool {
	s.least += floor
	s.budget, s.gone = budget, ctx.Err
	s.ripped = make([][]lot, len(s.p.lens))
	if !s.p.crosscuts() {
		s.made = s.rip(0, 0)
	} else {
		s.made = s.crosscut()
	}
	if s.budget < 0 || s.t.arena.full {
		return false
	}
	for _, x := range s.made {
		if x.worth(s.value) >= floor {
			s.boards = append(s.boards, x)
		}
	}
	return true
}

// most returns what a board is worth at most, if that is the floor or more.
func (s *lister) most() int64 {
	var most int64
	for _, x := range s.boards {
		most = max(most, x.worth(s.value))
	}
	return most
}

// worth returns what a lot is worth at the values of the items in question.
func (x lot) worth(value []int64) int64 {
	var sum int64
	for n := range len(x.sets) {
		sum += int64(x.sets[n]) * value[n]
	}
	return sum
}

// crosscut lists what the face of the board can be crosscut into.
func (s *lister) crosscut() []lot {
	kerf := s.p.order.CrosscutKerf
	s.clean = s.t.face(s.kd, []segment{{0, s.kd.longest(), len(s.p.lens) - 1}})
	var whole int64
	for _, g := range s.kd.segs {
		whole += s.face(g.to - g.from + kerf)
	}
	classes := make([][]int32, len(s.p.lens)) // indices of strips
	for l, long := range s.p.lens {
		rest := int64(-1)
		for _, g := range s.kd.segs {
			if room := g.to - g.from; long <= room {
				rest = max(rest, whole-s.face(room+kerf)+s.face(room-long))
			}
		}
		if rest < 0 || !s.t.live[s.p.groups[s.kd.group].set][l] {
			continue
		}
		for _, x := range s.rip(l, rest) {
			if x.dear+rest >= s.least && s.holds(x, func(it item) bool { return it.len == l }) { // or a shorter one would do
				s.budget -= lotSteps
				x.at = int32(l)
				classes[l] = append(classes[l], int32(len(s.strips)))
				s.strips = append(s.strips, x)
			}
		}
	}
	g := s.grower()
	for _, seg := range s.kd.segs {
		whole -= s.face(seg.to - seg.from + kerf)
		for i := range g.lots {
			g.lots[i].size = max(g.lots[i].size, seg.from)
		}
		for l, long := range s.p.lens {
			g.grow(s.strips, classes[l], long+kerf, seg.to+kerf, func(at nm) int64 { return whole + s.face(seg.to+kerf-at) })
		}
	}
	return g.lots
}

// longest returns the longest stretch without defects.
func (kd kind) longest() nm {
	var most nm
	for _, g := range kd.segs {
		most = max(most, g.to-g.from)
	}
	return most
}

// face returns what a stretch without defects is worth at most, kerf included.
func (s *lister) face(room nm) int64 { return s.t.arena.worth(s.clean, room) }

// holds tells whether a lot gives an item of some sort.
func (s *lister) holds(x lot, sort func(item) bool) bool {
	for n, i := range s.items {
		if x.sets[n] > 0 && sort(s.p.items[i]) {
			return true
		}
	}
	return false
}

// rip lists what a length of a class can be ripped into, when the rest of the
// board is worth so much at most.
func (s *lister) rip(l int, rest int64) []lot {
	g := s.grower()
	if !s.p.rips() {
		g.grow(s.stacks, s.stack(l, 0, rest), 1, 1, func(nm) int64 { return rest })
		s.ripped[l] = g.lots
		return g.lots
	}
	table := s.t.strip(s.kd.group, l).list
	worth := func(rip nm) int64 { return rest + s.t.arena.worth(table, rip) }
	for w := range s.t.high {
		if size := s.p.wids[w] + s.p.order.RipKerf; size <= s.kd.rip {
			g.grow(s.stacks, s.stack(l, w, worth(s.kd.rip-size)), size, s.kd.rip, func(at nm) int64 { return worth(s.kd.rip - at) })
		}
	}
	s.ripped[l] = g.lots
	return g.lots
}

// stack adds to the stacks what a billet of classes can be resawn into, when the
// rest of the board is worth so much at most, and returns their indices: full ones
// with an item of that width, as a narrower billet does for the others.
func (s *lister) stack(l, w int, rest int64) (some []int32) {
	var fit []int // positions
	for n, i := range s.items {
		if it := s.p.items[i]; it.len <= l && it.wid <= w {
			fit = append(fit, n)
		}
	}
	sets := make([]byte, len(s.items))
	var add func(n int, room nm, worth int64)
	add = func(n int, room nm, worth int64) {
		if s.budget--; s.budget < 0 {
			return
		}
		if n == len(fit) {
			x := lot{sets: string(sets), dear: worth, from: -1, part: -1, at: int32(w)}
			if worth+rest >= s.least && !s.open(fit, sets, room) && s.holds(x, func(it item) bool { return it.wid == w }) {
				s.budget -= lotSteps
				some = append(some, int32(len(s.stacks)))
				s.stacks = append(s.stacks, x)
			}
			return
		}
		at := fit[n]
		size := s.p.items[s.items[at]].size
		if worth+int64(float64(room)*float64(s.dear[at])/float64(size))+1+rest < s.least {
			return
		}
		for c := min(nm(s.limit[at]), room/size); c >= 0; c-- {
			sets[at] = byte(c)
			add(n+1, room-c*size, worth+int64(c)*s.dear[at])
		}
		sets[at] = 0
	}
	if room := s.p.groups[s.kd.group].room[l]; room > 0 {
		add(0, room, 0)
	}
	return some
}

// open tells whether there is room for a further set.
func (s *lister) open(fit []int, sets []byte, room nm) bool {
	return slices.ContainsFunc(fit, func(at int) bool {
		return sets[at] < s.limit[at] && s.p.items[s.items[at]].size <= room
	})
}

// grower makes lots of parts.
type grower struct {
	s    *lister
	lots []lot
	best map[string]int32 // the smallest lot, by what it gives
}

// grower returns a grower with the lot of nothing.
func (s *lister) grower() *grower {
	nothing := lot{sets: string(make([]byte, len(s.items))), from: -1, part: -1}
	return &grower{s, []lot{nothing}, map[string]int32{nothing.sets: 0}}
}

// grow adds lots with any number of some parts of a size added, up to a size of
// room. Rest is what a lot that takes so much may be worth more at most.
func (g *grower) grow(parts []lot, some []int32, size, room nm, rest func(nm) int64) {
	s := g.s
	slices.SortStableFunc(some, func(x, y int32) int { return cmp.Compare(parts[y].dear, parts[x].dear) })
	for i := 0; i < len(g.lots); i++ {
		if i%1024 == 0 && s.gone() != nil {
			s.budget = -1
		}
		x := g.lots[i]
		if x.size+size > room || int(g.best[x.sets]) != i {
			continue
		}
		least := s.least - rest(x.size+size)
		for _, n := range some {
			if x.dear+parts[n].dear < least {
				break
			}
			if s.budget--; s.budget < 0 {
				return
			}
			dear := s.join(&x, &parts[n])
			if dear < least || string(s.joined) == x.sets {
				continue
			}
			if at, ok := g.best[string(s.joined)]; ok && g.lots[at].size <= x.size+size {
				continue
			}
			s.budget -= lotSteps
			y := lot{sets: string(s.joined), dear: dear, size: x.size + size, from: int32(i), part: n}
			g.best[y.sets] = int32(len(g.lots))
			g.lots = append(g.lots, y)
		}
	}
}

// lotSteps is what it costs to keep a lot, in steps.
const lotSteps = 30

// join joins what two lots give, no more than the need, and returns what that is
// worth at the dear values.
func (s *lister) join(x, y *lot) (dear int64) {
	s.joined = append(s.joined[:0], x.sets...)
	for n, most := range s.limit {
		s.joined[n] += min(most-s.joined[n], y.sets[n])
		dear += int64(s.joined[n]) * s.dear[n]
	}
	return dear
}

// layout returns the layout of a lot of a board of a kind.
func (s *lister) layout(k int, x lot) layout {
	lay := layout{kind: k}
	if !s.p.crosscuts() {
		lay.strips = []strip{s.strip(0, 0, x)}
		return lay
	}
	for ; x.from >= 0; x = s.made[x.from] {
		st := s.strips[x.part]
		long := s.p.lens[st.at] + s.p.order.CrosscutKerf
		lay.strips = append(lay.strips, s.strip(int(st.at), x.size-long, st))
	}
	slices.Reverse(lay.strips)
	return lay
}

// strip returns the strip of a lot of a length class.
func (s *lister) strip(l int, from nm, x lot) strip {
	st := strip{piece: piece{l, from}}
	for ; x.from >= 0; x = s.ripped[l][x.from] {
		y := s.stacks[x.part]
		b := billet{w: int(y.at)}
		for n, i := range s.items {
			if y.sets[n] > 0 {
				b.sets = addPiece(b.sets, i, int(y.sets[n]))
			}
		}
		st.billets = append(st.billets, b)
	}
	return st
}
