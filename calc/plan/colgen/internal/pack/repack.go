package pack

import (
	"math/rand/v2"
	"sort"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/knapsack"
	"resawd/calc/plan/colgen/internal/relax"
)

// Repacker looks for a plan of a given number of boards by exchanging pieces:
// the boards hold most pieces, a few lie outside. A move takes up to two
// pieces off a board and puts up to two from outside in their room, such that
// least is left outside; a piece that moved rests for a while, so that the
// search does not go back. In between, pairs of boards are repacked so that the
// room of both comes together on one.
//
// Source: Buljubašić and Vasquez, Computers and Operations Research 76 (2016)
// 12-21; tabu search, Glover, ORSA Journal on Computing 1 (1989) 190-206; minimum
// bin slack, Gupta and Ho 1999 (all from memory).
type Repacker struct {
	Sizes
	rng      *rand.Rand
	place    []int   // of each piece: its place in the stack
	full     []int64 // capacity of each board
	Boards   [][]int // pieces on each board
	room     []int64 // left on each board
	outside  []int   // pieces on no board
	left     int64   // their size
	rests    []int   // move until which a piece rests
	moves    int
	handfuls []handful // outside, by size
	best     swap
	ties     int // moves as good as best
	subset   subset
	Work     int64
}

// handful is up to two pieces and their size together; noPiece is none.
type handful struct {
	a, b int
	size int64
}

const noPiece = -1

// swap takes some pieces off a board and puts others on it.
type swap struct {
	board   int
	off, on handful
	gain    int64
}

const (
	idleMoves   = 10 // without less outside, before boards are repacked
	pairsABoard = 5  // repacked each time
	mostOutside = 30 // more pieces outside move one at a time
)

// NewRepacker deals out the pieces, each to the first board with room.
func NewRepacker(t Sizes, boards int, rng *rand.Rand) *Repacker {
	full := make([]int64, boards)
	for b := range full {
		full[b] = t.capacity
	}
	return RepackerOf(t, full, rng)
}

// RepackerOf is a repacker with boards of several capacities.
func RepackerOf(t Sizes, full []int64, rng *rand.Rand) *Repacker {
	r := &Repacker{Sizes: t, rng: rng, full: full, Boards: make([][]int, len(full)), room: append([]int64(nil), full...)}
	for x, n := range t.Count {
		for range n {
			piece := len(r.place)
			r.place = append(r.place, x)
			r.deal(piece)
		}
	}
	r.rests = make([]int, len(r.place))
	return r
}

// deal puts a piece on the first board with room, or outside.
func (r *Repacker) deal(piece int) {
	size := r.sizeOf(piece)
	for b := range r.room {
		if r.room[b] >= size {
			r.Boards[b] = append(r.Boards[b], piece)
			r.room[b] -= size
			return
		}
	}
	r.outside = append(r.outside, piece)
	r.left += size
}

// sizeOf is the size of a piece, 0 for none.
func (r *Repacker) sizeOf(piece int) int64 {
	if piece == noPiece {
		return 0
	}
	return r.size[r.place[piece]]
}

// Search moves pieces until all lie on boards, or the work is used up.
func (r *Repacker) Search(work int64) bool {
	for end := r.Work + work; len(r.outside) > 0 && r.Work < end; {
		least := r.left
		for idle := 0; idle < idleMoves && len(r.outside) > 0; idle++ {
			r.move()
			if r.left < least {
				least, idle = r.left, 0
			}
		}
		r.concentrate()
	}
	return len(r.outside) == 0
}

// move makes the best move, one of the best at random.
func (r *Repacker) move() {
	r.moves++
	r.gather()
	r.ties = 0
	for b := range r.Boards {
		r.tryBoard(b)
	}
	if r.ties > 0 {
		r.make(r.best)
	}
}

// gather lists the handfuls outside that may move, by size.
func (r *Repacker) gather() {
	r.handfuls = r.handfuls[:0]
	for x, p := range r.outside {
		if r.rests[p] > r.moves {
			continue
		}
		r.handfuls = append(r.handfuls, handful{p, noPiece, r.sizeOf(p)})
		if len(r.outside) > mostOutside {
			continue
		}
		for _, q := range r.outside[:x] {
			if r.rests[q] <= r.moves {
				r.handfuls = append(r.handfuls, handful{p, q, r.sizeOf(p) + r.sizeOf(q)})
			}
		}
	}
	sort.Slice(r.handfuls, func(a, b int) bool { return r.handfuls[a].size < r.handfuls[b].size })
	r.Work += int64(20 * len(r.handfuls))
}

// tryBoard tries to exchange each handful of a board.
func (r *Repacker) tryBoard(b int) {
	r.try(b, handful{noPiece, noPiece, 0})
	for x, p := range r.Boards[b] {
		if r.rests[p] > r.moves {
			continue
		}
		r.try(b, handful{p, noPiece, r.sizeOf(p)})
		for _, q := range r.Boards[b][:x] {
			if r.rests[q] <= r.moves {
				r.try(b, handful{p, q, r.sizeOf(p) + r.sizeOf(q)})
			}
		}
	}
}

