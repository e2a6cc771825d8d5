package layouts

import (
	"cmp"
	"math"
	"slices"

	"resawd/calc/plan/internal/board"
)

// face holds the knapsacks of a board's face at some multipliers, for the
// length and width classes that are live.
type face struct {
	p     *board.Problem
	kd    board.Kind
	high  int   // width classes that stand in the saw
	items []int // in question, the narrowest first
	rate  []int // the same, the most value for their thickness first
	value []int64
	limit []int
	live  [][]int32
	arena board.Arena
	sack  board.Knapsack
	wide  []ripped // by length class
	whole map[board.Piece]filled
	over  bool // a billet was not weighed in full
}

// ripped is what a length of a class can be ripped into.
type ripped struct {
	lists []board.List // with the widths up to each live class
	worth []int64      // of a billet of each live class, or of a narrower one that is worth no less
}

func newFace(p *board.Problem) *face {
	return &face{p: p, high: p.Highest(), arena: p.NewArena(), sack: board.Knapsack{Arena: p.NewArena()},
		wide: make([]ripped, len(p.Lens)), whole: map[board.Piece]filled{}}
}

// joined tells whether the kerf behind a segment reaches into the next one: then
// they cannot be laid out one by one.
func (f *face) joined() bool {
	for i, s := range f.kd.Segs {
		if i > 0 && s.From-f.kd.Segs[i-1].To < f.p.Order.CrosscutKerf {
			return true
		}
	}
	return false
}

// all returns the classes that any layout of the board may have.
func (f *face) all() [][]int32 {
	live := make([][]int32, len(f.p.Lens))
	for l := range live {
		if f.room(l) < 0 || !f.gains(l, f.p.Longer) {
			continue
		}
		for w := range f.high {
			if f.size(w) <= f.width() && f.gains(w, f.p.Wider) {
				live[l] = append(live[l], int32(w))
			}
		}
	}
	return live
}

// gains tells whether leaves of a class may have more places for an item than those of
// the class before. Where no leaves are divided, classes are few.
func (f *face) gains(class int, more func(i, class int) bool) bool {
	set := f.p.Sets[f.p.Groups[f.kd.Group].Set]
	return !f.p.Divides() || slices.ContainsFunc(set, func(i int) bool { return more(i, class) })
}

// room returns the thickness for leaves of a billet of a length class.
func (f *face) room(l int) nm { return f.p.Groups[f.kd.Group].Room[l] }

// size returns the width that a billet of a class takes, its kerf included.
func (f *face) size(w int) nm {
	if !f.p.Rips() {
		return 1
	}
	return f.p.Wids[w] + f.p.Order.RipKerf
}

// width returns what there is to rip, a kerf included.
func (f *face) width() nm {
	if !f.p.Rips() {
		return 1
	}
	return f.kd.Rip
}

// ask sets the values and the live classes.
func (f *face) ask(value []int64, limit []int, live [][]int32) {
	f.value, f.limit, f.live = value, limit, live
	f.arena.Reset()
	clear(f.wide)
	clear(f.whole)
	f.over = false
	f.items = f.items[:0]
	for _, i := range f.p.Sets[f.p.Groups[f.kd.Group].Set] {
		if value[i] > 0 && limit[i] > 0 {
			f.items = append(f.items, i)
		}
	}
	f.rate = append(f.rate[:0], f.items...)
	slices.SortStableFunc(f.items, func(x, y int) int { return f.p.Items[x].Wid - f.p.Items[y].Wid })
	rate := func(i int) float64 { return float64(value[i]) / float64(f.p.Items[i].Size) }
	slices.SortStableFunc(f.rate, func(x, y int) int { return cmp.Compare(rate(y), rate(x)) })
}

// fill stacks a billet of classes: it returns what it is worth at most, if that
// is more than a floor, and else the floor.
func (f *face) fill(l, w int, floor int64) int64 {
	return f.pile(l, w, f.limit, f.room(l), floor, f.p.MountSteps(f.kd.Group, l))
}

// set returns the set of items that the board may give.
func (f *face) set() int { return f.p.Groups[f.kd.Group].Set }

