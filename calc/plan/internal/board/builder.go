package board

import "slices"

// Layout is how one board is cut.
type Layout struct {
	Kind   int
	Strips []Strip
}

// Strip is a length of a board, ripped into billets.
type Strip struct {
	Piece
	Billets []Billet
}

// Billet is a piece to resaw: its width class and the sets sawn from it.
type Billet struct {
	W    int
	Sets []Sets
}

// Builder makes layouts that keep within the limits of a question as a whole,
// where the tables keep within them only in each billet.
type Builder struct {
	T     *Tables
	value []int64
	left  []int // sets that may still be cut
	Spare Arena // of remainder
	items []int // of wanted
}

// Arenas returns the arenas that hold its lists.
func (b *Builder) Arenas() []*Arena { return []*Arena{&b.T.Arena, &b.Spare} }

// NewBuilder returns a builder of layouts of a problem.
func NewBuilder(p *Problem) *Builder { return &Builder{T: NewTables(p), Spare: p.NewArena()} }

// start sets the question for one kind of board.
func (b *Builder) start(k int, value []int64, limit []int) {
	b.value, b.left = value, slices.Clone(limit)
	g := b.T.P.Groups[b.T.P.Kinds[k].Group]
	b.T.Deep[g.Set] = slices.Max(g.Room)
	b.T.Ask(b.value, b.left)
}

// whole returns the strips of the pieces as the tables have them, if all
// together keep within the limits.
func (b *Builder) whole(kd Kind, pieces []Piece) ([]Strip, bool) {
	left := slices.Clone(b.left)
	var strips []Strip
	for _, pc := range pieces {
		s := Strip{Piece: pc}
		for _, w := range b.T.billets(kd.Group, pc.L, kd.Rip) {
			s.Billets = append(s.Billets, Billet{w, b.contents(kd.Group, pc.L, w)})
			if !Take(left, s.Billets[len(s.Billets)-1].Sets) {
				return nil, false
			}
		}
		strips = append(strips, s)
	}
	return strips, true
}

// Take takes sets from what is left and tells whether there were enough.
func Take(left []int, sets []Sets) bool {
	ok := true
	for _, s := range sets {
		left[s.Item] -= s.Count
		ok = ok && left[s.Item] >= 0
	}
	return ok
}

// contents returns the sets of the best billet of classes.
func (b *Builder) contents(g, l, w int) []Sets {
	var sets []Sets
	b.T.contents(g, l, w, func(item, count int) { sets = AddPiece(sets, item, count) })
	return sets
}

// AddPiece adds copies of an item to pieces sorted by item.
func AddPiece(sets []Sets, item, count int) []Sets {
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
func (b *Builder) mend(k int, pieces []Piece) Layout {
	kd := b.T.P.Kinds[k]
	lay := Layout{Kind: k}
	left := slices.Clone(b.left)
	for _, pc := range pieces {
		s := Strip{Piece: pc}
		for _, w := range b.T.billets(kd.Group, pc.L, kd.Rip) {
			s.Billets = append(s.Billets, Billet{w, Clip(b.contents(kd.Group, pc.L, w), left)})
		}
		lay.Strips = append(lay.Strips, s)
	}
	return b.Top(lay, b.value, left)
}

// Clip takes sets from what is left and returns those that were there.
func Clip(sets []Sets, left []int) []Sets {
	for i := range sets {
		sets[i].Count = min(sets[i].Count, left[sets[i].Item])
		left[sets[i].Item] -= sets[i].Count
	}
	return slices.DeleteFunc(sets, func(p Sets) bool { return p.Count == 0 })
}

// Top saws what is left from the remainders of the billets of a layout, as far
// as it fits and is worth most. It takes it from what is left, and returns the
// layout, or a changed copy.
func (b *Builder) Top(lay Layout, value []int64, left []int) Layout {
	g, copied := b.T.P.Groups[b.T.P.Kinds[lay.Kind].Group], false
	wanted, least := b.Wanted(g.Set, value, left)
	for i, st := range lay.Strips {
		for j, bl := range st.Billets {
			room := g.Room[st.L] - b.T.P.thickness(bl.Sets)
			if room < least {
				continue
			}
			more := b.Remainder(wanted, st.L, bl.W, room, value, left)
			if len(more) == 0 {
				continue
			}
			Take(left, more)
			if !copied {
				lay, copied = lay.Clone(), true
			}
			sets := &lay.Strips[i].Billets[j].Sets
			for _, pc := range more {
				*sets = AddPiece(*sets, pc.Item, pc.Count)
			}
		}
	}
	return lay
}

// thickness returns what sets take of a billet.
func (p *Problem) thickness(sets []Sets) nm {
	var sum nm
	for _, pc := range sets {
		sum += nm(pc.Count) * p.Items[pc.Item].Size
	}
	return sum
}

// Wanted returns the items of a set of which something is left that is worth
// anything, and the least thickness of one.
func (b *Builder) Wanted(set int, value []int64, left []int) (items []int, least nm) {
	items, least = b.items[:0], Nowhere
	for _, i := range b.T.P.Sets[set] {
		if left[i] > 0 && value[i] > 0 {
			items, least = append(items, i), min(least, b.T.P.Items[i].Size)
		}
	}
	b.items = items
	return items, least
}

// Remainder returns the sets of some items that are worth most of those that
// fit a remainder of a billet of classes.
func (b *Builder) Remainder(items []int, l, w int, room nm, value []int64, left []int) []Sets {
	a := &b.Spare
	a.Reset()
	at := a.Start()
	for _, i := range items {
		if it := b.T.P.Items[i]; it.Wid <= w && it.Len <= l && it.Size <= room && left[i] > 0 {
			at = a.Limited(at, int32(i), it.Size, value[i], left[i], room)
		}
	}
	var sets []Sets
	a.Trace(at.Hi-1, func(item, count int32, _ nm) { sets = AddPiece(sets, int(item), int(count)) })
	return sets
}

// Pieces returns how many of each item a layout gives.
func (lay Layout) Pieces() []Sets {
	var all []Sets
	for _, s := range lay.Strips {
		for _, bl := range s.Billets {
			for _, set := range bl.Sets {
				if set.Count > 0 {
					all = AddPiece(all, set.Item, set.Count)
				}
			}
		}
	}
	return all
}