// try puts the largest handful from outside in the place of one of the board.
func (r *Repacker) try(b int, off handful) {
	room := r.room[b] + off.size
	fit := sort.Search(len(r.handfuls), func(x int) bool { return r.handfuls[x].size > room })
	r.Work += 8
	if fit == 0 {
		return
	}
	on := r.handfuls[fit-1]
	gain := on.size - off.size
	if r.ties > 0 && gain < r.best.gain || gain == 0 && r.alike(on, off) {
		return
	}
	if r.ties > 0 && gain > r.best.gain {
		r.ties = 0
	}
	if r.ties++; r.rng.IntN(r.ties) == 0 {
		r.best = swap{b, off, on, gain}
	}
}

// alike reports whether two handfuls hold the same sizes.
func (r *Repacker) alike(h, g handful) bool {
	a, b, c, d := r.sizeOf(h.a), r.sizeOf(h.b), r.sizeOf(g.a), r.sizeOf(g.b)
	return a == c && b == d || a == d && b == c
}

// make makes a move. Pieces that came rest longer than those that went.
func (r *Repacker) make(s swap) {
	r.room[s.board] -= s.gain
	r.left -= s.gain
	for _, p := range []int{s.off.a, s.off.b} {
		if p != noPiece {
			r.Boards[s.board] = without(r.Boards[s.board], p)
			r.outside = append(r.outside, p)
			r.rests[p] = r.moves + 2 + r.rng.IntN(4)
		}
	}
	for _, p := range []int{s.on.a, s.on.b} {
		if p != noPiece {
			r.outside = without(r.outside, p)
			r.Boards[s.board] = append(r.Boards[s.board], p)
			r.rests[p] = r.moves + 3 + r.rng.IntN(10)
		}
	}
}

// concentrate repacks pairs of boards at random.
func (r *Repacker) concentrate() {
	for range pairsABoard * len(r.Boards) {
		b, c := r.rng.IntN(len(r.Boards)), r.rng.IntN(len(r.Boards))
		if b != c {
			r.repack(b, c)
		}
	}
}

// repack fills board b as well as it can from the pieces of b and c, and
// leaves the others to c. It does nothing when the fuller of the two is fuller.
func (r *Repacker) repack(b, c int) {
	pool := append(append([]int(nil), r.Boards[b]...), r.Boards[c]...)
	r.rng.Shuffle(len(pool), func(x, y int) { pool[x], pool[y] = pool[y], pool[x] })
	f := &r.subset
	f.reset(min(r.room[b], r.room[c]) + 1)
	for _, p := range pool {
		f.size = append(f.size, r.sizeOf(p))
	}
	found := f.search(r.full[b])
	r.Work += int64(3*(subsetNodes-f.nodes)) + 100
	if !found {
		return
	}
	r.Boards[b], r.Boards[c] = r.Boards[b][:0], r.Boards[c][:0]
	for x, p := range pool {
		if f.best[x] {
			r.Boards[b] = append(r.Boards[b], p)
		} else {
			r.Boards[c] = append(r.Boards[c], p)
		}
	}
	r.room[c] += r.room[b] - f.slack
	r.room[b] = f.slack
}

// Plan is the boards as a plan.
func (r *Repacker) Plan() []colgen.Use {
	var plan []colgen.Use
	for _, pieces := range r.Boards {
		if len(pieces) == 0 {
			continue
		}
		count := map[int]int{}
		for _, p := range pieces {
			count[r.item[r.place[p]]]++
		}
		plan = append(plan, colgen.Use{Pattern: colgen.Pattern{Kind: 0, Pieces: knapsack.SortedPieces(count)}, Copies: 1})
	}
	return plan
}

// Repack looks for a plan that meets the bound by exchanging pieces, where
// there is one kind of board and one dimension. It goes on where it was left
// as long as the bound stays.
func Repack(s *relax.State, r *Repacker) (*Repacker, error) {
	t, ok := stacked(s)
	if !ok || !s.OneKind() || s.Bound >= s.Cutoff() {
		return r, nil
	}
	if r == nil || int64(len(r.Boards)) != s.Bound {
		r = NewRepacker(t, int(s.Bound), rand.New(rand.NewPCG(s.O.Seed, 5)))
	}
	found, err := ExchangePieces(s, r, func() {
		for _, u := range r.Plan() {
			s.Pool.Add(u.Kind, u.Pieces)
		}
	})
	if err != nil || !found {
		return r, err
	}
	return r, s.Offer(r.Plan())
}

// ExchangePieces lets a repacker work, calls keep now and then, and reports
// whether it found a plan.
func ExchangePieces(s *relax.State, r *Repacker, keep func()) (found bool, err error) {
	parts := min(1+r.Budget()/snapshotWork, mostSnapshots)
	for range parts {
		before := r.Work
		found := r.Search(r.Budget() / parts)
		s.Spend(r.Work - before)
		if found {
			return true, nil
		}
		keep()
		if err := s.Alive(); err != nil {
			return false, err
		}
	}
	return false, nil
}

// The work after which boards are kept as patterns, and how often at most.
const (
	snapshotWork  = 1_000_000
	mostSnapshots = 8
)

// Budget is the work that exchanges are worth.
func (r *Repacker) Budget() int64 {
	m, n := int64(len(r.size)), int64(len(r.place))
	return min(repackLeast+m*m*m+4*n*n, repackMost)
}

// Work for exchanges: at least, and at most.
const (
	repackLeast = 20_000
	repackMost  = 400_000_000
)

// without removes an element from a list, whose order does not matter.
func without[T comparable](list []T, v T) []T {
	for x, w := range list {
		if w == v {
			list[x] = list[len(list)-1]
			return list[:len(list)-1]
		}
	}
	return list
}
