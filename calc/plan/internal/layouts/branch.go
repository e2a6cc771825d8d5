package layouts

import (
	"context"
	"math"
	"slices"

	"resawd/calc/plan/internal/board"
)

// Brancher finds the layout of one board that is worth most when its limits
// hold for the board as a whole. An ascent leaves a gap there: its bound is of
// a board that is cut in several ways by halves and thirds. A node fixes some
// of the lengths and widths of the board, and is bounded by an ascent of its
// own; the one with the highest bound is branched on first.
//
// Source: branch and bound with Lagrangian bounds: Geoffrion, Mathematical
// Programming Study 2 (1974) 82-114 (from memory).
type Brancher struct {
	f     *face
	b     *board.Builder
	kind  int
	value []int64
	limit []int
	back  int64 // what the multipliers take from the limits
	open  Queue[*faceNode]
	leaf  int64        // the highest bound of a node with nothing to branch on
	Best  board.Layout // the best layout found
	Worth int64        // of it
	floor int64        // only what is worth more matters
	nodes int
}

// faceNode is a board whose face is laid out in part.
type faceNode struct {
	strips []board.Strip   // laid out; the last one is open when rip > 0
	rip    nm              // width left in the open strip, 0 for none
	w      int             // the widest class that may follow in it
	segs   []board.Segment // what is left of the face
	stacks []stacked       // of the billets, in order, when nothing else is left to branch on
	spread [][2][]int      // by billet: the least and the most sets of each item that it held in the ascent
	limit  []int           // of the board
	live   [][]int32       // by length class: the width classes that may matter
	share  []float64       // multipliers, as shares of the value
	bound  int64
	solved bool // the bound is of the node's own ascent
}

// Key puts the highest bound first.
func (x *faceNode) Key() int64 { return -x.bound }

// Rounds of ascent of a node, and of one whose face is laid out.
const (
	nodeRounds = 10
	leafRounds = 40
)

// mostOpen is how many nodes a brancher keeps for later.
const mostOpen = 20_000

// NewBrancher returns a brancher of boards of a problem.
func NewBrancher(p *board.Problem) *Brancher { return &Brancher{f: newFace(p), b: board.NewBuilder(p)} }

// Arenas returns the arenas that hold its lists.
func (b *Brancher) Arenas() []*board.Arena {
	return append(b.b.Arenas(), &b.f.arena, &b.f.sack.Arena)
}

// Work returns the steps of work so far.
func (b *Brancher) Work() int64 { return b.f.arena.Work + b.f.sack.Arena.Work + b.b.Spare.Work }

// Board searches for a layout of a board worth more than a floor, from the
// multipliers of an ascent, within a number of nodes. It returns a bound: no
// layout is worth more than it and the floor. It knows nothing of boards with a
// defect that is narrower than a kerf.
func (b *Brancher) Board(ctx context.Context, k int, value []int64, limit []int, floor int64, share []float64, most int) int64 {
	b.kind, b.value, b.limit, b.floor = k, value, limit, floor
	b.leaf, b.Worth, b.nodes, b.Best = 0, 0, 0, board.Layout{Kind: k}
	b.f.kd = b.f.p.Kinds[k]
	if b.f.joined() {
		return math.MaxInt64
	}
	b.open = Queue[*faceNode]{}
	b.open.Push(b.root(share))
	for b.open.Len() > 0 && b.open.First().bound > max(b.floor, b.leaf) {
		b.f.p.Full = b.f.p.Full || b.open.Len() > mostOpen
		if b.nodes > most || b.open.Len() > mostOpen || ctx.Err() != nil {
			return max(b.open.First().bound, b.leaf)
		}
		switch x := b.open.Pop(); {
		case !x.solved:
			b.solve(x)
		case x.laid():
			b.split(x)
		default:
			b.branch(x)
		}
	}
	return max(b.leaf, b.floor)
}

// root returns a board with nothing laid out.
func (b *Brancher) root(share []float64) *faceNode {
	x := &faceNode{segs: b.f.kd.Segs, live: b.f.all(), limit: b.limit, share: share, bound: math.MaxInt64}
	if !b.f.p.Crosscuts() {
		x.strips, x.rip, x.w = []board.Strip{{}}, b.f.width(), b.f.high-1
	}
	return x
}

// solve bounds a node by an ascent, and keeps it if it may hold a better layout.
func (b *Brancher) solve(x *faceNode) {
	b.nodes++
	b.ascend(x)
	if x.bound > b.floor {
		x.solved = true
		b.open.Push(x)
	}
}

