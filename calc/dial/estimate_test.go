package dial_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	. "resawd/calc/dial"
	"resawd/calc/fault"
	"resawd/calc/length"
)

// TestEstimate: differences of 4, 5 and 6 thou: mean 5, standard deviation 1,
// t(0.975, 2) = 4.30265 (printed tables), margin 4.30265/sqrt(3) = 2.48414.
func TestEstimate(t *testing.T) {
	pairs := []Pair{{104 * thou, 100 * thou}, {105 * thou, 100 * thou}, {106 * thou, 100 * thou}}
	turned := []Pair{{100 * thou, 104 * thou}, {100 * thou, 105 * thou}, {100 * thou, 106 * thou}}
	for _, p := range [][]Pair{pairs, turned} {
		e, err := EstimateBacklash(p, 0.95)
		if err != nil || e.Backlash != 5*thou || math.Abs(e.Low.In(thou)-2.51586) > 5e-5 || math.Abs(e.High.In(thou)-7.48414) > 5e-5 {
			t.Errorf("%+v, %v", e, err)
		}
	}
	// Of a mean of 1 with the same spread nothing says that it is not 0.
	if e, err := EstimateBacklash([]Pair{{0, 0}, {thou, 0}, {2 * thou, 0}}, 0.95); err != nil || e.Low != 0 || e.Backlash != thou {
		t.Errorf("%+v, %v", e, err)
	}
}

func TestEstimateLimits(t *testing.T) {
	const m = length.Metre
	one := func(forward, back length.Length) error {
		_, err := EstimateBacklash([]Pair{{}, {forward, back}}, 0.95)
		return err
	}
	many := func(count int, confidence float64) error {
		_, err := EstimateBacklash(slices.Repeat([]Pair{{thou, 0}}, count), confidence)
		return err
	}
	for _, c := range []struct {
		quantity string
		err      error
	}{
		{"pairs", many(1, 0.95)}, {"", many(2, 0.95)}, {"", many(1000, 0.95)}, {"pairs", many(1001, 0.95)},
		{"confidence", many(2, 0.4999)}, {"", many(2, 0.5)}, {"", many(2, 0.9999)}, {"confidence", many(2, 0.99991)}, {"confidence", many(2, math.NaN())},
		{"forward", one(-m-1, 0)}, {"", one(-m, 0)}, {"", one(m, 0)}, {"forward", one(m+1, 0)},
		{"back", one(0, -m-1)}, {"", one(0, -m)}, {"", one(0, m)}, {"back", one(0, m+1)},
	} {
		var out *fault.OutOfRange
		var pair *fault.Entry
		if c.quantity == "" && c.err != nil || c.quantity != "" && (!errors.As(c.err, &out) || out.Quantity != c.quantity) {
			t.Errorf("%s: %v", c.quantity, c.err)
		}
		if errors.As(c.err, &pair) && pair.Index != 1 {
			t.Errorf("%v of pair %d", c.err, pair.Index)
		}
	}
}

// TestEstimateInterval: of 4000 made-up screws with a backlash of 4 thou, read with
// errors of 0.5 thou, the stated share of intervals holds it.
func TestEstimateInterval(t *testing.T) {
	const trials = 4000
	held := 0
	random := rand.New(rand.NewPCG(14, 4))
	noise := func() length.Length { return length.Length(random.NormFloat64() * float64(thou) / 2) }
	for range trials {
		pairs := make([]Pair, 5)
		for i := range pairs {
			pairs[i] = Pair{4*thou + noise(), noise()}
		}
		if e, err := EstimateBacklash(pairs, 0.9); err != nil {
			t.Fatal(err)
		} else if e.Low <= 4*thou && 4*thou <= e.High {
			held++
		}
	}
	if p := float64(held) / trials; math.Abs(p-0.9) > 0.015 {
		t.Errorf("held %v", p)
	} else {
		t.Logf("held %.4f of 0.9", p)
	}
}
