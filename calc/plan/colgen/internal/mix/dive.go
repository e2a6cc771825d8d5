package mix

import (
	"math/rand/v2"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/relax"
)

// Dives before other means are tried, and in all.
const (
	FirstDives = 5
	MostDives  = 400
)

// Dives rounds the relaxation to plans again and again, each time with other
// choices. All but the first aim at plans near the bound, and are given up as
// soon as what is left costs too much for that.
//
// Source: Sadykov, Vanderbeck, Pessoa, Tahiri and Uchoa, INFORMS Journal on
// Computing 31 (2019) 251-267 (from memory); Belov and Scheithauer 2006.
func Dives(s *relax.State, from, to int) error {
	for n := from; n < to; n++ {
		s.Stats.Dives++
		d := &dive{g: s.Root.Clone(), noise: 0.1 * float64(n%12), rng: s.Rng, aim: relax.Unreachable, wide: n > 0}
		if s.Best != nil {
			d.aim = s.Bound + 1 + ((s.Cost-s.Bound-1)*int64(n%4)+3)/4
		}
		if err := relax.IgnoreNumeric(d.run()); err != nil {
			return err
		}
		for id := range s.Pool.Patterns {
			s.Root.AddColumn(int32(id))
		}
		if err := s.Root.Simplex(); err != nil {
			return relax.IgnoreNumeric(err)
		}
	}
	return nil
}

// dive fixes patterns one after the other and prices again in between.
type dive struct {
	g        *relax.Generator
	fixed    []colgen.Use
	cost     int64
	noise    float64
	rng      *rand.Rand
	aim      int64 // plans of this cost or more are of no use
	wide     bool  // take back boards before what is left is searched on its own
	finished bool  // what was left has been searched on its own
}

// run dives until the demands are covered or no better plan can come of it.
func (d *dive) run() error {
	for relax.Open(d.g.Demand) {
		if err := d.g.S.Alive(); err != nil {
			return err
		}
		if !d.finished && len(d.fixed) > 0 && small(d.g.S, d.g.Demand) && d.g.S.Best != nil {
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
		if !relax.Open(d.g.Demand) {
			break
		}
		d.g.Bound, d.g.Centre = 0, nil
		pruned, err := d.g.Solve(min(d.g.S.Cutoff(), d.aim) - d.cost)
		if err != nil || pruned {
			return err
		}
		if d.g.Lp.Unmet() > 1e-6 {
			return nil
		}
	}
	return d.g.S.Offer(d.fixed)
}

// fix rounds down what is above one; where nothing is, one pattern of a large
// fraction goes up.
func (d *dive) fix() bool {
	some, pick, high := false, int32(-1), 0.0
	for _, f := range d.g.Point() {
		if n := int(f.Value + 1e-6); n > 0 {
			some = d.take(f.ID, n) || some
		}
		if v := f.Value + d.noise*d.rng.Float64(); v > high {
			pick, high = f.ID, v
		}
	}
	return some || pick >= 0 && d.take(pick, 1)
}

// take fixes up to n boards of a pattern, as many as cut something wanted.
func (d *dive) take(id int32, n int) bool {
	t := d.g.S.Pool.Patterns[id]
	if h := d.g.High[t.Kind]; h != colgen.Unlimited {
		n = min(n, h)
	}
	copies := 0
	for ; copies < n; copies++ {
		some := false
		for _, pc := range t.Pieces {
			some = some || d.g.Demand[pc.Item] > 0
		}
		if !some {
			break
		}
		for _, pc := range t.Pieces {
			d.g.Demand[pc.Item] = max(0, d.g.Demand[pc.Item]-pc.Count)
		}
	}
	if copies == 0 {
		return false
	}
	if d.g.High[t.Kind] != colgen.Unlimited {
		d.g.High[t.Kind] -= copies
	}
	d.g.Low[t.Kind] = max(0, d.g.Low[t.Kind]-copies)
	d.cost += int64(copies) * d.g.S.Kinds[t.Kind].Cost
	d.fixed = append(d.fixed, colgen.Use{Pattern: t, Copies: copies})
	return true
}

// settle moves the master problem to the demands left.
func (d *dive) settle() error {
	g := d.g
	rhs := make([]float64, g.Lp.M)
	for i, r := range g.ItemRow {
		if r >= 0 {
			rhs[r] = float64(g.Demand[i])
		}
	}
	for k := range g.High {
		if r := g.HighRow[k]; r >= 0 {
			rhs[r] = float64(g.High[k])
		}
		if r := g.LowRow[k]; r >= 0 {
			rhs[r] = float64(g.Low[k])
		}
	}
	return g.Move(rhs)
}
