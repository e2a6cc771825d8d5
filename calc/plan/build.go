package plan

import (
	"slices"
)

// layout is how one board is cut.
type layout struct {
	kind   int
	strips []strip
}

// strip is a length of a board, ripped into billets.
type strip struct {
	piece
	billets []billet
}

// billet is a piece to resaw: its width class and the sets sawn from it.
type billet struct {
	w    int
	sets []Sets
}

// builder makes layouts that keep within the limits of a question as a whole,
// where the tables keep within them only in each billet.
type builder struct {
	t     *tables
	value []int64
	left  []int // sets that may still be cut
	spare arena // of remainder
	items []int // of wanted
}

// newBuilder returns a builder of layouts of a problem.
func newBuilder(p *problem) *builder { return &builder{t: newTables(p)} }

// start sets the question for one kind of board.
func (b *builder) start(k int, value []int64, limit []int) {
	b.value, b.left = value, slices.Clone(limit)
	g := b.t.p.groups[b.t.p.kinds[k].group]
	b.t.deep[g.set] = slices.Max(g.room)
	b.t.ask(b.value, b.left)
}

// whole returns the strips of the pieces as the tables have them, if all
// together keep within the limits.
func (b *builder) whole(kd kind, pieces []piece) ([]strip, bool) {
	left := slices.Clone(b.left)
	var strips []strip
	for _, pc := range pieces {
		s := strip{piece: pc}
		for _, w := range b.t.billets(kd.group, pc.l, kd.rip) {
			s.billets = append(s.billets, billet{w, b.contents(kd.group, pc.l, w)})
			if !take(left, s.billets[len(s.billets)-1].sets) {
				return nil, false
			}
		}
		strips = append(strips, s)
	}
	return strips, true
}

// take takes sets from what is left and tells whether there were enough.
func take(left []int, sets []Sets) bool {
	ok := true
	for _, s := range sets {
		left[s.Item] -= s.Count
		ok = ok && left[s.Item] >= 0
	}
	return ok
}

// contents returns the sets of the best billet of classes.
func (b *builder) contents(g, l, w int) []Sets {
	var sets []Sets
	b.t.contents(g, l, w, func(item, count int) { sets = addPiece(sets, item, count) })
	return sets
}

// addPiece adds copies of an item to pieces sorted by item.
func addPiece(sets []Sets, item, count int) []Sets {
	i, found := slices.BinarySearchFunc(sets, item, func(p Sets, item int) int { return p.Item - item })
	if found {
		sets[i].Count += count
		return sets
	}
	return slices.Insert(sets, i, Sets{Item: item, Count: count})
}

// mend returns the layout of pieces of a board as the tables have them, but
// within the limits: what is beyond them is left out, and what is still left
// is sawn from the thickness that becomes free.
func (b *builder) mend(k int, pieces []piece) layout {
	kd := b.t.p.kinds[k]
	lay := layout{kind: k}
	left := slices.Clone(b.left)
	for _, pc := range pieces {
		s := strip{piece: pc}
		for _, w := range b.t.billets(kd.group, pc.l, kd.rip) {
			s.billets = append(s.billets, billet{w, clip(b.contents(kd.group, pc.l, w), left)})
		}
		lay.strips = append(lay.strips, s)
	}
	return b.top(lay, b.value, left)
}

// clip takes sets from what is left and returns those that were there.
func clip(sets []Sets, left []int) []Sets {
	for i := range sets {
		sets[i].Count = min(sets[i].Count, left[sets[i].Item])
		left[sets[i].Item] -= sets[i].Count
	}
	return slices.DeleteFunc(sets, func(p Sets) bool { return p.Count == 0 })
}

// top saws what is left from the remainders of the billets of a layout, as far
// as it fits and is worth most. It takes it from what is left, and returns the
// layout, or a changed copy.
func (b *builder) top(lay layout, value []int64, left []int) layout {
	g, copied := b.t.p.groups[b.t.p.kinds[lay.kind].group], false
	wanted, least := b.wanted(g.set, value, left)
	for i, st := range lay.strips {
		for j, bl := range st.billets {
			room := g.room[st.l] - b.t.p.thickness(bl.sets)
			if room < least {
				continue
			}
			more := b.remainder(wanted, st.l, bl.w, room, value, left)
			if len(more) == 0 {
				continue
			}
			take(left, more)
			if !copied {
				lay, copied = lay.clone(), true
			}
			sets := &lay.strips[i].billets[j].sets
			for _, pc := range more {
				*sets = addPiece(*sets, pc.Item, pc.Count)
			}
		}
	}
	return lay
}

// thickness returns what sets take of a billet.
func (p *problem) thickness(sets []Sets) nm {
	var sum nm
	for _, pc := range sets {
		sum += nm(pc.Count) * p.items[pc.Item].size
	}
	return sum
}

// wanted returns the items of a set of which something is left that is worth
// anything, and the least thickness of one.
func (b *builder) wanted(set int, value []int64, left []int) (items []int, least nm) {
	items, least = b.items[:0], nowhere
	for _, i := range b.t.p.sets[set] {
		if left[i] > 0 && value[i] > 0 {
			items, least = append(items, i), min(least, b.t.p.items[i].size)
		}
	}
	b.items = items
	return items, least
}

// remainder returns the sets of some items that are worth most of those that
// fit a remainder of a billet of classes.
func (b *builder) remainder(items []int, l, w int, room nm, value []int64, left []int) []Sets {
	a := &b.spare
	a.reset()
	at := a.start()
	for _, i := range items {
		if it := b.t.p.items[i]; it.wid <= w && it.len <= l && it.size <= room && left[i] > 0 {
			at = a.limited(at, int32(i), it.size, value[i], left[i], room)
		}
	}
	var sets []Sets
	a.trace(at.hi-1, func(item, count int32, _ nm) { sets = addPiece(sets, int(item), int(count)) })
	return sets
}

// pieces returns how many of each item a layout gives.
func (lay layout) pieces() []Sets {
	var all []Sets
	for _, s := range lay.strips {
		for _, bl := range s.billets {
			for _, set := range bl.sets {
				if set.Count > 0 {
					all = addPiece(all, set.Item, set.Count)
				}
			}
		}
	}
	return all
}
