package colgen

import (
	"math/rand/v2"
	"testing"
)

// dealt is a problem whose boards can be filled without waste: pieces that
// boards of the capacities, so many of each, were broken into.
func dealt(rng *rand.Rand, capacity []int64, mix []int) random {
	r := random{capacity: capacity}
	count := map[int64]int{}
	for k, n := range mix {
		r.kinds = append(r.kinds, Kind{capacity[k], n})
		for range n {
			a := capacity[k]/5 + rng.Int64N(capacity[k]/5)
			b := a + 1 + rng.Int64N(capacity[k]-2*a-1)
			count[a]++
			count[b]++
			count[capacity[k]-a-b]++
		}
	}
	for s := int64(1); s < 1000; s++ {
		if count[s] > 0 {
			r.size, r.demand = append(r.size, s), append(r.demand, count[s])
		}
	}
	return r
}

// Boards that were broken into pieces are put together again, board by board or
// by exchanging pieces.
func TestPacks(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 32))
	mix := []int{3, 4, 5}
	for range 10 {
		r := dealt(rng, []int64{60, 45, 30}, mix)
		s := r.started()
		m := s.newMixing(s.root, effort{exchange: 1000})
		m.tried = 1
		if spare := m.pack.spare(mix); spare != 0 {
			t.Fatalf("%d to spare; want none", spare)
		}
		plan, err := m.repacked(mix)
		if err != nil || plan == nil {
			t.Fatalf("%+v: no plan, error %v", r, err)
		}
		if cost, err := s.p.checkPlan(plan); err != nil || cost != 3*60+4*45+5*30 {
			t.Errorf("cost %d, error %v; want %d", cost, err, 3*60+4*45+5*30)
		}
		if m.pack.run(mix, m.pack.orders[0], 0, 100_000) {
			if cost, err := s.p.checkPlan(m.pack.plan()); err != nil || cost != 3*60+4*45+5*30 {
				t.Errorf("cost %d, error %v; want %d", cost, err, 3*60+4*45+5*30)
			}
		}
	}
}

// One board less is not enough.
func TestPacksTooFew(t *testing.T) {
	mix := []int{2, 2}
	r := dealt(rand.New(rand.NewPCG(1, 1)), []int64{60, 45}, mix)
	s := r.started()
	m := s.newMixing(s.root, effort{exchange: 1})
	m.tried = 1
	mix[1]--
	if m.pack.spare(mix) >= 0 || m.pack.run(mix, m.pack.orders[0], 1, 1000) {
		t.Error("the pieces of four boards were cut from three")
	}
	if plan, err := m.repacked(mix); plan != nil || err != nil {
		t.Errorf("plan %v, error %v; want none", plan, err)
	}
}
