package colgen

import "math/rand/v2"

// exchanged looks for a plan of a mix by exchanging pieces between its boards,
// for a part of so many times the usual work.
func (f *packer) exchanged(mix []int, times, part int64, rng *rand.Rand) ([]Use, bool) {
	var full []int64
	var kind []int
	for _, k := range f.orders[1] {
		for range mix[k] {
			full, kind = append(full, f.n.capacity[k]), append(kind, k)
		}
	}
	r := repackerOf(f.stack, full, rng)
	found := r.search(max(times*r.budget()/part, r.budget()))
	f.work += r.work
	if !found {
		return nil, false
	}
	plan := r.plan()
	x := 0 // empty boards are not in the plan
	for b, pieces := range r.boards {
		if len(pieces) > 0 {
			plan[x].Kind = kind[b]
			x++
		}
	}
	return plan, true
}