// laid tells whether the whole face is laid out.
func (x *faceNode) laid() bool { return x.rip == 0 && len(x.segs) == 0 }

// ascend moves the multipliers of a node and keeps those of its lowest bound.
func (b *Brancher) ascend(x *faceNode) {
	rounds := nodeRounds
	if x.laid() && x.stacks == nil {
		rounds = leafRounds
	}
	share, stride := slices.Clone(x.share), board.NewStride(2, 0.6)
	for n := range rounds {
		bound := b.ask(x, share)
		if b.f.full() {
			return
		}
		lay := board.Layout{Kind: b.kind, Strips: b.f.strips(x)}
		count := board.CountWithin(lay, b.limit)
		if x.laid() {
			x.note(lay, len(b.value))
		}
		b.offer(lay)
		better := bound < x.bound || n == 0
		stride.Note(better)
		if better {
			x.share = slices.Clone(share)
		}
		x.bound = min(x.bound, bound)
		if x.bound <= b.floor || !board.ClimbBy(share, count, x.limit, b.value, stride.Step()*float64(bound-b.floor)) {
			return
		}
	}
}

// ask weighs a node at some multipliers and returns its bound.
func (b *Brancher) ask(x *faceNode, share []float64) int64 {
	dear := make([]int64, len(b.value))
	b.back = 0
	for i, v := range b.value {
		dear[i] = v - int64(share[i]*float64(v))
		b.back += (v - dear[i]) * int64(x.limit[i])
	}
	b.f.ask(dear, b.limit, x.live)
	return b.back + b.f.worth(x)
}

// offer keeps a layout if, cut back to the limits and filled up, it is the best.
func (b *Brancher) offer(lay board.Layout) {
	left := slices.Clone(b.limit)
	for _, st := range lay.Strips {
		for i := range st.Billets {
			st.Billets[i].Stacks = board.Clip(st.Billets[i].Stacks, left)
		}
	}
	lay = b.b.Mounted(b.b.Top(lay, b.value, left), b.value)
	if w := b.f.p.NetWorth(lay, b.value, b.limit); w > b.Worth {
		b.Worth, b.Best = w, lay
		b.floor = max(b.floor, w)
	}
}

// branch adds the nodes after one: the next billet of its open strip or none,
// or else the next strip or none in the first segment that is left.
func (b *Brancher) branch(x *faceNode) {
	b.ask(x, x.share)
	if b.f.full() {
		b.leaf = max(b.leaf, x.bound)
		return
	}
	live := b.f.alive(x, b.floor-b.back)
	var next []faceNode
	if x.rip > 0 {
		next = b.billets(x, live)
	} else {
		next = b.strips(x, live)
	}
	for _, y := range next {
		y.live, y.share, y.bound, y.limit = live, x.share, x.bound, x.limit
		if w := b.back + b.f.worth(&y); !b.f.full() {
			y.bound = min(x.bound, w)
		}
		if y.bound > b.floor {
			b.open.Push(&y)
		}
	}
}

// billets returns a node with its open strip closed, and with each billet that
// may follow in it.
func (b *Brancher) billets(x *faceNode, live [][]int32) []faceNode {
	st := x.strips[len(x.strips)-1]
	next := []faceNode{{strips: x.strips, segs: x.segs}}
	for _, w := range live[st.L] {
		w := int(w)
		if size := b.f.size(w); w <= x.w && size <= x.rip {
			strips := slices.Clone(x.strips)
			strips[len(strips)-1].Billets = append(slices.Clone(st.Billets), board.Billet{W: w})
			next = append(next, faceNode{strips: strips, rip: x.rip - size, w: w, segs: x.segs})
		}
	}
	return next
}

// strips returns a node with its first segment closed, and with each strip that
// may follow in it.
func (b *Brancher) strips(x *faceNode, live [][]int32) []faceNode {
	seg := x.segs[0]
	next := []faceNode{{strips: x.strips, segs: x.segs[1:]}}
	for l := 0; l <= seg.Most; l++ {
		if len(live[l]) == 0 || seg.From+b.f.p.Lens[l] > seg.To {
			continue
		}
		segs := slices.Clone(x.segs)
		segs[0].From += b.f.p.Lens[l] + b.f.p.Order.CrosscutKerf
		segs[0].Most = l
		strips := append(slices.Clone(x.strips), board.Strip{Piece: board.Piece{L: l, From: seg.From}})
		next = append(next, faceNode{strips: strips, rip: b.f.width(), w: b.f.high - 1, segs: segs})
	}
	return next
}
