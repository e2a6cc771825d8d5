package colgen

// what a dive leaves to a search of its own
const (
	finishItems = 100
	finishWork  = 60_000_000
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
	s := d.g.s
	p := &Problem{Demand: d.g.demand, Capacity: s.p.Capacity, Size: s.p.Size}
	for k, kind := range s.kinds {
		p.Kinds = append(p.Kinds, Kind{kind.Cost, d.g.high[k]})
	}
	c := newSearch(s.ctx, p, Options{WorkLimit: finishWork, Seed: s.rng.Uint64()})
	c.inner, c.sack = true, s.sack
	c.below = (min(s.cutoff(), d.aim) - d.cost + c.unit - 1) / c.unit
	c.bound = d.g.bound
	for _, t := range s.pool.patterns {
		if d.usable(t) {
			c.pool.add(t.Kind, t.Pieces)
		}
	}
	err := ignoreEnd(c.byMixes(d.g, effort{rounds: 1, exchange: 1}))
	s.spend(c.stats.Work)
	s.stats.Queries += c.stats.Queries
	s.stats.Pivots += c.stats.Pivots
	if err != nil || c.best == nil || d.cost+c.cost*c.unit >= s.cutoff() {
		return err
	}
	return s.offer(append(append([]Use(nil), d.fixed...), c.best...))
}

// usable reports whether what is left has a use for all pieces of a pattern.
func (d *dive) usable(t Pattern) bool {
	for _, pc := range t.Pieces {
		if pc.Count > d.g.demand[pc.Item] {
			return false
		}
	}
	return d.g.high[t.Kind] != 0
}

// small reports whether what is left is better searched on its own.
func (s *search) small(demand []int) bool {
	return !s.inner && len(s.kinds) > 1 && total(demand) <= finishItems
}
