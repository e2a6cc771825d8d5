package colgen

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
	d.g.bound, d.g.centre = 0, nil
	_, err := d.g.solve(unreachable)
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
	if total(d.g.demand)+pieces > finishItems {
		return false
	}
	k := u.Kind
	d.cost -= d.g.s.kinds[k].Cost
	if d.g.high[k] != Unlimited {
		d.g.high[k]++
	}
	if u.Copies--; u.Copies == 0 {
		d.fixed = append(d.fixed[:x], d.fixed[x+1:]...)
	}
	d.recount()
	return true
}

// recount makes the demands what the boards fixed leave of them.
func (d *dive) recount() {
	copy(d.g.demand, d.g.s.p.Demand)
	for _, u := range d.fixed {
		for _, pc := range u.Pieces {
			d.g.demand[pc.Item] = max(0, d.g.demand[pc.Item]-pc.Count*u.Copies)
		}
	}
}
