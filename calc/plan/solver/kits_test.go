package solver

import (
	"cmp"
	"context"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
)

// withKits adds kits to an order: so many kinds of a few parts each.
func withKits(o plan.Order, r *rand.Rand, kinds int) plan.Order {
	for range kinds {
		k := plan.Kit{Quantity: 1 + r.IntN(6)}
		for _, i := range r.Perm(len(o.Parts))[:2+r.IntN(2)] {
			p := &o.Parts[i]
			if p.Species != "" {
				continue // of any species, so that some board has them all
			}
			n := p.SetSize() * (1 + r.IntN(2))
			p.Quantity += n * k.Quantity
			k.Parts = append(k.Parts, plan.KitPart{Part: i, Quantity: n})
		}
		if len(k.Parts) > 0 {
			o.Kits = append(o.Kits, k)
		}
	}
	return o
}

// TestLargeKits: orders with kits that are too large to be solved outright are answered,
// and no kit is unmet where boards are without end.
func TestLargeKits(t *testing.T) {
	for seed := range uint64(trial.Rounds(3)) {
		r := rand.New(rand.NewPCG(seed, 12))
		o := withKits(trial.MakerOrder(seed), r, 3)
		for i := range o.Boards {
			o.Boards[i].Quantity = plan.Unlimited
		}
		ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
		start := time.Now()
		p, err := Solve(ctx, o, Options{WorkLimit: 5_000_000})
		cancel()
		if err != nil {
			t.Fatal(err)
		}
		if len(p.UnmetKits) > 0 || len(p.Unmet) > 0 {
			t.Errorf("seed %d: %v and %v unmet", seed, p.UnmetKits, p.Unmet)
		}
		t.Logf("seed %d: %s cost %d bound %d gap %.3f %s", seed, p.Status, p.Cost, p.LowerBound, p.Gap, time.Since(start))
	}
}

// TestKeptKits searches tiny orders with kits as if they were large: every plan keeps its
// kits, none gives more or costs less than trying everything finds, and no bound is
// above that.
func TestKeptKits(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 13))
	best, all := 0, 0
	for n := range trial.Rounds(300) {
		o := trial.TinyWith(r, trial.Kits|trial.Feature(r.IntN(16)))
		s := solver{ctx: context.Background(), o: o, jobs: split(o)}
		for _, j := range s.jobs {
			j.kits, j.need = j.p.Wanted()
			if err := j.beginLarge(s.ctx); err != nil {
				t.Fatal(err)
			}
			for range 5 {
				if j.open && (j.search != nil || j.keeper != nil) {
					j.slice(false)
				}
			}
			j.cuts = j.p.Trim(j.cuts, j.need)
			j.bound = min(j.bound, j.p.Cost(j.cuts))
		}
		if err := s.explain(); err != nil {
			t.Fatal(err)
		}
		p := s.plan()
		if err := plan.Check(o, p); err != nil {
			t.Fatalf("order %d: %v\n%+v\n%+v", n, err, o, p)
		}
		a := trial.NewBrute(o).Solve()
		kits, sets := given(o, p)
		same := cmp.Or(slices.Compare(kits, a.Kits), slices.Compare(sets, a.Sets))
		if same > 0 || same == 0 && (p.Cost < a.Cost || p.LowerBound > a.Cost) || same < 0 && p.UnmetProven {
			t.Fatalf("order %d: %v and %v for %d to %d, proven %t, by trying everything %+v\n%+v", n, kits, sets, p.LowerBound, p.Cost, p.UnmetProven, a, o)
		}
		if all++; same == 0 && p.Cost == a.Cost {
			best++
		}
	}
	t.Logf("%d of %d are the best", best, all)
	if best*10 < all*9 {
		t.Errorf("only %d of %d are the best", best, all)
	}
}
