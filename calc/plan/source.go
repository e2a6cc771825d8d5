package plan

import "resawd/calc/plan/colgen"

// source has the engine's pricer of patterns and knows how each is laid out.
type source interface {
	prices() colgen.Pricer
	layout(kind int, sets []colgen.Piece) (layout, bool)
}

// line is the source of one-dimensional orders: every board is one billet and
// may give every part, so that the engine's own knapsack prices it.
type line struct{ *colgen.Knapsack }

// prices implements source. The engine knows its own knapsack and has more to
// offer for it.
func (l line) prices() colgen.Pricer { return l.Knapsack }

// layout implements source.
func (line) layout(k int, sets []colgen.Piece) (layout, bool) {
	return layout{k, []strip{{billets: []billet{{0, sets}}}}}, true
}

// newSource returns the source that suits a problem.
func newSource(p *problem) (source, error) {
	if p.crosscuts() || p.rips() || len(p.sets) != 1 || len(p.sets[0]) != len(p.items) {
		return newPricer(p), nil
	}
	const most = int64(1) << 50
	var capacity, size []int64
	for _, k := range p.kinds {
		capacity = append(capacity, int64(max(0, p.groups[k.group].room[0])))
	}
	for _, it := range p.items {
		size = append(size, min(most, int64(it.size)))
	}
	k, err := colgen.NewKnapsack(capacity, size)
	return line{k}, err
}
