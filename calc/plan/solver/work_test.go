package solver

import (
	"context"
	"math/rand/v2"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
)

// TestWorkOfLines: eight leaves come from two thick boards or four thin ones of the same
// price altogether. A billet is a board here, so that the thick ones are the cheaper.
func TestWorkOfLines(t *testing.T) {
	o := plan.Order{Kerf: 1, PassPrice: 20_000, BilletPrice: 10_000, Parts: []plan.Part{{Thickness: 9, Quantity: 8}},
		Boards: []plan.Board{{Thickness: 20, Quantity: plan.Unlimited, Price: 50_000}, {Thickness: 40, Quantity: plan.Unlimited, Price: 100_000}}}
	p, err := Solve(context.Background(), o, Options{})
	if err != nil || p.Cost != 380_000 || p.Status != plan.Optimal || p.Stats.Boards != 2 {
		t.Errorf("%v, %+v", err, p)
	}
}

// TestWorkOfOrders has made-up orders with work in their cost planned: the checker
// adds it up on its own.
func TestWorkOfOrders(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 16))
	for range trial.Rounds(300) {
		o := trial.RandomOrder(r, r.IntN(4) == 0)
		o.PassPrice, o.BilletPrice = int64(r.IntN(3)), int64(r.IntN(4))
		if r.IntN(2) == 0 {
			o.PassLength = plan.Rate{Price: int64(1 + r.IntN(3)), Per: nm(1 + r.IntN(20))}
		}
		if _, err := Solve(context.Background(), o, Options{WorkLimit: 1e6}); err != nil {
			t.Fatalf("%v\n%+v", err, o)
		}
	}
}

// TestRoundedOnce: three passes of half a unit cost 1.5 from each of two billets, 2 when
// that is rounded, and not 3 from both.
func TestRoundedOnce(t *testing.T) {
	o := plan.Order{PassLength: plan.Rate{Price: 1, Per: 8}, Parts: []plan.Part{{Thickness: 3, Width: 2, Length: 4, Quantity: 6}},
		Boards: []plan.Board{{Thickness: 9, Width: 2, Length: 4, Quantity: 2, Price: 10}}}
	p, err := Solve(context.Background(), o, Options{WorkLimit: 1e6})
	if err != nil || p.Cost != 24 || p.Stats.Billets != 2 {
		t.Errorf("%v, %+v", err, p)
	}
}

// TestWorkOrdered permutes the boards and the parts of orders with work in their cost: the
// least cost stays as it is.
func TestWorkOrdered(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 17))
	same := 0
	for range trial.Rounds(200) {
		o := trial.TinyWith(r, trial.Work|trial.Grids)
		q := o
		q.Boards, q.Parts = append([]plan.Board(nil), o.Boards...), append([]plan.Part(nil), o.Parts...)
		r.Shuffle(len(q.Boards), func(i, j int) { q.Boards[i], q.Boards[j] = q.Boards[j], q.Boards[i] })
		r.Shuffle(len(q.Parts), func(i, j int) { q.Parts[i], q.Parts[j] = q.Parts[j], q.Parts[i] })
		p, err := Solve(context.Background(), o, Options{WorkLimit: 3e6})
		if err != nil {
			t.Fatal(err)
		}
		s, err := Solve(context.Background(), q, Options{WorkLimit: 3e6})
		if err != nil {
			t.Fatal(err)
		}
		if p.Status == plan.Optimal && s.Status == plan.Optimal {
			if same++; p.Cost != s.Cost {
				t.Errorf("%d and %d\n%+v", p.Cost, s.Cost, o)
			}
		}
	}
	if same < trial.Rounds(60) {
		t.Errorf("only %d orders were proven", same)
	}
}
