package mix

import (
	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/relax"
)

// What a dive leaves to a search of its own.
const (
	finishItems = 100        // copies of items at most
	finishWork  = 60_000_000 // of the search
)

// finish solves what is left of a dive as a problem of its own, when it is
// small, and offers the two parts together. The dive goes on when it found none.
//
// Source: residual problems, Belov and Scheithauer, European Journal of
// Operational Research 171 (2006) 85-106.
func (d *dive) finish() error {
	d.finished = true
	if err := d.widen(); err != nil {
		return err
	}
	s := d.g.S
	p := &colgen.Problem{Demand: d.g.Demand, Capacity: s.P.Capacity, Size: s.P.Size}
	for k, kind := range s.Kinds {
		p.Kinds = append(p.Kinds, colgen.Kind{Cost: kind.Cost, Quantity: d.g.High[k]})
	}
	c := relax.NewState(s.Ctx, p, colgen.Options{WorkLimit: finishWork, Seed: s.Rng.Uint64()})
	c.Inner, c.Sack = true, s.Sack
	c.Below = (min(s.Cutoff(), d.aim) - d.cost + c.Unit - 1) / c.Unit
	c.Bound = d.g.Bound
	for _, t := range s.Pool.Patterns {
		if d.usable(t) {
			c.Pool.Add(t.Kind, t.Pieces)
		}
	}
	err := relax.IgnoreEnd(byMixes(c, d.g, effort{rounds: 1, exchange: 1}))
	s.Spend(c.Stats.Work)
	s.Stats.MemoryFull = s.Stats.MemoryFull || c.Stats.MemoryFull
	if err != nil || c.Best == nil || d.cost+c.Cost*c.Unit >= s.Cutoff() {
		return err
	}
	return s.Offer(append(append([]colgen.Use(nil), d.fixed...), c.Best...))
}

// usable reports whether what is left has a use for all pieces of a pattern.
func (d *dive) usable(t colgen.Pattern) bool {
	for _, pc := range t.Pieces {
		if pc.Count > d.g.Demand[pc.Item] {
			return false
		}
	}
	return d.g.High[t.Kind] != 0
}

// small reports whether what is left is better searched on its own.
func small(s *relax.State, demand []int) bool {
	return !s.Inner && len(s.Kinds) > 1 && relax.Total(demand) <= finishItems
}
