package layouts

import (
	"slices"

	"resawd/calc/plan/internal/board"
)

// laid returns the billets that are laid out, filled.
func (f *face) laid(x *faceNode) []filled {
	var all []filled
	for _, st := range x.strips {
		for _, bl := range st.Billets {
			if x.stacks != nil {
				all = append(all, f.within(st.L, bl.W, x.stacks[len(all)]))
			} else {
				all = append(all, f.billet(st.L, bl.W))
			}
		}
	}
	return all
}

// worth returns what a node is worth at most.
func (f *face) worth(x *faceNode) int64 {
	var sum int64
	for _, b := range f.laid(x) {
		sum += b.worth
	}
	if x.rip > 0 {
		sum += f.strip(x.strips[len(x.strips)-1].L, x.w, x.rip)
	}
	for _, s := range x.segs {
		sum += f.arena.Worth(f.segment(s), board.Nowhere-1)
	}
	return sum
}

// strips returns the strips of a node that are worth most, the limits of the
// board ignored.
func (f *face) strips(x *faceNode) []board.Strip {
	strips := board.Layout{Strips: x.strips}.Clone().Strips
	if x.rip > 0 {
		f.rip(&strips[len(strips)-1], x.w, x.rip)
	}
	for _, s := range x.segs {
		l := f.segment(s)
		f.arena.Trace(l.Hi-1, func(item, _ int32, from nm) {
			st := board.Strip{Piece: board.Piece{L: int(item), From: s.From + from}}
			f.rip(&st, f.high-1, f.width())
			strips = append(strips, st)
		})
	}
	laid, n := f.laid(x), 0
	for _, st := range strips {
		for i := range st.Billets {
			bl := &st.Billets[i]
			if n < len(laid) {
				bl.Stacks = slices.Clone(laid[n].stacks)
			} else {
				bl.Stacks = slices.Clone(f.billet(st.L, bl.W).stacks)
			}
			n++
		}
	}
	return strips
}

// rip adds to a strip the billets that are worth most.
func (f *face) rip(st *board.Strip, w int, rip nm) {
	n := upTo(f.live[st.L], w)
	if n < 0 {
		return
	}
	l := f.rips(st.L).lists[n]
	if i := f.arena.Best(l, rip); i >= l.Lo {
		f.arena.Trace(i, func(item, _ int32, _ nm) { st.Billets = append(st.Billets, board.Billet{W: int(item)}) })
	}
}

// alive returns the classes that a layout of a node may have that is worth
// more than a floor.
func (f *face) alive(x *faceNode, floor int64) [][]int32 {
	whole := f.worth(x)
	segs := make([]board.List, len(x.segs))
	for i, s := range x.segs {
		segs[i] = f.segment(s)
	}
	live := make([][]int32, len(f.live))
	for l, wids := range f.live {
		if len(wids) == 0 {
			continue
		}
		next, open := f.without(x, l, whole, segs)
		if max(next, open) < 0 {
			continue
		}
		worth := f.rips(l).worth
		for n, w := range wids {
			size := f.size(int(w))
			if next >= 0 && next+worth[n]+f.strip(l, f.high-1, f.width()-size) > floor ||
				open >= 0 && int(w) <= x.w && size <= x.rip && open+worth[n]+f.strip(l, x.w, x.rip-size) > floor {
				live[l] = append(live[l], w)
			}
		}
	}
	return live
}

// without returns what a node is worth at most apart from a strip of a length
// class: a further one, and the open one. It is -1 where there is none.
func (f *face) without(x *faceNode, l int, whole int64, segs []board.List) (next, open int64) {
	next, open = -1, -1
	for i, s := range x.segs {
		if left := s.To - s.From - f.p.Lens[l]; l <= s.Most && left >= 0 {
			next = max(next, whole-f.arena.Worth(segs[i], board.Nowhere-1)+f.arena.Worth(segs[i], left))
		}
	}
	if x.rip > 0 && x.strips[len(x.strips)-1].L == l {
		open = whole - f.strip(l, x.w, x.rip)
	}
	return next, open
}
