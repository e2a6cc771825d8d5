package colgen

// Exchange columns say that a piece can serve where a smaller one is wanted:
// one copy more of the smaller item for one less of the larger, at no cost.
// They keep the dual prices in the order of the sizes, which saves many rounds
// of column generation. They do not lower the value of the relaxation, but its
// point is no mixture of patterns as long as they are in it: so they are made
// dear at the end.
//
// Source: Valerio de Carvalho, INFORMS Journal on Computing 17 (2005) 175-182.
func (g *generator) exchange() {
	last := -1
	for _, i := range g.s.sack.order {
		r := g.itemRow[i]
		if r < 0 {
			continue
		}
		if last >= 0 {
			g.lp.addColumn(column{rows: []int32{int32(r), int32(last)}, vals: []float64{1, -1}})
			g.ids = append(g.ids, noPattern)
		}
		last = r
	}
}

// noPattern is the pool number of a column that stands for no pattern.
const noPattern = -1

// withdraw makes exchange columns dear, and reports whether there were any.
func (g *generator) withdraw() bool {
	some := false
	for c, id := range g.ids {
		if id == noPattern && g.lp.cols[c].cost == 0 {
			g.lp.cols[c].cost = g.s.big
			some = true
		}
	}
	if some {
		g.lp.solvePrices()
	}
	return some
}
