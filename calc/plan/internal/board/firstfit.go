package board

import (
	"cmp"
	"slices"
)

// firstFit returns a board of a kind that gives some sets, if it finds room for all of
// them: each goes into the first billet that holds it, or else into a new one, or one of
// a new strip. It tries the items in several orders.
//
// Source: first fit by falling size, common practice.
func (p *Problem) firstFit(kind int, want []int) (Layout, bool) {
	var items []int
	for i, n := range want {
		if n > 0 {
			items = append(items, i)
		}
	}
	for _, by := range []func(i int) nm{
		func(i int) nm { return p.Lens[p.Items[i].Len] },
		func(i int) nm { return p.Wids[p.Items[i].Wid] },
		func(i int) nm { return nm(want[i]) * p.Items[i].Size },
	} {
		slices.SortStableFunc(items, func(x, y int) int { return cmp.Compare(by(y), by(x)) })
		if lay, ok := p.fitted(kind, items, want); ok {
			return lay, true
		}
	}
	return Layout{}, false
}

// fitted is firstFit for items in one order.
func (p *Problem) fitted(kind int, items, want []int) (Layout, bool) {
	lay := Layout{Kind: kind}
	for _, i := range items {
		if !slices.Contains(p.Sets[p.Groups[p.Kinds[kind].Group].Set], i) || p.Items[i].Wid >= p.Highest() {
			return lay, false
		}
		for n := want[i]; n > 0; {
			places := p.fit(&lay, i)
			if places == 0 {
				return lay, false
			}
			n -= places
		}
	}
	return lay, true
}

// fit adds a set of leaves of an item to a board, and returns the places for it in a leaf,
// 0 where there is no room.
func (p *Problem) fit(lay *Layout, i int) int {
	it, kd := p.Items[i], p.Kinds[lay.Kind]
	room := p.Groups[kd.Group].Room
	for s := range lay.Strips {
		st := &lay.Strips[s]
		for b := range st.Billets {
			bl := &st.Billets[b]
			if n := p.Places(i, st.L, bl.W); n > 0 && p.thickness(bl.Stacks)+it.Size <= room[st.L] {
				bl.Stacks = p.Add(bl.Stacks, i, 1, st.L, bl.W)
				return n
			}
		}
	}
	for s := range lay.Strips {
		if st := &lay.Strips[s]; it.Len <= st.L && it.Size <= room[st.L] && p.Rips() && p.wide(*st)+p.Wids[it.Wid]+p.Order.RipKerf <= kd.Rip {
			st.Billets = append(st.Billets, Billet{it.Wid, p.Add(nil, i, 1, st.L, it.Wid)})
			return p.Places(i, st.L, it.Wid)
		}
	}
	piece, ok := p.nextPiece(*lay, it.Len)
	if !ok || it.Size > room[it.Len] || p.Wids[it.Wid]+p.Order.RipKerf > kd.Rip {
		return 0
	}
	lay.Strips = append(lay.Strips, Strip{piece, []Billet{{it.Wid, p.Add(nil, i, 1, it.Len, it.Wid)}}})
	return p.Places(i, it.Len, it.Wid)
}

// wide returns what the billets of a strip take of the width, kerfs included.
func (p *Problem) wide(st Strip) nm {
	var sum nm
	for _, bl := range st.Billets {
		sum += p.Wids[bl.W] + p.Order.RipKerf
	}
	return sum
}

// nextPiece returns a piece of a length class behind the strips of a board, if there is
// room for it.
func (p *Problem) nextPiece(lay Layout, l int) (Piece, bool) {
	if !p.Crosscuts() {
		return Piece{L: l}, len(lay.Strips) == 0
	}
	for _, seg := range p.Free(lay) {
		if seg.From+p.Lens[l] <= seg.To {
			return Piece{L: l, From: seg.From}, true
		}
	}
	return Piece{}, false
}
