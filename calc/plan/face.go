package plan

import (
	"cmp"
	"math"
	"slices"
)

// face holds the knapsacks of a board's face at some multipliers, for the
// length and width classes that are live.
type face struct {
	p     *problem
	kd    kind
	high  int   // width classes that stand in the saw
	items []int // in question, the narrowest first
	rate  []int // the same, the most value for their thickness first
	value []int64
	limit []int
	live  [][]int32
	arena arena
	stack stack
	wide  []ripped // by length class
	whole map[piece]filled
	over  bool // a billet was not weighed in full
}

// ripped is what a length of a class can be ripped into.
type ripped struct {
	lists []list  // with the widths up to each live class
	worth []int64 // of a billet of each live class, or of a narrower one that is worth no less
}

func newFace(p *problem) *face {
	return &face{p: p, high: p.highest(), wide: make([]ripped, len(p.lens)), whole: map[piece]filled{}}
}

// joined tells whether the kerf behind a segment reaches into the next one: then
// they cannot be laid out one by one.
func (f *face) joined() bool {
	for i, s := range f.kd.segs {
		if i > 0 && s.from-f.kd.segs[i-1].to < f.p.order.CrosscutKerf {
			return true
		}
	}
	return false
}

// all returns the classes that any layout of the board may have.
func (f *face) all() [][]int32 {
	live := make([][]int32, len(f.p.lens))
	for l := range live {
		if f.room(l) < 0 {
			continue
		}
		for w := range f.high {
			if f.size(w) <= f.width() {
				live[l] = append(live[l], int32(w))
			}
		}
	}
	return live
}

// room returns the thickness for leaves of a billet of a length class.
func (f *face) room(l int) nm { return f.p.groups[f.kd.group].room[l] }

// size returns the width that a billet of a class takes, its kerf included.
func (f *face) size(w int) nm {
	if !f.p.rips() {
		return 1
	}
	return f.p.wids[w] + f.p.order.RipKerf
}

// width returns what there is to rip, a kerf included.
func (f *face) width() nm {
	if !f.p.rips() {
		return 1
	}
	return f.kd.rip
}

// ask sets the values and the live classes.
func (f *face) ask(value []int64, limit []int, live [][]int32) {
	f.value, f.limit, f.live = value, limit, live
	f.arena.reset()
	clear(f.wide)
	clear(f.whole)
	f.over = false
	f.items = f.items[:0]
	for _, i := range f.p.sets[f.p.groups[f.kd.group].set] {
		if value[i] > 0 && limit[i] > 0 {
			f.items = append(f.items, i)
		}
	}
	f.rate = append(f.rate[:0], f.items...)
	slices.SortStableFunc(f.items, func(x, y int) int { return f.p.items[x].wid - f.p.items[y].wid })
	rate := func(i int) float64 { return float64(value[i]) / float64(f.p.items[i].size) }
	slices.SortStableFunc(f.rate, func(x, y int) int { return cmp.Compare(rate(y), rate(x)) })
}

// fill stacks a billet of classes: it returns what it is worth at most, if that
// is more than a floor, and else the floor.
func (f *face) fill(l, w int, floor int64) int64 {
	return f.pile(l, w, f.limit, f.room(l), floor)
}

// pile is fill for a limit and a room of its own.
func (f *face) pile(l, w int, limit []int, room nm, floor int64) int64 {
	f.stack.items = f.stack.items[:0]
	for _, i := range f.rate {
		if it := &f.p.items[i]; it.len <= l && it.wid <= w && it.size <= room && limit[i] > 0 {
			most := min(nm(limit[i]), room/it.size)
			f.stack.items = append(f.stack.items, stackItem{i, it.size, f.value[i], int(most), float64(f.value[i]) / float64(it.size)})
		}
	}
	worth := f.stack.fill(room, floor)
	f.over = f.over || f.stack.arena.full
	return worth
}

// full tells whether something was left out, so that nothing is bounded.
func (f *face) full() bool { return f.over || f.arena.full }

