package solver

import (
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
)

// TestKitsDelivered: orders with kits that were cut from known boards are delivered from
// these, and no bound is above what they cost. From just the boards of a plan that had
// boards without end nearly all are delivered, and what is unmet is not called proven.
func TestKitsDelivered(t *testing.T) {
	tight, unmet := 0, 0
	for n := range trial.Rounds(30) {
		seed := uint64(12 + n)
		size := []trial.KitSize{{Parts: 5, Kinds: 2, Kits: 12}, {Parts: 10, Kinds: 4, Kits: 10}, {Parts: 20, Kinds: 6, Kits: 10}}[seed%3]
		o, known := trial.KitOrder(seed, size)
		p := solved(t, o)
		if len(p.Unmet) > 0 {
			t.Errorf("%+v, seed %d: %v and %v unmet", size, seed, p.UnmetKits, p.Unmet)
		} else if p.LowerBound > known.Cost {
			t.Errorf("%+v, seed %d: bound %d above %d", size, seed, p.LowerBound, known.Cost)
		}
		for k := range o.Boards {
			o.Boards[k].Quantity = plan.Unlimited
		}
		p = solved(t, o)
		if len(p.Unmet) > 0 {
			t.Errorf("%+v, seed %d: %v and %v unmet, boards without end", size, seed, p.UnmetKits, p.Unmet)
		}
		taken := make([]int, len(o.Boards))
		for _, x := range p.Taken {
			taken[x.Board] += x.Copies
		}
		for k := range o.Boards {
			o.Boards[k].Quantity = taken[k]
		}
		cost := p.Cost
		p = solved(t, o)
		if tight++; len(p.Unmet) > 0 {
			unmet++
			t.Logf("%+v, seed %d: %v and %v unmet", size, seed, p.UnmetKits, p.Unmet)
			if p.UnmetProven {
				t.Errorf("%+v, seed %d: called proven", size, seed)
			}
		} else if p.LowerBound > cost {
			t.Errorf("%+v, seed %d: bound %d above %d", size, seed, p.LowerBound, cost)
		}
	}
	t.Logf("of %d tight orders %d are left unmet", tight, unmet)
	if unmet > tight/10 {
		t.Errorf("of %d tight orders %d are left unmet", tight, unmet)
	}
}

// solved solves an order for a while, and does not ask what would help.
func solved(t *testing.T, o plan.Order) *plan.Plan {
	t.Helper()
	p := unexplained(t, o)
	if err := plan.Check(o, p); err != nil {
		t.Fatal(err)
	}
	return p
}
