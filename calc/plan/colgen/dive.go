package colgen

import "math/rand/v2"

// dives before other means are tried, and in all
const (
	firstDives = 5
	mostDives  = 400
)

// dives rounds the relaxation to plans again and again, each time with other
// choices. All but the first aim at plans near the bound, and are given up as
// soon as what is left costs too much for that.
//
// Source: Sadykov, Vanderbeck, Pessoa, Tahiri and Uchoa, INFORMS Journal on
// Computing 31 (2019) 251-267 (from memory); Belov and Scheithauer 2006.
func (s *search) dives(from, to int) error {
	for n := from; n < to; n++ {
		s.stats.Dives++
		d := &dive{g: s.root.clone(), noise: 0.1 * float64(n%12), rng: s.rng, aim: unreachable, wide: n > 0}
		if s.best != nil {
			d.aim = s.bound + 1 + ((s.cost-s.bound-1)*int64(n%4)+3)/4
		}
		if err := ignoreNumeric(d.run()); err != nil {
			return err
		}
		for id := range s.pool.patterns {
			s.root.addColumn(int32(id))
		}
		if err := s.root.simplex(); err != nil {
			return ignoreNumeric(err)
		}
	}
	return nil
}

// dive fixes patterns one after the other and prices again in between.
type dive struct {
	g        *generator
	fixed    []Use
	cost     int64
	noise    float64
	rng      *rand.Rand
	aim      int64 // plans of this cost or more are of no use
	wide     bool  // take back boards before what is left is searched on its own
	finished bool  // what was left has been searched on its own
}

// run dives until the demands are covered or no better plan can come of it.
func (d *dive) run() error {
	for open(d.g.demand) {
		if err := d.g.s.alive(); err != nil {
			return err
		}
		if !d.finished && len(d.fixed) > 0 && d.g.s.small(d.g.demand) && d.g.s.best != nil {
			if err := d.finish(); err != nil {
				return err
			}
		}
		if !d.fix() {
			return nil
		}
		if err := d.settle(); err != nil {
			return err
		}
		if !open(d.g.demand) {
			break
		}
		d.g.bound, d.g.centre = 0, nil
		pruned, err := d.g.solve(min(d.g.s.cutoff(), d.aim) - d.cost)
		if err != nil || pruned {
			return err
		}
		if d.g.lp.unmet() > 1e-6 {
			return nil
		}
	}
	return d.g.s.offer(d.fixed)
}

// fix rounds down what is above one; where nothing is, one pattern of a large
// fraction goes up.
func (d *dive) fix() bool {
	some, pick, high := false, int32(-1), 0.0
	for _, f := range d.g.point() {
		if n := int(f.value + 1e-6); n > 0 {
			some = d.take(f.id, n) || some
		}
		if v := f.value + d.noise*d.rng.Float64(); v > high {
			pick, high = f.id, v
		}
	}
	return some || pick >= 0 && d.take(pick, 1)
}

// take fixes up to n boards of a pattern, as many as cut something wanted.
func (d *dive) take(id int32, n int) bool {
	t := d.g.s.pool.patterns[id]
	if h := d.g.high[t.Kind]; h != Unlimited {
		n = min(n, h)
	}
	copies := 0
	for ; copies < n; copies++ {
		some := false
		for _, pc := range t.Pieces {
			some = some || d.g.demand[pc.Item] > 0
		}
		if !some {
			break
		}
		for _, pc := range t.Pieces {
			d.g.demand[pc.Item] = max(0, d.g.demand[pc.Item]-pc.Count)
		}
	}
	if copies == 0 {
		return false
	}
	if d.g.high[t.Kind] != Unlimited {
		d.g.high[t.Kind] -= copies
	}
	d.g.low[t.Kind] = max(0, d.g.low[t.Kind]-copies)
	d.cost += int64(copies) * d.g.s.kinds[t.Kind].Cost
	d.fixed = append(d.fixed, Use{t, copies})
	return true
}

// settle moves the master problem to the demands left.
func (d *dive) settle() error {
	g := d.g
	rhs := make([]float64, g.lp.m)
	for i, r := range g.itemRow {
		if r >= 0 {
			rhs[r] = float64(g.demand[i])
		}
	}
	for k := range g.high {
		if r := g.highRow[k]; r >= 0 {
			rhs[r] = float64(g.high[k])
		}
		if r := g.lowRow[k]; r >= 0 {
			rhs[r] = float64(g.low[k])
		}
	}
	return g.move(rhs)
}
