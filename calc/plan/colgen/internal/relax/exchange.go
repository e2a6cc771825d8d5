package relax

import "resawd/calc/lp"

// Exchange columns say that a piece can serve where a smaller one is wanted:
// one copy more of the smaller item for one less of the larger, at no cost.
// They keep the dual prices in the order of the sizes, which saves many rounds
// of column generation. They do not lower the value of the relaxation, but its
// point is no mixture of patterns as long as they are in it: so they are made
// dear at the end.
//
// Source: Valerio de Carvalho, INFORMS Journal on Computing 17 (2005) 175-182.
func (g *Generator) exchange() {
	last := -1
	for _, i := range g.S.Sack.Order {
		r := g.ItemRow[i]
		if r < 0 {
			continue
		}
		if last >= 0 {
			g.Lp.AddColumn(lp.Column{Rows: []int32{int32(r), int32(last)}, Vals: []float64{1, -1}})
			g.ids = append(g.ids, noPattern)
		}
		last = r
	}
}

// noPattern is the pool number of a column that stands for no pattern.
const noPattern = -1

// withdraw makes exchange columns dear, and reports whether there were any.
func (g *Generator) withdraw() bool {
	some := false
	for c, id := range g.ids {
		if id == noPattern && g.Lp.Cols[c].Cost == 0 {
			g.Lp.Cols[c].Cost = g.S.big
			some = true
		}
	}
	if some {
		g.Lp.SolvePrices()
	}
	return some
}
