package plan

import "sort"

// state is a size and the most that can be made of it: no other state of its
// list is as small and worth as much.
type state struct {
	size  nm
	worth int64
	from  int32 // the state that one more step led from, -1 for the first
	item  int32 // of that step, -1 for a step that adds nothing
	count int32 // copies of the item in that step
}

// list is a stretch of an arena's states, rising in size and in worth.
type list struct{ lo, hi int32 }

// arena holds the states of many lists, so that a list may be traced back
// through those it grew from.
type arena struct {
	states []state
	work   int64
	full   bool // states were left out: what is found can be cut, but bounds nothing
}

// maxStates keeps an arena within some 20 MiB, and what its last list may add
// within twice that. The lists of thickness leave room for those of width and
// length.
const (
	maxStates = 600_000
	maxThick  = 450_000
)

// reset empties an arena.
func (a *arena) reset() { a.states, a.full = a.states[:0], false }

// start returns a list of one state of no size and no worth.
func (a *arena) start() list {
	a.states = append(a.states, state{from: -1, item: -1})
	n := int32(len(a.states))
	return list{n - 1, n}
}

// step is what may be added to a state.
type step struct {
	item, count int32
	size        nm
	worth       int64
}

// once returns the list of states that are reached from src with or without
// one step, up to a size of room.
func (a *arena) once(src list, s step, room nm) list { return a.merge(src, s, room, false) }

// often is once for any number of steps.
func (a *arena) often(src list, s step, room nm) list { return a.merge(src, s, room, true) }

// merge walks the states of src and the stepped states side by side in order
// of size and keeps those worth more than all smaller ones. The stepped states
// start from src, or from the new list itself when steps repeat. The states at
// the heads are held in variables: most of the time of a search is spent here.
//
// Source: Nemhauser and Ullmann 1969 (NU69).
func (a *arena) merge(src list, s step, room nm, repeat bool) list {
	if len(a.states) > maxStates {
		a.full = true
		return src
	}
	states, out := a.states, int32(len(a.states))
	next, base, end, last := src.lo, src.lo, src.hi, room-s.size
	if repeat {
		base, end = out, out
	}
	plain := states[next]
	size, worth := nowhere, int64(-1) // of the next stepped state
	best := int64(-1)
	for {
		if size == nowhere && base < end {
			if from := &states[base]; from.size <= last {
				size, worth = from.size+s.size, from.worth+s.worth
			}
		}
		switch {
		case size < plain.size || size == plain.size && worth > plain.worth:
			if worth > best {
				best = worth
				states = append(states, state{size, worth, base, s.item, s.count})
				if repeat {
					end++
				}
			}
			base++
			size, worth = nowhere, -1
			if end-out > maxStates { // steps that repeat reach far more states than they start from
				a.full = true
				a.work += maxStates
				return src
			}
			continue
		case plain.size == nowhere:
			a.states = states
			a.work += int64(len(states)) - int64(out) + int64(src.hi-src.lo)
			return list{out, int32(len(states))}
		case plain.worth > best:
			best = plain.worth
			states = append(states, plain)
			if repeat {
				end++
			}
		}
		if next++; next < src.hi {
			plain = states[next]
		} else {
			plain.size, plain.worth = nowhere, -1
		}
	}
}

// nowhere is beyond all sizes.
const nowhere = nm(1) << 62

// limited returns the list reached with at most limit copies of an item: as
// steps of 1, 2, 4 ... copies, or any number where the room is the limit.
func (a *arena) limited(src list, item int32, size nm, worth int64, limit int, room nm) list {
	one := step{item, 1, size, worth}
	if nm(limit) >= room/size {
		return a.often(src, one, room)
	}
	for n := 1; limit > 0; n *= 2 {
		n = min(n, limit)
		limit -= n
		src = a.once(src, step{item, int32(n), nm(n) * size, int64(n) * worth}, room)
	}
	return src
}

// lift moves every state of a list that is smaller than size up to it: a
// piece cannot begin before. All of them become one state, the worthiest.
func (a *arena) lift(src list, size nm) list {
	states := a.states[src.lo:src.hi]
	n := int32(sort.Search(len(states), func(i int) bool { return states[i].size >= size }))
	if n == 0 || n < int32(len(states)) && states[n].size == size {
		return list{src.lo + n, src.hi}
	}
	out := int32(len(a.states))
	last := src.lo + n - 1
	a.states = append(a.states, state{size, a.states[last].worth, last, -1, 0})
	a.states = append(a.states, a.states[src.lo+n:src.hi]...)
	return list{out, int32(len(a.states))}
}

// best returns the index of the worthiest state of at most a size, -1 for none.
func (a *arena) best(l list, size nm) int32 {
	states := a.states[l.lo:l.hi]
	n := sort.Search(len(states), func(i int) bool { return states[i].size > size })
	return l.lo + int32(n) - 1
}

// worth returns the worth of the best state of at most a size.
func (a *arena) worth(l list, size nm) int64 {
	if i := a.best(l, size); i >= l.lo {
		return a.states[i].worth
	}
	return 0
}

// trace calls add for every step that led to a state, last first, with the
// size that was reached before it.
func (a *arena) trace(i int32, add func(item, count int32, from nm)) {
	for i >= 0 && a.states[i].from >= 0 {
		s := a.states[i]
		if s.item >= 0 {
			add(s.item, s.count, a.states[s.from].size)
		}
		i = s.from
	}
}
