package mix

import (
	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/pack"
)

// exchangeChunk is the work of exchanging pieces between looks at the clock.
const exchangeChunk = 10_000_000

// repacked looks for a plan of a mix by exchanging pieces between its boards.
func (m *mixing) repacked(mix []int) ([]colgen.Use, error) {
	var full []int64
	var kind []int
	for _, k := range m.pack.Orders[1] {
		for range mix[k] {
			full, kind = append(full, m.pack.N.Capacity[k]), append(kind, k)
		}
	}
	r := pack.RepackerOf(m.pack.Sizes, full, m.s.Rng)
	usual := r.Budget()
	end := max(m.exchange*usual/int64(m.tried), usual)
	for r.Work < end {
		before := r.Work
		found := r.Search(min(end-before, exchangeChunk))
		m.s.Spend(r.Work - before)
		if found {
			return planOf(r, kind), nil
		}
		if err := m.s.Alive(); err != nil || m.spent() {
			return nil, err
		}
	}
	return nil, nil
}

// planOf is the boards as a plan, each of its kind.
func planOf(r *pack.Repacker, kind []int) []colgen.Use {
	plan := r.Plan()
	x := 0 // empty boards are not in the plan
	for b, pieces := range r.Boards {
		if len(pieces) > 0 {
			plan[x].Kind = kind[b]
			x++
		}
	}
	return plan
}
