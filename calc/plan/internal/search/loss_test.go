package search

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/bound"
	"resawd/calc/plan/internal/trial"
)

// lossySearch is a working solution in which three boards of 10 give leaves of worth 9,
// 5 and 0: the last loses most.
func lossySearch() *working {
	p := board.Prepare(plan.Order{
		Boards: []plan.Board{{Thickness: 50, Width: 100, Length: 1000, Price: 10, Quantity: 3}},
		Parts:  []plan.Part{{Thickness: 5, Width: 100, Length: 300, Quantity: 9}, {Thickness: 5, Width: 100, Length: 600, Quantity: 9}}})
	s := &working{toolbox: &toolbox{ctx: context.Background(), p: p, rng: rand.New(rand.NewPCG(1, 2)), Dual: &bound.Dual{Best: []float64{1, 4}}}}
	give := func(l int, stacks ...board.Stack) board.Layout {
		return board.Layout{Kind: 0, Strips: []board.Strip{{Piece: board.Piece{L: l, From: 0}, Billets: []board.Billet{{W: 0, Stacks: stacks}}}}}
	}
	s.Plan = []board.Layout{give(1, board.Stack{Item: 0, Count: 1, Places: 1}, board.Stack{Item: 1, Count: 2, Places: 1}), give(0, board.Stack{Item: 0, Count: 5, Places: 1}), {}}
	return s
}

// TestLossy: of three boards the one that loses most of four picked by chance is
// met in 1-(2/3)^4 of the cases, the one that loses least in (1/3)^4: a binomial
// count of 10 000, within five standard deviations.
func TestLossy(t *testing.T) {
	s, count := lossySearch(), [3]int{}
	for range 10_000 {
		count[s.lossy(s.Plan, 1)[0]]++
	}
	for i, c := range []struct{ least, most int }{{68, 179}, {1662, 2044}, {7827, 8222}} {
		if count[i] < c.least || count[i] > c.most {
			t.Errorf("board %d picked %d times, want %d to %d", i, count[i], c.least, c.most)
		}
	}
	all := s.lossy(s.Plan, 3)
	if slices.Sort(all); !slices.Equal(all, []int{0, 1, 2}) {
		t.Errorf("picked %v of three", all)
	}
}

// TestBias: a strip worth less for its length than its board is likelier taken
// out, one worth more is not, and a strip alone is as likely as ever.
func TestBias(t *testing.T) {
	s := lossySearch()
	rich, poor := s.Plan[0].Strips[0], s.Plan[1].Strips[0]
	poor.Billets = []board.Billet{{W: 0, Stacks: []board.Stack{{Item: 0, Count: 1, Places: 1}}}}
	mean := s.rate(rich, poor)
	if r := s.rate(rich); r != 9.0/600 || mean != 10.0/900 {
		t.Errorf("rates %v and %v", r, mean)
	}
	if s.bias(poor, mean) <= 1 || s.bias(rich, mean) >= 1 || s.bias(rich, s.rate(rich)) != 1 {
		t.Errorf("biases %v, %v and %v", s.bias(poor, mean), s.bias(rich, mean), s.bias(rich, s.rate(rich)))
	}
}

// TestEnter: a candidate has the boards that it is told to have, those for which
// the others leave nothing too, as long as there are few; a plan that is offered
// goes without them.
func TestEnter(t *testing.T) {
	met := 0
	for seed := range uint64(4) {
		met += checkEnter(t, begun(trial.RealOrder(seed)))
	}
	if met == 0 {
		t.Error("every board gave something")
	}
}

// checkEnter enters twice the boards of the best plan, and all there are. It
// returns how many of the former give nothing.
func checkEnter(t *testing.T, s *Search) int {
	t.Helper()
	stock, number := s.p.Stock(), make([]int, len(s.p.Kinds))
	for _, lay := range s.Best.Plan {
		number[lay.Kind] = min(stock[lay.Kind], number[lay.Kind]+mostBare)
	}
	if n := bare(s.halving.enter(nil, stock).Plan); n > mostBare*len(s.Best.Plan) {
		t.Errorf("%d boards that give nothing, the best plan has %d", n, len(s.Best.Plan))
	}
	e := s.halving.enter(nil, number)
	checkEntrant(t, s, e)
	if got := mixOf(s.p, nil, e.Plan).number; !slices.Equal(got, number) {
		t.Errorf("entered %v, want %v", got, number)
	}
	s.Best.Cost = plan.MaxPrice
	s.Best.Offer(e.Plan)
	if len(s.Best.Plan) != len(e.Plan)-bare(e.Plan) {
		t.Errorf("a plan of %d boards of which %d give nothing: %d", len(e.Plan), bare(e.Plan), len(s.Best.Plan))
	}
	return bare(e.Plan)
}

// bare counts the boards that give nothing.
func bare(plan []board.Layout) int {
	n := 0
	for _, lay := range plan {
		if len(lay.Strips) == 0 {
			n++
		}
	}
	return n
}
