package mix

import (
	"slices"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/relax"
)

// shortage tells whether the relaxation of a mix covers the demands. It may cut
// the boards of the mix for nothing and more boards at their price: where more
// are needed, the dual prices give a surrogate row that the mix does not meet.
//
// Source: Benders, Numerische Mathematik 4 (1962) 238-252, with the numbers of
// boards as the first stage (from memory).
type shortage struct {
	s, sub *relax.State
}

// newShortage sets up the problem of twice the kinds.
func newShortage(s *relax.State) *shortage {
	p := &colgen.Problem{Demand: s.P.Demand, Size: s.P.Size, Capacity: slices.Repeat(s.P.Capacity, 2)}
	for range s.Kinds {
		p.Kinds = append(p.Kinds, colgen.Kind{Cost: 0, Quantity: colgen.Unlimited})
	}
	p.Kinds = append(p.Kinds, s.Kinds...)
	sub := relax.NewState(s.Ctx, p, colgen.Options{WorkLimit: s.O.WorkLimit})
	sub.Inner = true
	for _, t := range s.Pool.Patterns {
		sub.Pool.Add(t.Kind, t.Pieces)
		sub.Pool.Add(t.Kind+len(s.Kinds), t.Pieces)
	}
	return &shortage{s, sub}
}

// of returns the surrogate row that a mix does not meet, or nil when it meets all.
func (h *shortage) of(mix []int) (most []int64, worth int64, err error) {
	k := len(h.s.Kinds)
	low, high := make([]int, 2*k), append([]int(nil), mix...)
	for _, kind := range h.s.Kinds {
		high = append(high, kind.Quantity)
	}
	h.sub.Stats = h.s.Stats
	g := h.sub.NewGenerator(h.s.P.Demand, low, high)
	_, err = g.Solve(relax.Unreachable)
	h.s.Stats = h.sub.Stats
	if err != nil {
		return nil, 0, err
	}
	for i, v := range g.Proof.Value {
		worth += v * int64(g.Demand[i])
	}
	for x := range k { // of a kind that was not to be had, the dearer twin tells
		most = append(most, max(g.Most[x], g.Most[k+x]))
	}
	return most, worth, nil
}
