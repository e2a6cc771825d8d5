package board

import (
	"cmp"
	"slices"
)

// Knapsack is that of a billet: which leaves it holds within its thickness. Items are
// taken in order of value for thickness, and a state is dropped when what follows
// cannot bring it to the best that is known.
//
// Source: dynamic programming with bounds: Martello, Pisinger and Toth,
// Management Science 45 (1999) 414-424 (from memory); lists as in Arena.
type Knapsack struct {
	Arena Arena
	list  []leaves
}

// leaves are the matched sets of leaves of an item that fit the billet.
type leaves struct {
	item  int
	size  nm
	value int64 // of one
	most  int
	last  int64   // value of one more, in which not every place is wanted; 0 for none
	rate  float64 // value for thickness
}

// all returns how many there may be.
func (x leaves) all() int {
	if x.last > 0 {
		return x.most + 1
	}
	return x.most
}

// Clear leaves no items in the knapsack.
func (s *Knapsack) Clear() { s.list = s.list[:0] }

// Add adds an item of which so many sets are wanted at most. A matched set of leaves
// gives a set in each of some places, and costs something to saw.
func (s *Knapsack) Add(item int, size nm, value int64, limit, places int, pass int64, room nm) {
	x := leaves{item: item, size: size, value: int64(places)*value - pass, most: limit / places}
	if x.most > 0 && x.value <= 0 {
		return
	}
	if n := limit % places; n > 0 {
		x.last = max(0, int64(n)*value-pass)
	}
	if x.most == 0 {
		x.most, x.value, x.last = min(1, int(x.last)), x.last, 0
	}
	if fit := room / size; nm(x.most) >= fit {
		x.most, x.last = int(fit), 0
	}
	if x.most > 0 {
		x.rate = float64(x.value) / float64(size)
		s.list = append(s.list, x)
	}
}

// Sort puts the items with the most value for their thickness first.
func (s *Knapsack) Sort() {
	slices.SortStableFunc(s.list, func(x, y leaves) int { return cmp.Compare(y.rate, x.rate) })
}

// fill returns the most that a room is worth with the items added, sorted, if it is
// more than a floor, and else the floor. The states lead back to it.
func (s *Knapsack) fill(room nm, floor int64) int64 {
	s.Arena.Reset()
	low, high := s.greedy(room)
	if high <= floor {
		return floor
	}
	low = max(low, floor+1)
	at := s.Arena.Start()
	for n, it := range s.list {
		after := 0.0
		if n+1 < len(s.list) {
			after = s.list[n+1].rate
		}
		for copies, left := 1, it.most; left > 0; copies *= 2 {
			copies = min(copies, left)
			left -= copies
			rate := it.rate
			if left == 0 && it.last == 0 {
				rate = after
			}
			at = s.Arena.once(at, Step{Item: int32(it.item), Count: int32(copies), Size: nm(copies) * it.size, Worth: int64(copies) * it.value}, room)
			if at = prune(&s.Arena, at, room, rate, low); at.Lo == at.Hi {
				return floor
			}
		}
		if it.last > 0 {
			at = s.Arena.once(at, Step{Item: int32(it.item), Count: 1, Size: it.size, Worth: it.last}, room)
			if at = prune(&s.Arena, at, room, after, low); at.Lo == at.Hi {
				return floor
			}
		}
	}
	return max(floor, s.Arena.States[at.Hi-1].Worth)
}

// Mounted is Fill for a billet that costs something to mount: one worth no more than
// that is not made.
func (s *Knapsack) Mounted(room nm, floor, mount int64) int64 {
	least := max(0, floor+mount)
	if worth := s.fill(room, least); worth > least {
		return worth - mount
	}
	return floor
}

// greedy returns what the items are worth when they are taken in order, and at most
// when the first that does not fit is taken in part.
func (s *Knapsack) greedy(room nm) (low, high int64) {
	free, whole := room, true // of what is taken at most
	for _, it := range s.list {
		n := min(nm(it.most), room/it.size)
		low += int64(n) * it.value
		room -= n * it.size
		if it.last > 0 && n == nm(it.most) && room >= it.size {
			low += it.last
			room -= it.size
		}
		if !whole {
			continue
		}
		n = min(nm(it.all()), free/it.size)
		high += int64(n) * it.value
		free -= n * it.size
		if n < nm(it.all()) {
			high += int64(float64(free)*it.rate) + 1
			whole = false
		}
	}
	return low, high
}

// prune drops the states of the last list that stay below a worth though the
// rest of a room were worth the rate for its size.
func prune(a *Arena, l List, room nm, rate float64, low int64) List {
	out := l.Lo
	for _, s := range a.States[l.Lo:l.Hi] {
		if s.Worth+int64(float64(room-s.Size)*rate)+1 >= low {
			a.States[out] = s
			out++
		}
	}
	a.States = a.States[:out]
	return List{Lo: l.Lo, Hi: out}
}
