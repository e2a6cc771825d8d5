package bound

import (
	"context"
	"math/rand/v2"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/outright"
	"resawd/calc/plan/internal/trial"
)

// TestCountsBound compares the bound by counts of boards with the least cost of
// tiny orders, found by the exact method, which brute force confirms elsewhere.
func TestCountsBound(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	var weighed, sharp int
	for n := range trial.Rounds(700) {
		o := trial.Tiny(r)
		if n%3 == 1 {
			o = trial.TinyWith(r, trial.Grids|trial.Smallest)
		}
		if len(plan.Validate(o)) > 0 {
			continue
		}
		p := board.Prepare(o)
		a, ok := outright.SolveExact(context.Background(), p, nil, p.Possible(), outright.MaxExactSteps)
		cuts, need := a.Cuts, a.Given
		least := p.Cost(cuts)
		if !ok || board.None(need) || least == 0 {
			continue
		}
		bound := countsBound(p, need, least)
		if bound > least {
			t.Fatalf("bound %d above the least cost %d of %+v", bound, least, o)
		}
		weighed++
		if bound == least {
			sharp++
		}
	}
	if weighed < trial.Rounds(140) || sharp < weighed*98/100 {
		t.Errorf("%d bounds, %d of them sharp", weighed, sharp)
	}
}

// countsBound returns the bound by counts alone, of plans of any cost.
func countsBound(p *board.Problem, need []int, least int64) int64 {
	d := NewDual(p, need, float64(least))
	for range 40 {
		d.Step(context.Background(), least)
	}
	c := NewBenders(context.Background(), d, board.NewAscent(p), NewPool(p), least)
	var bound int64
	for range 100 {
		bound = max(bound, c.Raise(context.Background(), plan.MaxPrice))
		if c.Done() {
			break
		}
	}
	return bound
}

// TestCountsWhole counts boards: one with room for 3 leaves costs 70, one for 2
// costs 50. Four leaves need two of the smaller, 100; parts of boards would do
// it for 4/3 of 70, 94 rounded up.
func TestCountsWhole(t *testing.T) {
	o := plan.Order{
		Boards: []plan.Board{{Name: "thick", Thickness: 3 * trial.MM, Width: trial.MM, Length: trial.MM, Quantity: 5, Price: 70},
			{Name: "thin", Thickness: 2 * trial.MM, Width: trial.MM, Length: trial.MM, Quantity: 5, Price: 50}},
		Parts: []plan.Part{{Name: "leaf", Thickness: trial.MM, Width: trial.MM, Length: trial.MM, Quantity: 4}},
	}
	p := board.Prepare(o)
	if got := countsBound(p, p.Possible(), 140); got != 100 {
		t.Errorf("bound %d, want 100", got)
	}
}

// TestCountsFree adds boards that cost nothing: any number of short ones, which
// give the short part, and one that gives one of the long leaves. The other three
// need one of the thick boards, 70; for four it takes two of the thin ones.
func TestCountsFree(t *testing.T) {
	for _, c := range []struct{ free, want int }{{0, 100}, {1, 70}} {
		o := plan.Order{
			Boards: []plan.Board{{Name: "thick", Thickness: 3 * trial.MM, Width: trial.MM, Length: 2 * trial.MM, Quantity: 5, Price: 70},
				{Name: "thin", Thickness: 2 * trial.MM, Width: trial.MM, Length: 2 * trial.MM, Quantity: 5, Price: 50},
				{Name: "rest", Thickness: trial.MM, Width: trial.MM, Length: 2 * trial.MM, Quantity: c.free},
				{Name: "short", Thickness: trial.MM, Width: trial.MM, Length: trial.MM, Quantity: plan.Unlimited}},
			Parts: []plan.Part{{Name: "leaf", Thickness: trial.MM, Width: trial.MM, Length: 2 * trial.MM, Quantity: 4},
				{Name: "tab", Thickness: trial.MM, Width: trial.MM, Length: trial.MM, Quantity: 50}},
		}
		p := board.Prepare(o)
		if got := countsBound(p, p.Possible(), 140); got != int64(c.want) {
			t.Errorf("%d free boards: bound %d, want %d", c.free, got, c.want)
		}
	}
}

// TestDearCounts is TestCountsBound for boards nearly as dear as is accepted.
func TestDearCounts(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 6))
	weighed := 0
	for range trial.Rounds(200) {
		o := trial.Tiny(r)
		for k := range o.Boards {
			o.Boards[k].Price = o.Boards[k].Price*(plan.MaxPrice/10) + int64(r.IntN(1000))
		}
		if len(plan.Validate(o)) > 0 {
			continue
		}
		p := board.Prepare(o)
		a, ok := outright.SolveExact(context.Background(), p, nil, p.Possible(), outright.MaxExactSteps)
		cuts, need := a.Cuts, a.Given
		least := p.Cost(cuts)
		if !ok || board.None(need) || least == 0 {
			continue
		}
		weighed++
		if bound := countsBound(p, need, least+1); bound > least {
			t.Fatalf("bound %d above the least cost %d of %+v", bound, least, o)
		}
	}
	if weighed < trial.Rounds(40) {
		t.Errorf("only %d orders", weighed)
	}
}
