package mix

import (
	"math/rand/v2"
	"testing"

	"resawd/calc/plan/colgen/internal/trial"
)

// Boards that were broken into pieces are put together again, board by board or
// by exchanging pieces.
func TestPacks(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 32))
	mix := []int{3, 4, 5}
	for range 10 {
		r := trial.Dealt(rng, []int64{60, 45, 30}, mix)
		s := r.Started()
		m := newMixing(s, s.Root, effort{exchange: 1000})
		m.tried = 1
		if spare := m.pack.Spare(mix); spare != 0 {
			t.Fatalf("%d to spare; want none", spare)
		}
		plan, err := m.repacked(mix)
		if err != nil || plan == nil {
			t.Fatalf("%+v: no plan, error %v", r, err)
		}
		if cost, err := s.P.CheckPlan(plan); err != nil || cost != 3*60+4*45+5*30 {
			t.Errorf("cost %d, error %v; want %d", cost, err, 3*60+4*45+5*30)
		}
		if m.pack.Run(mix, m.pack.Orders[0], 0, 100_000) {
			if cost, err := s.P.CheckPlan(m.pack.Plan()); err != nil || cost != 3*60+4*45+5*30 {
				t.Errorf("cost %d, error %v; want %d", cost, err, 3*60+4*45+5*30)
			}
		}
	}
}

// One board less is not enough.
func TestPacksTooFew(t *testing.T) {
	mix := []int{2, 2}
	r := trial.Dealt(rand.New(rand.NewPCG(1, 1)), []int64{60, 45}, mix)
	s := r.Started()
	m := newMixing(s, s.Root, effort{exchange: 1})
	m.tried = 1
	mix[1]--
	if m.pack.Spare(mix) >= 0 || m.pack.Run(mix, m.pack.Orders[0], 1, 1000) {
		t.Error("the pieces of four boards were cut from three")
	}
	if plan, err := m.repacked(mix); plan != nil || err != nil {
		t.Errorf("plan %v, error %v; want none", plan, err)
	}
}
