package colgen

import "slices"

// shortage tells whether the relaxation of a mix covers the demands. It may cut
// the boards of the mix for nothing and more boards at their price: where more
// are needed, the dual prices give a cover that the mix does not meet.
//
// Source: Benders, Numerische Mathematik 4 (1962) 238-252, with the numbers of
// boards as the first stage (from memory).
type shortage struct {
	s, sub *search
}

// newShortage sets up the problem of twice the kinds.
func (s *search) newShortage() *shortage {
	p := &Problem{Demand: s.p.Demand, Size: s.p.Size, Capacity: slices.Repeat(s.p.Capacity, 2)}
	for range s.kinds {
		p.Kinds = append(p.Kinds, Kind{0, Unlimited})
	}
	p.Kinds = append(p.Kinds, s.kinds...)
	sub := newSearch(s.ctx, p, Options{WorkLimit: s.o.WorkLimit})
	sub.inner = true
	for _, t := range s.pool.patterns {
		sub.pool.add(t.Kind, t.Pieces)
		sub.pool.add(t.Kind+len(s.kinds), t.Pieces)
	}
	return &shortage{s, sub}
}

// of returns the cover that a mix does not meet, or nil when it meets all.
func (h *shortage) of(mix []int) (most []int64, worth int64, err error) {
	k := len(h.s.kinds)
	low, high := make([]int, 2*k), append([]int(nil), mix...)
	for _, kind := range h.s.kinds {
		high = append(high, kind.Quantity)
	}
	h.sub.stats = h.s.stats
	g := h.sub.newGenerator(h.s.p.Demand, low, high)
	_, err = g.solve(unreachable)
	h.s.stats = h.sub.stats
	if err != nil {
		return nil, 0, err
	}
	for i, v := range g.proof.value {
		worth += v * int64(g.demand[i])
	}
	for x := range k { // of a kind that was not to be had, the dearer twin tells
		most = append(most, max(g.most[x], g.most[k+x]))
	}
	return most, worth, nil
}
