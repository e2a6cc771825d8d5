package search

import (
	"cmp"
	"slices"

	"resawd/calc/plan/internal/board"
)

// Rows is greedy for one dimension: board after board, the most thickness for
// its price first, filled with the largest items first.
//
// Source: first fit decreasing, common practice.
func Rows(p *board.Problem, need []int) ([]board.Use, []int) {
	g := greed{p: p, left: slices.Clone(need), stock: p.Stock(), price: p.Price}
	large := make([]int, len(p.Items))
	for i := range large {
		large[i] = i
	}
	slices.SortStableFunc(large, func(x, y int) int { return cmp.Compare(p.Items[y].Size, p.Items[x].Size) })
	var cuts []board.Use
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
func (g *greed) row(k int, items []int) board.Layout {
	room := g.p.Groups[g.p.Kinds[k].Group].Room[0]
	var stacks []board.Stack
	for _, i := range items {
		if n := min(nm(g.left[i]), room/g.p.Items[i].Size); n > 0 {
			stacks = g.p.Add(stacks, i, int(n), 0, 0)
			room -= n * g.p.Items[i].Size
		}
	}
	if stacks == nil {
		return board.Layout{Kind: k}
	}
	return board.Layout{Kind: k, Strips: []board.Strip{{Billets: []board.Billet{{W: 0, Stacks: stacks}}}}}
}
