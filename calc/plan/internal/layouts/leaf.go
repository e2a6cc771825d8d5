package layouts

import (
	"slices"

	"resawd/calc/plan/internal/board"
)

// stacked says how many sets of each item a billet holds at least and at most.
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
	few, many := x.part(), x.part()
	few.stacks[at].high[item] = most
	many.stacks[at].low[item] = most + 1
	for _, y := range []*faceNode{few, many} {
		if y.fit(item) {
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
				it := f.p.Items[i]
				if x.share[i] > 0 && m < x.most(n, i) && it.Len <= st.L && it.Wid <= bl.W && it.Size <= f.room(st.L) {
					return n, i
				}
			}
			n++
		}
	}
	return -1, 0
}

// most returns how many sets of an item a billet holds at most.
func (x *faceNode) most(n, i int) int {
	if x.stacks == nil {
		return x.limit[i]
	}
	return x.stacks[n].high[i]
}

// part returns a copy of a laid-out node with limits of its own on its billets.
func (x *faceNode) part() *faceNode {
	y := &faceNode{strips: x.strips, live: x.live, share: x.share, bound: x.bound, limit: slices.Clone(x.limit)}
	for n := range x.spread {
		s := stacked{make([]int, len(x.limit)), slices.Clone(x.limit)}
		if x.stacks != nil {
			s = stacked{slices.Clone(x.stacks[n].low), slices.Clone(x.stacks[n].high)}
		}
		y.stacks = append(y.stacks, s)
	}
	return y
}

// fit brings what billets hold of an item at most in line with its limit, and
// the other way round, and tells whether that can be.
func (x *faceNode) fit(i int) bool {
	left, most := x.limit[i], 0
	for _, s := range x.stacks {
		left -= s.low[i]
	}
	for n := range x.stacks {
		s := &x.stacks[n]
		s.high[i] = min(s.high[i], left+s.low[i])
		most += s.high[i]
	}
	x.limit[i] = min(x.limit[i], most)
	return left >= 0
}
