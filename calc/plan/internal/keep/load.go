package keep

import (
	"context"
	"slices"

	"resawd/calc/plan/internal/board"
)

// Effort of loading a board with kits.
const (
	tries      = 6  // kinds of board that take a kit, to choose from
	fillRounds = 15 // to fill it up
)

// Load returns boards that kits come from, filled up with what else is wanted, and how
// many kits of each kind they give. It takes kits in their order.
func Load(ctx context.Context, p *board.Problem, kits, need []int) (lays []board.Layout, given []int) {
	q := p.Gross()
	l := loader{ctx: ctx, p: p, a: board.NewAscent(q), value: p.Volumes(need), kits: slices.Clone(kits), left: slices.Clone(need), stock: p.Stock()}
	given = make([]int, len(kits))
	for k := range kits {
		for l.kits[k] > 0 {
			lay, ok := l.next(k)
			if !ok {
				l.giveUp(k)
				break
			}
			for l.take(lay) {
				lays = append(lays, lay)
				for i, n := range lay.Kits {
					given[i] += n
				}
			}
		}
	}
	q.Spent += l.a.B.T.Arena.Work
	p.Note(q)
	return lays, given
}

// loader is the state of Load.
type loader struct {
	ctx   context.Context
	p     *board.Problem
	a     *board.Ascent
	value []int64
	kits  []int // left to be given
	left  []int // sets, those in kits among them
	stock []int // boards
}

// next returns a board with at least one kit of a kind: the one that gives most wood
// in leaves for its cost, of the first few that hold one.
func (l *loader) next(k int) (best board.Layout, found bool) {
	score, tried := 0.0, 0
	for _, kind := range l.cheapest(k) {
		lay, ok := l.board(kind, k)
		if !ok {
			continue
		}
		worth := board.Worth(lay.Pieces(), l.value, l.left)
		if s := float64(worth) / float64(1+l.p.LayoutCost(lay)); !found || s > score {
			best, score, found = lay, s, true
		}
		if tried++; tried == tries || l.ended() {
			break
		}
	}
	return best, found
}

// ended tells whether there is no time for more than what must be.
func (l *loader) ended() bool { return l.ctx.Err() != nil }

// cheapest returns the kinds of board there are that every part of a kit fits, the
// cheapest by size first.
func (l *loader) cheapest(k int) []int {
	var kinds []int
	for kind, kd := range l.p.Kinds {
		fits := l.stock[kind] > 0
		for i := range l.left {
			fits = fits && (l.p.InKit(k, i) == 0 || l.p.Fits(kd, i) && slices.Contains(l.p.Sets[l.p.Groups[kd.Group].Set], i))
		}
		if fits {
			kinds = append(kinds, kind)
		}
	}
	dear := func(kind int) float64 { return float64(l.p.Price(kind)) / float64(l.p.Face(kind)) }
	slices.SortStableFunc(kinds, func(x, y int) int {
		if dear(x) < dear(y) {
			return -1
		}
		return 1
	})
	return kinds
}

// board returns a board of a kind with a kit and with as many more as it holds, the
// first kinds of kit first.
func (l *loader) board(kind, k int) (board.Layout, bool) {
	kits := make([]int, len(l.kits))
	kits[k] = 1
	lay, ok := l.a.Holding(kind, kits, l.value)
	if !ok {
		return lay, false
	}
	for x := k; x < len(kits); x++ {
		for step := 1; step > 0 && !l.ended(); {
			more := slices.Clone(kits)
			if more[x] += step; more[x] <= l.kits[x] {
				if next, ok := l.a.Holding(kind, more, l.value); ok {
					lay, kits, step = next, more, 2*step
					continue
				}
			}
			step /= 2
		}
	}
	return l.fill(lay), true
}

// fill returns a board with what else is wanted beside its kits, as far as it finds
// room.
func (l *loader) fill(lay board.Layout) board.Layout {
	if l.ended() {
		return lay
	}
	limit := make([]int, len(l.left))
	for i, n := range l.left {
		limit[i] = max(0, n-l.p.InKits(l.kits, i)) + l.p.InKits(lay.Kits, i)
	}
	return l.a.Fill(lay, l.value, limit, fillRounds)
}

// take takes a board, its kits and its sets from what is left, if all that is there.
func (l *loader) take(lay board.Layout) bool {
	if l.stock[lay.Kind] == 0 || !board.Covers(l.kits, lay.Kits) {
		return false
	}
	l.stock[lay.Kind]--
	for k, n := range lay.Kits {
		l.kits[k] -= n
	}
	for _, s := range lay.Pieces() {
		l.left[s.Item] = max(l.left[s.Item]-s.Count, l.p.InKits(l.kits, s.Item))
	}
	return true
}

// giveUp wants no more kits of a kind, nor what they are made of.
func (l *loader) giveUp(k int) {
	for i := range l.left {
		l.left[i] -= l.kits[k] * l.p.InKit(k, i)
	}
	l.kits[k] = 0
}