// sets returns the sets of the billet that was weighed last.
func (f *face) sets(sets []Sets) []Sets {
	a := &f.stack.arena
	a.trace(int32(len(a.states))-1, func(item, count int32, _ nm) { sets = addPiece(sets, int(item), int(count)) })
	return sets
}

// within returns the billet of classes that is worth most and holds what it must.
func (f *face) within(l, w int, s stacked) filled {
	var b filled
	limit, room := slices.Clone(s.high), f.room(l)
	for i, n := range s.low {
		if n > 0 {
			b.worth += int64(n) * f.value[i]
			b.sets = addPiece(b.sets, i, n)
			limit[i] -= n
			room -= nm(n) * f.p.items[i].size
		}
	}
	if room < 0 {
		return filled{worth: worthless}
	}
	if more := f.pile(l, w, limit, room, 0); more > 0 {
		b.worth, b.sets = b.worth+more, f.sets(b.sets)
	}
	return b
}

// worthless is the worth of what cannot be: no sum of them is out of range.
const worthless = math.MinInt64 / 4096

// filled is the billet of classes that is worth most.
type filled struct {
	worth int64
	sets  []Sets
}

// billet returns the billet of classes that is worth most.
func (f *face) billet(l, w int) filled {
	at := piece{l, nm(w)}
	b, ok := f.whole[at]
	if !ok {
		if b.worth = f.fill(l, w, 0); b.worth > 0 {
			b.sets = f.sets(nil)
		}
		f.whole[at] = b
	}
	return b
}

// fewWidths is up to how many widths billets are filled one by one.
const fewWidths = 5

// stacks returns what billets of a length class are worth at most, by live
// width class, or what a narrower one is worth that is worth no less.
func (f *face) stacks(l int) []int64 {
	live := f.live[l]
	worth := make([]int64, len(live))
	if len(live) > fewWidths {
		f.prefixes(l, worth)
		return worth
	}
	var best int64
	for n, w := range live {
		best = f.fill(l, int(w), best)
		worth[n] = best
	}
	return worth
}

// prefixes is stacks for many widths: the list for a width goes on from that
// for the one before.
func (f *face) prefixes(l int, worth []int64) {
	at, n, room := f.arena.start(), 0, f.room(l)
	live := f.live[l]
	for _, i := range f.items {
		it := f.p.items[i]
		if it.len > l || it.size > room {
			continue
		}
		for n < len(live) && int(live[n]) < it.wid {
			worth[n] = f.arena.worth(at, room)
			n++
		}
		if n == len(live) {
			return
		}
		at = f.arena.limited(at, int32(i), it.size, f.value[i], f.limit[i], room)
	}
	for ; n < len(live); n++ {
		worth[n] = f.arena.worth(at, room)
	}
}

// rips returns what a length of a class can be ripped into.
func (f *face) rips(l int) ripped {
	if f.wide[l].lists != nil {
		return f.wide[l]
	}
	r := ripped{worth: f.stacks(l)}
	at := f.arena.start()
	var best int64
	for n, w := range f.live[l] {
		if x := r.worth[n]; x > best {
			best = x
			at = f.arena.often(at, step{w, 1, f.size(int(w)), x}, f.width())
		}
		r.lists = append(r.lists, at)
	}
	f.wide[l] = r
	return r
}

// strip returns what a length of a class and a width is worth at most, with
// the widths up to a class.
func (f *face) strip(l, w int, rip nm) int64 {
	if n := upTo(f.live[l], w); n >= 0 {
		return f.arena.worth(f.rips(l).lists[n], rip)
	}
	return 0
}

// upTo returns the index of the last of some rising classes up to one, or -1.
func upTo(live []int32, w int) int {
	n, found := slices.BinarySearch(live, int32(w))
	if !found {
		n--
	}
	return n
}

// segment returns what a segment can be crosscut into: the size of a state is
// the length used, kerfs included.
func (f *face) segment(s segment) list {
	worth := make([]int64, len(f.p.lens))
	for l := 0; l <= s.most; l++ {
		if s.from+f.p.lens[l] <= s.to && len(f.live[l]) > 0 {
			worth[l] = f.strip(l, f.high-1, f.width())
		}
	}
	at := f.arena.start()
	kerf := f.p.order.CrosscutKerf
	var best int64
	for l, x := range worth {
		if x > best {
			best = x
			at = f.arena.often(at, step{int32(l), 1, f.p.lens[l] + kerf, x}, s.to-s.from+kerf)
		}
	}
	return at
}

