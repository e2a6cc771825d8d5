package board

import "sort"

// state is a size and the most that can be made of it: no other state of its
// list is as small and worth as much.
type state struct {
	Size  nm
	Worth int64
	from  int32 // the state that one more step led from, -1 for the first
	item  int16 // of that step, -1 for a step that adds nothing
	count int16 // copies of the item in that step
}

// List is a stretch of an arena's states, rising in size and in worth.
type List struct{ Lo, Hi int32 }

// Arena holds the states of many lists, so that a list may be traced back
// through those it grew from.
type Arena struct {
	States []state
	Work   int64
	Full   bool // states were left out: what is found can be cut, but bounds nothing
	noted  *bool
}

// NewArena returns an arena that notes with the problem when it was full.
func (p *Problem) NewArena() Arena { return Arena{noted: &p.Full} }

// fill notes that states are left out.
func (a *Arena) fill() {
	a.Full = true
	if a.noted != nil {
		*a.noted = true
	}
}

// maxStates keeps an arena within 5 MiB, and what its last list may add within
// twice that. The lists of thickness leave room for those of width and length.
const (
	maxStates = 200_000
	maxThick  = 150_000
	stateSize = 24 // bytes
)

// Bytes returns the memory that an arena holds.
func (a *Arena) Bytes() int { return stateSize * cap(a.States) }

// Free gives the memory of an arena back. It is empty then.
func (a *Arena) Free() { a.States = nil }

// Reset empties an arena.
func (a *Arena) Reset() { a.States, a.Full = a.States[:0], false }

// Start returns a list of one state of no size and no worth.
func (a *Arena) Start() List {
	a.States = append(a.States, state{from: -1, item: -1})
	n := int32(len(a.States))
	return List{n - 1, n}
}

// Step is what may be added to a state.
type Step struct {
	Item, Count int32
	Size        nm
	Worth       int64
}

// once returns the list of states that are reached from src with or without
// one step, up to a size of room.
func (a *Arena) once(src List, s Step, room nm) List { return a.merge(src, s, room, false) }

// Often is once for any number of steps.
func (a *Arena) Often(src List, s Step, room nm) List { return a.merge(src, s, room, true) }

// merge walks the states of src and the stepped states side by side in order
// of size and keeps those worth more than all smaller ones. The stepped states
// start from src, or from the new list itself when steps repeat. The states at
// the heads are held in variables: most of the time of a search is spent here.
//
// Source: Nemhauser and Ullmann 1969 (NU69).
func (a *Arena) merge(src List, s Step, room nm, repeat bool) List {
	if len(a.States) > maxStates {
		a.fill()
		return src
	}
	states, out := a.States, int32(len(a.States))
	next, base, end, last := src.Lo, src.Lo, src.Hi, room-s.Size
	if repeat {
		base, end = out, out
	}
	plain := states[next]
	size, worth := Nowhere, int64(-1) // of the next stepped state
	best := int64(-1)
	for {
		if size == Nowhere && base < end {
			if from := &states[base]; from.Size <= last {
				size, worth = from.Size+s.Size, from.Worth+s.Worth
			}
		}
		switch {
		case size < plain.Size || size == plain.Size && worth > plain.Worth:
			if worth > best {
				best = worth
				states = append(states, state{size, worth, base, int16(s.Item), int16(s.Count)})
				if repeat {
					end++
				}
			}
			base++
			size, worth = Nowhere, -1
			if end-out > maxStates { // steps that repeat reach far more states than they start from
				a.fill()
				a.Work += maxStates
				return src
			}
			continue
		case plain.Size == Nowhere:
			a.States = states
			a.Work += int64(len(states)) - int64(out) + int64(src.Hi-src.Lo)
			return List{out, int32(len(states))}
		case plain.Worth > best:
			best = plain.Worth
			states = append(states, plain)
			if repeat {
				end++
			}
		}
		if next++; next < src.Hi {
			plain = states[next]
		} else {
			plain.Size, plain.Worth = Nowhere, -1
		}
	}
}

// Nowhere is beyond all sizes.
const Nowhere = nm(1) << 62

// Limited returns the list reached with at most limit copies of an item: as
// steps of 1, 2, 4 ... copies, or any number where the room is the limit.
func (a *Arena) Limited(src List, item int32, size nm, worth int64, limit int, room nm) List {
	one := Step{item, 1, size, worth}
	if nm(limit) >= room/size {
		return a.Often(src, one, room)
	}
	for n := 1; limit > 0; n *= 2 {
		n = min(n, limit)
		limit -= n
		src = a.once(src, Step{item, int32(n), nm(n) * size, int64(n) * worth}, room)
	}
	return src
}

// grown is a list that grows by any numbers of steps, one kind after the other, and needs
// no more room than it has states in the end.
type grown struct {
	List
	a    *Arena
	size map[int16]nm // of the steps
}

// grow returns a list that begins as a copy of one.
func (a *Arena) grow(src List) grown {
	base := int32(len(a.States))
	a.States = append(a.States, a.States[src.Lo:src.Hi]...)
	return grown{List{base, int32(len(a.States))}, a, map[int16]nm{}}
}

// often adds any number of a step, up to a size of room.
func (g *grown) often(s Step, room nm) {
	a := g.a
	g.size[int16(s.Item)] = s.Size
	if next := a.Often(g.List, s, room); next != g.List {
		a.States = append(a.States[:g.Lo], a.States[next.Lo:next.Hi]...)
		g.Hi = int32(len(a.States))
	}
}

// linked returns the list, whose states lead back through it: a state less one of its
// steps is in it too.
func (g *grown) linked() List {
	for i := g.Lo; i < g.Hi; i++ {
		if s := &g.a.States[i]; s.from >= g.Lo {
			s.from = g.a.Best(g.List, s.Size-g.size[s.item])
		}
	}
	return g.List
}

// lift moves every state of a list that is smaller than size up to it: a
// piece cannot begin before. All of them become one state, the worthiest.
func (a *Arena) lift(src List, size nm) List {
	states := a.States[src.Lo:src.Hi]
	n := int32(sort.Search(len(states), func(i int) bool { return states[i].Size >= size }))
	if n == 0 || n < int32(len(states)) && states[n].Size == size {
		return List{src.Lo + n, src.Hi}
	}
	out := int32(len(a.States))
	last := src.Lo + n - 1
	a.States = append(a.States, state{size, a.States[last].Worth, last, -1, 0})
	a.States = append(a.States, a.States[src.Lo+n:src.Hi]...)
	return List{out, int32(len(a.States))}
}

// Best returns the index of the worthiest state of at most a size, -1 for none.
func (a *Arena) Best(l List, size nm) int32 {
	states := a.States[l.Lo:l.Hi]
	n := sort.Search(len(states), func(i int) bool { return states[i].Size > size })
	return l.Lo + int32(n) - 1
}

// Worth returns the worth of the best state of at most a size.
func (a *Arena) Worth(l List, size nm) int64 {
	if i := a.Best(l, size); i >= l.Lo {
		return a.States[i].Worth
	}
	return 0
}

// Trace calls add for every step that led to a state, last first, with the
// size that was reached before it.
func (a *Arena) Trace(i int32, add func(item, count int32, from nm)) {
	for i >= 0 && a.States[i].from >= 0 {
		s := a.States[i]
		if s.item >= 0 {
			add(int32(s.item), int32(s.count), a.States[s.from].Size)
		}
		i = s.from
	}
}
