package solver_test

import (
	"context"
	"encoding/json"
	"math/rand/v2"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
	"resawd/calc/plan/solver"
)

// mutation spoils a plan in one way. It reports whether the plan has what it
// spoils.
type mutation struct {
	name  string
	spoil func(o *plan.Order, p *plan.Plan, r *rand.Rand) bool
}

// some returns a billet of a board that is taken.
func some(p *plan.Plan, r *rand.Rand) *plan.Billet {
	t := p.Taken[r.IntN(len(p.Taken))]
	return &t.Billets[r.IntN(len(t.Billets))]
}

// always wraps a mutation that every plan can suffer.
func always(f func(o *plan.Order, p *plan.Plan, r *rand.Rand)) func(*plan.Order, *plan.Plan, *rand.Rand) bool {
	return func(o *plan.Order, p *plan.Plan, r *rand.Rand) bool { f(o, p, r); return true }
}

var mutations = []mutation{
	{"a leaf more", always(func(_ *plan.Order, p *plan.Plan, r *rand.Rand) { some(p, r).Leaves[0].Count++ })},
	{"a leaf less", always(func(_ *plan.Order, p *plan.Plan, r *rand.Rand) { some(p, r).Leaves[0].Count-- })},
	{"a billet without leaves", always(func(_ *plan.Order, p *plan.Plan, r *rand.Rand) { some(p, r).Leaves = nil })},
	{"a part that is not there", always(func(o *plan.Order, p *plan.Plan, r *rand.Rand) { some(p, r).Leaves[0].Part = len(o.Parts) })},
	{"a longer billet", always(func(_ *plan.Order, p *plan.Plan, r *rand.Rand) { some(p, r).Length++ })},
	{"a wider billet", always(func(_ *plan.Order, p *plan.Plan, r *rand.Rand) { some(p, r).Width++ })},
	{"a billet nearer the end", always(func(o *plan.Order, p *plan.Plan, r *rand.Rand) { some(p, r).From = o.EndTrim - 1 })},
	{"a billet beyond the edge", always(func(o *plan.Order, p *plan.Plan, r *rand.Rand) {
		t := p.Taken[r.IntN(len(p.Taken))]
		t.Billets[0].Across = o.Boards[t.Board].Width
	})},
	{"a negative place", always(func(_ *plan.Order, p *plan.Plan, r *rand.Rand) { some(p, r).Across = -1 })},
	{"no rip kerf", func(_ *plan.Order, p *plan.Plan, _ *rand.Rand) bool {
		return neighbours(p, func(x, y *plan.Billet) bool {
			if x.From == y.From && y.Across > x.Across {
				y.Across = x.Across + x.Width
				return true
			}
			return false
		})
	}},
	{"no crosscut kerf", func(_ *plan.Order, p *plan.Plan, _ *rand.Rand) bool {
		return neighbours(p, func(x, y *plan.Billet) bool {
			if x.From < y.From {
				y.From = x.From + x.Length
				return true
			}
			return false
		})
	}},
	{"a billet over a defect", func(o *plan.Order, p *plan.Plan, _ *rand.Rand) bool {
		b := p.Taken[0].Billets[0]
		d := &o.Boards[p.Taken[0].Board].Defects
		*d = append(*d, plan.Defect{From: b.From + b.Length/2, To: b.From + b.Length/2})
		return true
	}},
	{"more bow", func(o *plan.Order, p *plan.Plan, _ *rand.Rand) bool {
		o.Boards[p.Taken[0].Board].Bow += trial.MM
		return true
	}},
	{"less skim", always(func(_ *plan.Order, p *plan.Plan, r *rand.Rand) { some(p, r).Skim-- })},
	{"less hold-back", always(func(o *plan.Order, _ *plan.Plan, _ *rand.Rand) { o.HoldBack++ })},
	{"another kerf", always(func(o *plan.Order, _ *plan.Plan, _ *rand.Rand) { o.Kerf++ })},
	{"more remainder", always(func(_ *plan.Order, p *plan.Plan, r *rand.Rand) { some(p, r).Remainder++ })},
	{"tight", always(func(_ *plan.Order, p *plan.Plan, r *rand.Rand) { b := some(p, r); b.Tight = !b.Tight })},
	{"trim", always(func(_ *plan.Order, p *plan.Plan, r *rand.Rand) { some(p, r).Leaves[0].TrimWidth++ })},
	{"no copies", always(func(_ *plan.Order, p *plan.Plan, _ *rand.Rand) { p.Taken[0].Copies = 0 })},
	{"one copy more", always(func(_ *plan.Order, p *plan.Plan, _ *rand.Rand) { p.Taken[0].Copies++ })},
	{"a board that is not there", always(func(o *plan.Order, p *plan.Plan, _ *rand.Rand) { p.Taken[0].Board = len(o.Boards) })},
	{"too few boards", always(func(o *plan.Order, p *plan.Plan, _ *rand.Rand) {
		o.Boards[p.Taken[0].Board].Quantity = p.Taken[0].Copies - 1
	})},
	{"a board left out", always(func(_ *plan.Order, p *plan.Plan, _ *rand.Rand) { p.Taken = p.Taken[1:] })},
	{"a board without billets", always(func(o *plan.Order, p *plan.Plan, _ *rand.Rand) { p.Taken = append(p.Taken, plan.Taken{Copies: 1}) })},
	{"another species", always(func(o *plan.Order, p *plan.Plan, _ *rand.Rand) {
		o.Parts[p.Taken[0].Billets[0].Leaves[0].Part].Species = "other"
	})},
	{"sawn another way", always(func(o *plan.Order, p *plan.Plan, _ *rand.Rand) {
		o.Parts[p.Taken[0].Billets[0].Leaves[0].Part].Sawn = "other"
	})},
	{"a larger set", always(func(o *plan.Order, p *plan.Plan, _ *rand.Rand) {
		o.Parts[p.Taken[0].Billets[0].Leaves[0].Part].Matched = 101
	})},
	{"a lower saw", always(func(o *plan.Order, p *plan.Plan, r *rand.Rand) { o.Saw.CuttingHeight = some(p, r).Width - 1 })},
	{"a shorter rail", always(func(o *plan.Order, p *plan.Plan, r *rand.Rand) { o.Saw.BilletLength = some(p, r).Length - 1 })},
	{"more wanted", always(func(o *plan.Order, _ *plan.Plan, _ *rand.Rand) { o.Parts[0].Quantity += 2 })},
	{"spares wanted", always(func(o *plan.Order, _ *plan.Plan, _ *rand.Rand) { o.Parts[0].Spare += 2 })},
	{"unmet, though cut", always(func(_ *plan.Order, p *plan.Plan, _ *rand.Rand) {
		p.Unmet = []plan.Unmet{{Part: 0, Quantity: 2}}
		p.Status = plan.Infeasible
	})},
	{"unmet of an unknown part", always(func(o *plan.Order, p *plan.Plan, _ *rand.Rand) {
		p.Unmet = []plan.Unmet{{Part: len(o.Parts), Quantity: 2}}
	})},
	{"another cost", always(func(_ *plan.Order, p *plan.Plan, _ *rand.Rand) { p.Cost-- })},
	{"a bound above the cost", always(func(_ *plan.Order, p *plan.Plan, _ *rand.Rand) { p.LowerBound = p.Cost + 1 })},
	{"a negative bound", always(func(_ *plan.Order, p *plan.Plan, _ *rand.Rand) { p.LowerBound = -1 })},
	{"another gap", always(func(_ *plan.Order, p *plan.Plan, _ *rand.Rand) { p.Gap += 1e-9 })},
	{"optimal, with a gap", func(_ *plan.Order, p *plan.Plan, _ *rand.Rand) bool { p.Status = plan.Optimal; return p.Gap > 0 }},
	{"infeasible, with everything", always(func(_ *plan.Order, p *plan.Plan, _ *rand.Rand) { p.Status = plan.Infeasible })},
}