// pile is fill for a limit and a room of its own, and a billet that costs something to
// mount.
func (f *face) pile(l, w int, limit []int, room nm, floor, mount int64) int64 {
	f.sack.Clear()
	for _, i := range f.rate {
		if n := f.p.Places(i, l, w); n > 0 && limit[i] > 0 {
			f.sack.Add(i, f.p.Items[i].Size, f.value[i], limit[i], n, f.p.SetSteps(f.set(), i, l), room)
		}
	}
	if f.p.Divides() || f.p.Priced() {
		f.sack.Sort()
	}
	worth := f.sack.Mounted(room, floor, mount)
	f.over = f.over || f.sack.Arena.Full
	return worth
}

// full tells whether something was left out, so that nothing is bounded.
func (f *face) full() bool { return f.over || f.arena.Full }

// stacked adds the stacks of the billet that was weighed last, of classes.
func (f *face) stacked(stacks []board.Stack, l, w int) []board.Stack {
	a := &f.sack.Arena
	a.Trace(int32(len(a.States))-1, func(item, count int32, _ nm) { stacks = f.p.Add(stacks, int(item), int(count), l, w) })
	return stacks
}

// within returns the billet of classes that is worth most and holds what it must.
func (f *face) within(l, w int, s stacked) filled {
	var b filled
	limit, room := make([]int, len(s.high)), f.room(l)
	mount := f.p.MountSteps(f.kd.Group, l)
	for i, n := range s.low {
		places := max(1, f.p.Places(i, l, w))
		limit[i] = min(f.limit[i], places*s.high[i]) - places*n
		if n > 0 {
			b.worth += int64(min(f.limit[i], places*n))*f.value[i] - int64(n)*f.p.SetSteps(f.set(), i, l) - mount
			mount = 0
			b.stacks = f.p.Add(b.stacks, i, n, l, w)
			room -= nm(n) * f.p.Items[i].Size
		}
	}
	if room < 0 {
		return filled{worth: worthless}
	}
	if more := f.pile(l, w, limit, room, 0, mount); more > 0 {
		b.worth, b.stacks = b.worth+more, f.stacked(b.stacks, l, w)
	}
	return b
}

// worthless is the worth of what cannot be: no sum of them is out of range.
const worthless = math.MinInt64 / 4096

// filled is the billet of classes that is worth most.
type filled struct {
	worth  int64
	stacks []board.Stack
}

// billet returns the billet of classes that is worth most.
func (f *face) billet(l, w int) filled {
	at := board.Piece{L: l, From: nm(w)}
	b, ok := f.whole[at]
	if !ok {
		if b.worth = f.fill(l, w, 0); b.worth > 0 {
			b.stacks = f.stacked(nil, l, w)
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
	if len(live) > fewWidths && !f.p.Divides() && !f.p.Priced() {
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
	at, n, room := f.arena.Start(), 0, f.room(l)
	live := f.live[l]
	for _, i := range f.items {
		it := f.p.Items[i]
		if it.Len > l || it.Size > room {
			continue
		}
		for n < len(live) && int(live[n]) < it.Wid {
			worth[n] = f.arena.Worth(at, room)
			n++
		}
		if n == len(live) {
			return
		}
		at = f.arena.Limited(at, int32(i), it.Size, f.value[i], f.limit[i], room)
	}
	for ; n < len(live); n++ {
		worth[n] = f.arena.Worth(at, room)
	}
}

// rips returns what a length of a class can be ripped into.
func (f *face) rips(l int) ripped {
	if f.wide[l].lists != nil {
		return f.wide[l]
	}
	r := ripped{worth: f.stacks(l)}
	at := f.arena.Start()
	var best int64
	for n, w := range f.live[l] {
		if x := r.worth[n]; x > best {
			best = x
			at = f.arena.Often(at, board.Step{Item: w, Count: 1, Size: f.size(int(w)), Worth: x}, f.width())
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
		return f.arena.Worth(f.rips(l).lists[n], rip)
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
func (f *face) segment(s board.Segment) board.List {
	worth := make([]int64, len(f.p.Lens))
	for l := 0; l <= s.Most; l++ {
		if s.From+f.p.Lens[l] <= s.To && len(f.live[l]) > 0 {
			worth[l] = f.strip(l, f.high-1, f.width())
		}
	}
	at := f.arena.Start()
	kerf := f.p.Order.CrosscutKerf
	var best int64
	for l, x := range worth {
		if x > best {
			best = x
			at = f.arena.Often(at, board.Step{Item: int32(l), Count: 1, Size: f.p.Lens[l] + kerf, Worth: x}, s.To-s.From+kerf)
		}
	}
	return at
}
