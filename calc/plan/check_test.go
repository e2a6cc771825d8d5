package plan

import (
	"context"
	"encoding/json"
	"math/rand/v2"
	"testing"
)

// mutation spoils a plan in one way. It tells whether the plan has what it
// spoils.
type mutation struct {
	name  string
	spoil func(o *Order, p *Plan, r *rand.Rand) bool
}

// some returns a billet of a plan.
func some(p *Plan, r *rand.Rand) *Billet {
	t := p.Taken[r.IntN(len(p.Taken))]
	return &t.Billets[r.IntN(len(t.Billets))]
}

// always wraps a mutation that every plan can suffer.
func always(f func(o *Order, p *Plan, r *rand.Rand)) func(*Order, *Plan, *rand.Rand) bool {
	return func(o *Order, p *Plan, r *rand.Rand) bool { f(o, p, r); return true }
}

var mutations = []mutation{
	{"a leaf more", always(func(_ *Order, p *Plan, r *rand.Rand) { some(p, r).Leaves[0].Count++ })},
	{"a leaf less", always(func(_ *Order, p *Plan, r *rand.Rand) { some(p, r).Leaves[0].Count-- })},
	{"a billet without leaves", always(func(_ *Order, p *Plan, r *rand.Rand) { some(p, r).Leaves = nil })},
	{"a part that is not there", always(func(o *Order, p *Plan, r *rand.Rand) { some(p, r).Leaves[0].Part = len(o.Parts) })},
	{"a longer billet", always(func(_ *Order, p *Plan, r *rand.Rand) { some(p, r).Length++ })},
	{"a wider billet", always(func(_ *Order, p *Plan, r *rand.Rand) { some(p, r).Width++ })},
	{"a billet nearer the end", always(func(o *Order, p *Plan, r *rand.Rand) { some(p, r).From = o.EndTrim - 1 })},
	{"a billet beyond the edge", always(func(o *Order, p *Plan, r *rand.Rand) {
		t := p.Taken[r.IntN(len(p.Taken))]
		t.Billets[0].Across = o.Boards[t.Board].Width
	})},
	{"a negative place", always(func(_ *Order, p *Plan, r *rand.Rand) { some(p, r).Across = -1 })},
	{"no rip kerf", func(_ *Order, p *Plan, _ *rand.Rand) bool {
		return neighbours(p, func(x, y *Billet) bool {
			if x.From == y.From && y.Across > x.Across {
				y.Across = x.Across + x.Width
				return true
			}
			return false
		})
	}},
	{"no crosscut kerf", func(_ *Order, p *Plan, _ *rand.Rand) bool {
		return neighbours(p, func(x, y *Billet) bool {
			if x.From < y.From {
				y.From = x.From + x.Length
				return true
			}
			return false
		})
	}},
	{"a billet over a defect", func(o *Order, p *Plan, _ *rand.Rand) bool {
		b := p.Taken[0].Billets[0]
		d := &o.Boards[p.Taken[0].Board].Defects
		*d = append(*d, Defect{b.From + b.Length/2, b.From + b.Length/2})
		return true
	}},
	{"more bow", func(o *Order, p *Plan, _ *rand.Rand) bool {
		o.Boards[p.Taken[0].Board].Bow += mm
		return true
	}},
	{"less skim", always(func(_ *Order, p *Plan, r *rand.Rand) { some(p, r).Skim-- })},
	{"less hold-back", always(func(o *Order, _ *Plan, _ *rand.Rand) { o.HoldBack++ })},
	{"another kerf", always(func(o *Order, _ *Plan, _ *rand.Rand) { o.Kerf++ })},
	{"more remainder", always(func(_ *Order, p *Plan, r *rand.Rand) { some(p, r).Remainder++ })},
	{"tight", always(func(_ *Order, p *Plan, r *rand.Rand) { b := some(p, r); b.Tight = !b.Tight })},
	{"trim", always(func(_ *Order, p *Plan, r *rand.Rand) { some(p, r).Leaves[0].TrimWidth++ })},
	{"no copies", always(func(_ *Order, p *Plan, _ *rand.Rand) { p.Taken[0].Copies = 0 })},
	{"one copy more", always(func(_ *Order, p *Plan, _ *rand.Rand) { p.Taken[0].Copies++ })},
	{"a board that is not there", always(func(o *Order, p *Plan, _ *rand.Rand) { p.Taken[0].Board = len(o.Boards) })},
	{"too few boards", always(func(o *Order, p *Plan, _ *rand.Rand) { o.Boards[p.Taken[0].Board].Quantity = p.Taken[0].Copies - 1 })},
	{"a board left out", always(func(_ *Order, p *Plan, _ *rand.Rand) { p.Taken = p.Taken[1:] })},
	{"a board without billets", always(func(o *Order, p *Plan, _ *rand.Rand) { p.Taken = append(p.Taken, Taken{0, 1, nil}) })},
	{"another species", always(func(o *Order, p *Plan, _ *rand.Rand) { o.Parts[p.Taken[0].Billets[0].Leaves[0].Part].Species = "other" })},
	{"sawn another way", always(func(o *Order, p *Plan, _ *rand.Rand) { o.Parts[p.Taken[0].Billets[0].Leaves[0].Part].Sawn = "other" })},
	{"a larger set", always(func(o *Order, p *Plan, _ *rand.Rand) { o.Parts[p.Taken[0].Billets[0].Leaves[0].Part].Matched = 101 })},
	{"a lower saw", always(func(o *Order, p *Plan, r *rand.Rand) { o.Saw.CuttingHeight = some(p, r).Width - 1 })},
	{"a shorter rail", always(func(o *Order, p *Plan, r *rand.Rand) { o.Saw.BilletLength = some(p, r).Length - 1 })},
	{"more wanted", always(func(o *Order, _ *Plan, _ *rand.Rand) { o.Parts[0].Quantity += 2 })},
	{"spares wanted", always(func(o *Order, _ *Plan, _ *rand.Rand) { o.Parts[0].Spare += 2 })},
	{"unmet, though cut", always(func(_ *Order, p *Plan, _ *rand.Rand) { p.Unmet = []Unmet{{0, 2}}; p.Status = Infeasible })},
	{"unmet of an unknown part", always(func(o *Order, p *Plan, _ *rand.Rand) { p.Unmet = []Unmet{{len(o.Parts), 2}} })},
	{"another cost", always(func(_ *Order, p *Plan, _ *rand.Rand) { p.Cost-- })},
	{"a bound above the cost", always(func(_ *Order, p *Plan, _ *rand.Rand) { p.LowerBound = p.Cost + 1 })},
	{"a negative bound", always(func(_ *Order, p *Plan, _ *rand.Rand) { p.LowerBound = -1 })},
	{"another gap", always(func(_ *Order, p *Plan, _ *rand.Rand) { p.Gap += 1e-9 })},
	{"optimal, with a gap", func(_ *Order, p *Plan, _ *rand.Rand) bool { p.Status = Optimal; return p.Gap > 0 }},
	{"infeasible, with everything", always(func(_ *Order, p *Plan, _ *rand.Rand) { p.Status = Infeasible })},
}

// neighbours spoils two billets of one board.
func neighbours(p *Plan, spoil func(x, y *Billet) bool) bool {
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
		o := RealOrder(seed)
		o.ThicknessMargin = mm
		p, err := Solve(context.Background(), o, Options{WorkLimit: 1})
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range mutations {
			for range 5 {
				o2, p2 := copied(t, o), copied(t, p)
				if err := Check(o2, p2); err != nil {
					t.Fatal(err)
				}
				if !m.spoil(&o2, p2, r) {
					t.Errorf("%s: nothing to spoil", m.name)
				} else if Check(o2, p2) == nil {
					t.Errorf("%s: accepted", m.name)
				}
			}
		}
	}
}