// neighbours spoils two billets of one board.
func neighbours(p *plan.Plan, spoil func(x, y *plan.Billet) bool) bool {
	for _, t := range p.Taken {
		for i := range t.Billets {
			for j := range t.Billets {
				if i != j && spoil(&t.Billets[i], &t.Billets[j]) {
					return true
				}
			}
		}
	}
	return false
}

// copied returns a deep copy.
func copied[T any](t *testing.T, x T) T {
	t.Helper()
	data, err := json.Marshal(x)
	if err != nil {
		t.Fatal(err)
	}
	var y T
	if err := json.Unmarshal(data, &y); err != nil {
		t.Fatal(err)
	}
	return y
}

// TestMutations: the checker accepts a plan, and no plan that is spoiled.
func TestMutations(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	for seed := uint64(1); seed <= 3; seed++ {
		o := trial.RealOrder(seed)
		o.ThicknessMargin = trial.MM
		p, err := solver.Solve(context.Background(), o, solver.Options{WorkLimit: 1})
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range mutations {
			for range 5 {
				o2, p2 := copied(t, o), copied(t, p)
				if err := plan.Check(o2, p2); err != nil {
					t.Fatal(err)
				}
				if !m.spoil(&o2, p2, r) {
					t.Errorf("%s: nothing to spoil", m.name)
				} else if plan.Check(o2, p2) == nil {
					t.Errorf("%s: accepted", m.name)
				}
			}
		}
	}
}
