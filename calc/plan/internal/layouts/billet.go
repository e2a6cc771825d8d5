package layouts

import "resawd/calc/plan/internal/board"

// stack is the knapsack of a billet: which sets it holds within its thickness.
// Items are taken in order of value for thickness, and a state is dropped when
// what follows cannot bring it to the best that is known.
//
// Source: dynamic programming with bounds: Martello, Pisinger and Toth,
// Management Science 45 (1999) 414-424 (from memory); lists as in board.Arena.
type stack struct {
	arena board.Arena
	items []stackItem
}

// stackItem is an item that fits the billet.
type stackItem struct {
	item  int
	size  nm
	value int64
	most  int     // copies
	rate  float64 // value for thickness
}

// fill returns the most that a room is worth with the items listed, if it is
// more than a floor, and else the floor. The states lead back to it.
func (s *stack) fill(room nm, floor int64) int64 {
	s.arena.Reset()
	low, high := s.greedy(room)
	if high <= floor {
		return floor
	}
	low = max(low, floor+1)
	at := s.arena.Start()
	for n, it := range s.items {
		for copies, left := 1, it.most; left > 0; copies *= 2 {
			copies = min(copies, left)
			left -= copies
			at = s.arena.Once(at, board.Step{Item: int32(it.item), Count: int32(copies), Size: nm(copies) * it.size, Worth: int64(copies) * it.value}, room)
			rate := it.rate
			if left == 0 && n+1 < len(s.items) {
				rate = s.items[n+1].rate
			} else if left == 0 {
				rate = 0
			}
			at = prune(&s.arena, at, room, rate, low)
			if at.Lo == at.Hi {
				return floor
			}
		}
	}
	return max(floor, s.arena.States[at.Hi-1].Worth)
}

// greedy returns what the items are worth when they are taken in order, and
// when the first that does not fit is taken in part.
func (s *stack) greedy(room nm) (low, high int64) {
	whole := true
	for _, it := range s.items {
		n := min(nm(it.most), room/it.size)
		low += int64(n) * it.value
		room -= n * it.size
		if whole && n < nm(it.most) {
			high, whole = low+int64(float64(room)*it.rate)+1, false
		}
	}
	if whole {
		high = low
	}
	return low, high
}

// prune drops the states of the last list that stay below a worth though the
// rest of a room were worth the rate for its size.
func prune(a *board.Arena, l board.List, room nm, rate float64, low int64) board.List {
	out := l.Lo
	for _, s := range a.States[l.Lo:l.Hi] {
		if s.Worth+int64(float64(room-s.Size)*rate)+1 >= low {
			a.States[out] = s
			out++
		}
	}
	a.States = a.States[:out]
	return board.List{Lo: l.Lo, Hi: out}
}