// laid returns the billets that are laid out, filled.
func (f *face) laid(x *faceNode) []filled {
	var all []filled
	for _, st := range x.strips {
		for _, bl := range st.billets {
			if x.stacks != nil {
				all = append(all, f.within(st.l, bl.w, x.stacks[len(all)]))
			} else {
				all = append(all, f.billet(st.l, bl.w))
			}
		}
	}
	return all
}

// worth returns what a node is worth at most.
func (f *face) worth(x *faceNode) int64 {
	var sum int64
	for _, b := range f.laid(x) {
		sum += b.worth
	}
	if x.rip > 0 {
		sum += f.strip(x.strips[len(x.strips)-1].l, x.w, x.rip)
	}
	for _, s := range x.segs {
		sum += f.arena.worth(f.segment(s), nowhere-1)
	}
	return sum
}

// strips returns the strips of a node that are worth most, the limits of the
// board ignored.
func (f *face) strips(x *faceNode) []strip {
	strips := layout{strips: x.strips}.clone().strips
	if x.rip > 0 {
		f.rip(&strips[len(strips)-1], x.w, x.rip)
	}
	for _, s := range x.segs {
		l := f.segment(s)
		f.arena.trace(l.hi-1, func(item, _ int32, from nm) {
			st := strip{piece: piece{int(item), s.from + from}}
			f.rip(&st, f.high-1, f.width())
			strips = append(strips, st)
		})
	}
	laid, n := f.laid(x), 0
	for _, st := range strips {
		for i := range st.billets {
			bl := &st.billets[i]
			if n < len(laid) {
				bl.sets = slices.Clone(laid[n].sets)
			} else {
				bl.sets = slices.Clone(f.billet(st.l, bl.w).sets)
			}
			n++
		}
	}
	return strips
}

// rip adds to a strip the billets that are worth most.
func (f *face) rip(st *strip, w int, rip nm) {
	n := upTo(f.live[st.l], w)
	if n < 0 {
		return
	}
	l := f.rips(st.l).lists[n]
	if i := f.arena.best(l, rip); i >= l.lo {
		f.arena.trace(i, func(item, _ int32, _ nm) { st.billets = append(st.billets, billet{w: int(item)}) })
	}
}

// alive returns the classes that a layout of a node may have that is worth
// more than a floor.
func (f *face) alive(x *faceNode, floor int64) [][]int32 {
	whole := f.worth(x)
	segs := make([]list, len(x.segs))
	for i, s := range x.segs {
		segs[i] = f.segment(s)
	}
	live := make([][]int32, len(f.live))
	for l, wids := range f.live {
		if len(wids) == 0 {
			continue
		}
		next, open := f.without(x, l, whole, segs)
		if max(next, open) < 0 {
			continue
		}
		worth := f.rips(l).worth
		for n, w := range wids {
			size := f.size(int(w))
			if next >= 0 && next+worth[n]+f.strip(l, f.high-1, f.width()-size) > floor ||
				open >= 0 && int(w) <= x.w && size <= x.rip && open+worth[n]+f.strip(l, x.w, x.rip-size) > floor {
				live[l] = append(live[l], w)
			}
		}
	}
	return live
}

// without returns what a node is worth at most apart from a strip of a length
// class: a further one, and the open one. It is -1 where there is none.
func (f *face) without(x *faceNode, l int, whole int64, segs []list) (next, open int64) {
	next, open = -1, -1
	for i, s := range x.segs {
		if left := s.to - s.from - f.p.lens[l]; l <= s.most && left >= 0 {
			next = max(next, whole-f.arena.worth(segs[i], nowhere-1)+f.arena.worth(segs[i], left))
		}
	}
	if x.rip > 0 && x.strips[len(x.strips)-1].l == l {
		open = whole - f.strip(l, x.w, x.rip)
	}
	return next, open
}
