package layouts

import (
	"slices"

	"resawd/calc/plan/internal/board"
)

// stacked says how many matched sets of leaves of each item a billet holds at least and
// at most.
type stacked struct{ low, high []int }

// note notes what the billets of a laid-out node held.
func (x *faceNode) note(lay board.Layout, items int) {
	first := x.spread == nil
	var n int
	for _, st := range lay.Strips {
		for _, bl := range st.Billets {
			count := leavesOf(bl.Stacks, items)
			if first {
				x.spread = append(x.spread, [2][]int{count, slices.Clone(count)})
			}
			for i, c := range count {
				x.spread[n][0][i], x.spread[n][1][i] = min(x.spread[n][0][i], c), max(x.spread[n][1][i], c)
			}
			n++
		}
	}
}

// leavesOf counts the matched sets of leaves of each item.
func leavesOf(stacks []board.Stack, items int) []int {
	count := make([]int, items)
	for _, s := range stacks {
		count[s.Item] += s.Count
	}
	return count
}

// split puts in place of a laid-out node those in which a billet holds no more of an
// item than a number of sets, and more than that.
func (b *Brancher) split(x *faceNode) {
	at, item, score := -1, 0, int64(0)
	for n, held := range x.spread {
		for i := range b.value {
			if s := b.value[i] * int64(held[1][i]-held[0][i]); s > score {
				at, item, score = n, i, s
			}
		}
	}
	if at < 0 {
		at, item = b.f.lacking(x)
	}
	if at < 0 {
		b.leaf = max(b.leaf, x.bound)
		return
	}
	most := (x.spread[at][0][item] + x.spread[at][1][item]) / 2
	few, many := b.part(x), b.part(x)
	few.stacks[at].high[item] = most
	many.stacks[at].low[item] = most + 1
	for _, y := range []*faceNode{few, many} {
		if y.fit(item, b.f.places(x, item)) {
			b.open.Push(y)
		}
	}
}

// lacking returns a billet of a node that may hold more of an item that is
// dearer for its limit, which is not reached; -1 when there is none.
func (f *face) lacking(x *faceNode) (at, item int) {
	if x.spread == nil {
		return -1, 0
	}
	n := 0
	for _, st := range x.strips {
		for _, bl := range st.Billets {
			for i, m := range x.spread[n][1] {
				places := f.p.Places(i, st.L, bl.W)
				if x.share[i] > 0 && places > 0 && m < x.most(n, i, places) && f.p.Items[i].Size <= f.room(st.L) {
					return n, i
				}
			}
			n++
		}
	}
	return -1, 0
}

// most returns how many leaves of an item a billet holds at most, with so many places
// in each.
func (x *faceNode) most(n, i, places int) int {
	if x.stacks == nil {
		return board.Leaves(x.limit[i], places)
	}
	return x.stacks[n].high[i]
}

// places returns how many places the leaves of every billet of a node have for an item,
// one where it does not fit.
func (f *face) places(x *faceNode, i int) []int {
	var all []int
	for _, st := range x.strips {
		for _, bl := range st.Billets {
			all = append(all, max(1, f.p.Places(i, st.L, bl.W)))
		}
	}
	return all
}

// part returns a copy of a laid-out node with limits of its own on its billets.
func (b *Brancher) part(x *faceNode) *faceNode {
	y := &faceNode{strips: x.strips, live: x.live, share: x.share, bound: x.bound, limit: slices.Clone(x.limit)}
	for n := range x.spread {
		if x.stacks != nil {
			y.stacks = append(y.stacks, stacked{slices.Clone(x.stacks[n].low), slices.Clone(x.stacks[n].high)})
		} else {
			y.stacks = append(y.stacks, stacked{make([]int, len(x.limit)), make([]int, len(x.limit))})
		}
	}
	for i := range x.limit {
		for n, places := range b.f.places(x, i) {
			if x.stacks == nil {
				y.stacks[n].high[i] = board.Leaves(x.limit[i], places)
			}
		}
	}
	return y
}

// fit brings what billets hold of an item at most in line with its limit, and
// the other way round, and tells whether that can be: a leaf that gives nothing but
// what is beyond the limit may as well be left out.
func (x *faceNode) fit(i int, places []int) bool {
	left, most := x.limit[i], 0
	for n, s := range x.stacks {
		left -= places[n] * s.low[i]
	}
	for n := range x.stacks {
		s := &x.stacks[n]
		if s.low[i] > 0 && left+places[n] <= 0 {
			return false
		}
		s.high[i] = min(s.high[i], board.Leaves(left+places[n]*s.low[i], places[n]))
		most += places[n] * s.high[i]
	}
	x.limit[i] = min(x.limit[i], most)
	return true
}
