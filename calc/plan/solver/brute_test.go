package solver

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
)

// delivered returns the sets of each part that a plan gives.
func delivered(o plan.Order, p *plan.Plan) []int {
	got := make([]int, len(o.Parts))
	for _, t := range p.Taken {
		for _, b := range t.Billets {
			for _, l := range b.Leaves {
				got[l.Part] += t.Copies * l.Copies() / o.Parts[l.Part].SetSize()
			}
		}
	}
	for i, p := range o.Parts {
		got[i] = min(got[i], p.SetCount()) // a divided leaf may give more
	}
	return got
}

// TestBruteForce compares Solve with trying everything.
func TestBruteForce(t *testing.T) {
	orders := trial.Rounds(3000)
	r := rand.New(rand.NewPCG(3, 65))
	short, proven := 0, 0
	for n := range orders {
		o := trial.Tiny(r)
		if n%3 == 1 {
			o = trial.TinyWith(r, trial.Grids|trial.Smallest)
		}
		p, err := Solve(context.Background(), o, Options{WorkLimit: 1e7})
		if err != nil {
			t.Fatalf("order %d: %v\n%+v", n, err, o)
		}
		a := trial.NewBrute(o).Solve()
		if d := delivered(o, p); !slices.Equal(d, a.Sets) || p.Cost != a.Cost || p.Stats.Boards != a.Boards {
			t.Fatalf("order %d: %v for %d, by trying everything %+v\n%+v\n%+v", n, d, p.Cost, a, o, p)
		}
		if len(p.Unmet) > 0 {
			short++
		}
		if p.LowerBound == p.Cost && p.UnmetProven {
			proven++
		}
	}
	if short < orders/20 || short > orders*19/20 || proven != orders {
		t.Errorf("of %d orders %d were short and %d proven", orders, short, proven)
	}
}

// TestBruteWithAll compares Solve with trying everything on orders that have kits, divided
// leaves, work in the cost and a smallest billet, some or all of these.
func TestBruteWithAll(t *testing.T) {
	orders := trial.Rounds(1000)
	r := rand.New(rand.NewPCG(5, 66))
	short, proven := 0, 0
	for n := range orders {
		o := trial.TinyWith(r, trial.Feature(n%16)|trial.Feature(r.IntN(16)))
		p, err := Solve(context.Background(), o, Options{WorkLimit: 1e7})
		if err != nil {
			t.Fatalf("order %d: %v\n%+v", n, err, o)
		}
		a := trial.NewBrute(o).Solve()
		if kits, sets := given(o, p); !slices.Equal(kits, a.Kits) || !slices.Equal(sets, a.Sets) || p.Cost != a.Cost || p.Stats.Boards != a.Boards {
			t.Fatalf("order %d: %v and %v for %d on %d boards, by trying everything %+v\n%+v\n%+v", n, kits, sets, p.Cost, p.Stats.Boards, a, o, p)
		}
		if len(p.Unmet) > 0 {
			short++
		}
		if p.LowerBound == p.Cost && p.UnmetProven {
			proven++
		}
	}
	if short < orders/20 || short > orders*19/20 || proven != orders {
		t.Errorf("of %d orders %d were short and %d proven", orders, short, proven)
	}
}

// given returns what counts of a plan: kits, and sets of each part up to those wanted.
func given(o plan.Order, p *plan.Plan) (kits, sets []int) {
	for _, k := range o.Kits {
		kits = append(kits, k.Quantity)
	}
	for _, u := range p.UnmetKits {
		kits[u.Kit] -= u.Quantity
	}
	for _, part := range o.Parts {
		sets = append(sets, part.SetCount())
	}
	for _, u := range p.Unmet {
		sets[u.Part] -= u.Quantity / o.Parts[u.Part].SetSize()
	}
	return kits, sets
}

// TestFewestPasses compares the passes of plans with trying everything: the fewest there
// are at the least cost with the fewest boards. An order whose cost is in millions, its
// boards in thousands and its passes in units asks for the same in one number.
func TestFewestPasses(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 67))
	for n := range trial.Rounds(2000) {
		o := trial.TinyWith(r, trial.Feature(n%16))
		o.PassLength = plan.Rate{} // of which a part of a unit is rounded
		p, err := Solve(context.Background(), o, Options{WorkLimit: 1e7})
		if err != nil {
			t.Fatalf("order %d: %v\n%+v", n, err, o)
		}
		counted := o
		counted.Boards = slices.Clone(o.Boards)
		for k := range counted.Boards {
			counted.Boards[k].Price = o.Boards[k].Price*1e6 + 1e3
		}
		counted.PassPrice, counted.BilletPrice = o.PassPrice*1e6+1, o.BilletPrice*1e6
		a := trial.NewBrute(counted).Solve()
		if got := p.Cost*1e6 + int64(p.Stats.Boards)*1e3 + int64(p.Stats.Passes); got != a.Cost {
			t.Fatalf("order %d: %d, by trying everything %d\n%+v\n%+v", n, got, a.Cost, o, p)
		}
	}
}
