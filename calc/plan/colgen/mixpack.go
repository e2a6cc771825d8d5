package colgen

// exchangeChunk is the work of exchanging pieces between looks at the clock.
const exchangeChunk = 10_000_000

// repacked looks for a plan of a mix by exchanging pieces between its boards.
func (m *mixing) repacked(mix []int) ([]Use, error) {
	var full []int64
	var kind []int
	for _, k := range m.pack.orders[1] {
		for range mix[k] {
			full, kind = append(full, m.pack.n.capacity[k]), append(kind, k)
		}
	}
	r := repackerOf(m.pack.stack, full, m.s.rng)
	usual := r.budget()
	end := max(m.exchange*usual/int64(m.tried), usual)
	for r.work < end {
		before := r.work
		found := r.search(min(end-before, exchangeChunk))
		m.s.spend(r.work - before)
		if found {
			return r.planOf(kind), nil
		}
		if err := m.s.alive(); err != nil || m.spent() {
			return nil, err
		}
	}
	return nil, nil
}

// planOf is the boards as a plan, each of its kind.
func (r *repacker) planOf(kind []int) []Use {
	plan := r.plan()
	x := 0 // empty boards are not in the plan
	for b, pieces := range r.boards {
		if len(pieces) > 0 {
			plan[x].Kind = kind[b]
			x++
		}
	}
	return plan
}
