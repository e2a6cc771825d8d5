package plan

import (
	"cmp"
	"slices"
)

// rows is greedy for one dimension: board after board, the most thickness for
// its price first, filled with the largest items first.
//
// Source: first fit decreasing, common practice.
func rows(p *problem, need []int) ([]cut, []int) {
	g := greed{p: p, left: slices.Clone(need), stock: p.stock(), price: p.price}
	large := make([]int, len(p.items))
	for i := range large {
		large[i] = i
	}
	slices.SortStableFunc(large, func(x, y int) int { return cmp.Compare(p.items[y].size, p.items[x].size) })
	var cuts []cut
	for _, k := range g.order() {
		for g.stock[k] > 0 {
			c, ok := g.take(g.row(k, large))
			if !ok {
				break
			}
			cuts = append(cuts, c)
		}
	}
	return cuts, g.left
}

// row returns a board filled with items in an order.
func (g *greed) row(k int, items []int) layout {
	room := g.p.groups[g.p.kinds[k].group].room[0]
	var sets []Sets
	for _, i := range items {
		if n := min(nm(g.left[i]), room/g.p.items[i].size); n > 0 {
			sets = addPiece(sets, i, int(n))
			room -= n * g.p.items[i].size
		}
	}
	if sets == nil {
		return layout{kind: k}
	}
	return layout{k, []strip{{billets: []billet{{0, sets}}}}}
}
