package solve

import (
	"context"
	"math/rand/v2"
	"reflect"
	"testing"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/trial"
)

// The work alone decides the path of a search over several kinds, too.
func TestDeterministicKinds(t *testing.T) {
	r := trial.Dealt(rand.New(rand.NewPCG(41, 42)), []int64{90, 75, 60, 40}, []int{9, 9, 9, 9})
	for k := range r.Kinds {
		r.Kinds[k] = colgen.Kind{Cost: r.Capacity[k], Quantity: colgen.Unlimited}
	}
	for _, limit := range []int64{300_000, 3_000_000} {
		a, errA := Solve(context.Background(), r.Problem(), colgen.Options{WorkLimit: limit})
		b, errB := Solve(context.Background(), r.Problem(), colgen.Options{WorkLimit: limit})
		if errA != nil || errB != nil || !reflect.DeepEqual(a, b) {
			t.Errorf("two searches differ: %+v, %v; %+v, %v", a, errA, b, errB)
		}
	}
}

// Boards of 10 for 5 and of 7 for 4, twelve leaves of 1: two of 7 do for 8, one
// of 7 and one of 10 for 9, two of 10 for 10, and no single board does. The
// relaxation says 12 x 5/10 = 6.
func TestNextMix(t *testing.T) {
	r := trial.Random{Kinds: []colgen.Kind{{Cost: 5, Quantity: 9}, {Cost: 4, Quantity: 9}}, Capacity: []int64{10, 7}, Size: []int64{1}, Demand: []int{12}}
	if got := solved(t, r); got.Status != colgen.Optimal || got.Cost != 8 || got.Stats.Dives > 0 {
		t.Errorf("%+v; want a proof of 8 without dives", got)
	}
}

// TestMixes: of orders of three kinds of board, each of its own price, nearly all are proven
// soon, by ruling out the mixes of boards that are cheaper.
func TestMixes(t *testing.T) {
	orders, proven := trial.Rounds(400), 0
	for seed := range uint64(orders) {
		rng := rand.New(rand.NewPCG(seed, 7))
		r := trial.Dealt(rng, []int64{60 + rng.Int64N(60), 40 + rng.Int64N(40), 90 + rng.Int64N(60)}, []int{2 + rng.IntN(9), 2 + rng.IntN(9), 1 + rng.IntN(9)})
		for k := range r.Kinds {
			r.Kinds[k] = colgen.Kind{Cost: 10*r.Capacity[k] + rng.Int64N(30), Quantity: colgen.Unlimited}
		}
		res, err := Solve(context.Background(), r.Problem(), colgen.Options{WorkLimit: 10_000_000})
		if err != nil {
			t.Fatal(err)
		}
		if res.Status == colgen.Optimal {
			proven++
		}
	}
	t.Logf("%d of %d are proven", proven, orders)
	if proven < orders*94/100 {
		t.Errorf("%d of %d are proven", proven, orders)
	}
}
