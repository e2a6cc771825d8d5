package exactly

import (
	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/knapsack"
)

// glue knows the items that stand for two others stuck together.
type glue struct {
	items int            // of the problem
	parts [][2]int       // of item items+x
	of    map[[2]int]int // item of a pair
}

func newGlue(items int) *glue { return &glue{items: items, of: map[[2]int]int{}} }

// stick returns the item that stands for a and b.
func (g *glue) stick(n *knapsack.Knapsack, a, b int) int {
	pair := [2]int{min(a, b), max(a, b)}
	if i, ok := g.of[pair]; ok {
		return i
	}
	i := n.Add(n.Size[a] + n.Size[b])
	g.parts = append(g.parts, pair)
	g.of[pair] = i
	return i
}

// loosen writes pieces in the items of the problem.
func (g *glue) loosen(pieces []colgen.Piece) []colgen.Piece {
	count := map[int]int{}
	var add func(item, n int)
	add = func(item, n int) {
		if item < g.items {
			count[item] += n
			return
		}
		p := g.parts[item-g.items]
		add(p[0], n)
		add(p[1], n)
	}
	for _, pc := range pieces {
		add(pc.Item, pc.Count)
	}
	return knapsack.SortedPieces(count)
}
