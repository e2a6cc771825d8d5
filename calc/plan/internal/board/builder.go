package board

import "slices"

// Layout is how one board is cut.
type Layout struct {
	Kind   int
	Strips []Strip
	Kits   []int // of each kind, that are made of what it gives; nil: none
}

// Strip is a length of a board, ripped into billets.
type Strip struct {
	Piece
	Billets []Billet
}

// Billet is a piece to resaw: its width class and the leaves sawn from it.
type Billet struct {
	W      int
	Stacks []Stack
}

// Stack is leaves of one item in a billet: a number of matched sets of leaves, each of
// which gives a set of the item in every place.
type Stack struct{ Item, Count, Places int }

// Sets returns how many sets of its item a stack gives.
func (s Stack) Sets() int { return s.Count * s.Places }

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
			s.Billets = append(s.Billets, Billet{w, b.T.contents(kd.Group, pc.L, w)})
			if !TakeStacks(left, s.Billets[len(s.Billets)-1].Stacks) {
				return nil, false
			}
		}
		strips = append(strips, s)
	}
	return strips, true
}

// Take takes sets from what is left and tells whether there were enough. What is taken
// beyond that leaves less than nothing.
func Take(left []int, sets []Sets) bool {
	ok := true
	for _, s := range sets {
		left[s.Item] -= s.Count
		ok = ok && left[s.Item] >= 0
	}
	return ok
}

// TakeStacks is Take for what stacks give.
func TakeStacks(left []int, stacks []Stack) bool {
	ok := true
	for _, s := range stacks {
		left[s.Item] -= s.Sets()
		ok = ok && left[s.Item] >= 0
	}
	return ok
}

// Add adds matched sets of leaves of an item to the stacks of a billet of classes,
// which are sorted by item.
func (p *Problem) Add(stacks []Stack, item, count, l, w int) []Stack {
	i, found := slices.BinarySearchFunc(stacks, item, func(s Stack, item int) int { return s.Item - item })
	if found {
		stacks[i].Count += count
		return stacks
	}
	return slices.Insert(stacks, i, Stack{item, count, p.Places(item, l, w)})
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
func (b *Builder) mend(k int, pieces []Piece) Layout {
	kd := b.T.P.Kinds[k]
	lay := Layout{Kind: k}
	left := slices.Clone(b.left)
	for _, pc := range pieces {
		s := Strip{Piece: pc}
		for _, w := range b.T.billets(kd.Group, pc.L, kd.Rip) {
			s.Billets = append(s.Billets, Billet{w, Clip(b.T.contents(kd.Group, pc.L, w), left)})
		}
		lay.Strips = append(lay.Strips, s)
	}
	return b.Mounted(b.Top(lay, b.value, left), b.value)
}

// Clip takes what stacks give from what is left and returns the leaves that were
// wanted: the last of them may give more than that.
func Clip(stacks []Stack, left []int) []Stack {
	for i := range stacks {
		s := &stacks[i]
		s.Count = min(s.Count, Leaves(left[s.Item], s.Places))
		left[s.Item] -= s.Sets()
	}
	return slices.DeleteFunc(stacks, func(s Stack) bool { return s.Count == 0 })
}

// Leaves returns how many matched sets of leaves give what is left, with so many places
// in a leaf.
func Leaves(left, places int) int { return (max(0, left) + places - 1) / places }

// Mounted returns a layout without the billets that are not worth the work on them.
func (b *Builder) Mounted(lay Layout, value []int64) Layout {
	p := b.T.P
	if !p.Priced() {
		return lay
	}
	for s := range lay.Strips {
		st := &lay.Strips[s]
		st.Billets = slices.DeleteFunc(slices.Clone(st.Billets), func(bl Billet) bool {
			worth := -p.billetSteps(p.Kinds[lay.Kind].Group, st.L, bl.Stacks)
			for _, x := range bl.Stacks {
				worth += int64(x.Sets()) * value[x.Item]
			}
			return worth <= 0
		})
	}
	lay.Strips = slices.DeleteFunc(lay.Strips, func(st Strip) bool { return len(st.Billets) == 0 })
	return lay
}

// Top saws what is left from the remainders of the billets of a layout, as far
// as it fits and is worth most. It takes it from what is left, and returns the
// layout, or a changed copy.
func (b *Builder) Top(lay Layout, value []int64, left []int) Layout {
	g, copied := b.T.P.Groups[b.T.P.Kinds[lay.Kind].Group], false
	wanted, least := b.Wanted(g.Set, value, left)
	for i, st := range lay.Strips {
		for j, bl := range st.Billets {
			room := g.Room[st.L] - b.T.P.thickness(bl.Stacks)
			if room < least {
				continue
			}
			more := b.Remainder(g.Set, wanted, st.L, bl.W, room, value, left)
			if len(more) == 0 {
				continue
			}
			TakeStacks(left, more)
			if !copied {
				lay, copied = lay.Clone(), true
			}
			stacks := &lay.Strips[i].Billets[j].Stacks
			for _, s := range more {
				*stacks = b.T.P.Add(*stacks, s.Item, s.Count, st.L, bl.W)
			}
		}
	}
	return lay
}

// thickness returns what stacks take of a billet.
func (p *Problem) thickness(stacks []Stack) nm {
	var sum nm
	for _, s := range stacks {
		sum += nm(s.Count) * p.Items[s.Item].Size
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

// Remainder returns the stacks of some items of a set that are worth most of those that
// fit a remainder of a billet of classes.
func (b *Builder) Remainder(set int, items []int, l, w int, room nm, value []int64, left []int) []Stack {
	a := &b.Spare
	a.Reset()
	at := a.Start()
	for _, i := range items {
		n, size := b.T.P.Places(i, l, w), b.T.P.Items[i].Size
		if n == 0 || size > room || left[i] <= 0 {
			continue
		}
		work := b.T.P.SetSteps(set, i, l)
		if worth := int64(n)*value[i] - work; worth > 0 {
			at = a.Limited(at, int32(i), size, worth, left[i]/n, room)
		}
		if worth := int64(left[i]%n)*value[i] - work; worth > 0 {
			at = a.once(at, Step{int32(i), 1, size, worth}, room)
		}
	}
	return b.T.P.trace(a, at.Hi-1, l, w)
}

// Pieces returns how many of each item a layout gives.
func (lay Layout) Pieces() []Sets {
	var all []Sets
	for _, s := range lay.Strips {
		for _, bl := range s.Billets {
			for _, s := range bl.Stacks {
				if s.Count > 0 {
					all = addPiece(all, s.Item, s.Sets())
				}
			}
		}
	}
	return all
}
