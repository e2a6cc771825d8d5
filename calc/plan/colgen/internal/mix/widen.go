package mix

import (
	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/relax"
)

// widen takes boards back at random, as long as what is left stays small:
// dives that all fix the same boards then leave different problems.
//
// Source: extended residual problems, Belov and Scheithauer, European Journal
// of Operational Research 171 (2006) 85-106 (from memory).
func (d *dive) widen() error {
	if !d.wide {
		return nil
	}
	for len(d.fixed) > 0 && d.takeBack(d.rng.IntN(len(d.fixed))) {
	}
	if err := d.settle(); err != nil {
		return err
	}
	d.g.Bound, d.g.Centre = 0, nil
	_, err := d.g.Solve(relax.Unreachable)
	return err
}

// takeBack takes back one board of a use, and reports whether what is left then
// is still small.
func (d *dive) takeBack(x int) bool {
	u := &d.fixed[x]
	pieces := 0
	for _, pc := range u.Pieces {
		pieces += pc.Count
	}
	if relax.Total(d.g.Demand)+pieces > finishItems {
		return false
	}
	k := u.Kind
	d.cost -= d.g.S.Kinds[k].Cost
	if d.g.High[k] != colgen.Unlimited {
		d.g.High[k]++
	}
	if u.Copies--; u.Copies == 0 {
		d.fixed = append(d.fixed[:x], d.fixed[x+1:]...)
	}
	d.recount()
	return true
}

// recount makes the demands what the boards fixed leave of them.
func (d *dive) recount() {
	copy(d.g.Demand, d.g.S.P.Demand)
	for _, u := range d.fixed {
		for _, pc := range u.Pieces {
			d.g.Demand[pc.Item] = max(0, d.g.Demand[pc.Item]-pc.Count*u.Copies)
		}
	}
}
