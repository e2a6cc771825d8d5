package plan

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
)

// lossySearch is a working solution in which three boards of 10 give leaves of worth 9,
// 5 and 0: the last loses most.
func lossySearch() *working {
	p := prepare(Order{
		Boards: []Board{{Thickness: 50, Width: 100, Length: 1000, Price: 10, Quantity: 3}},
		Parts:  []Part{{Thickness: 5, Width: 100, Length: 300, Quantity: 9}, {Thickness: 5, Width: 100, Length: 600, Quantity: 9}}})
	s := &working{toolbox: &toolbox{ctx: context.Background(), p: p, rng: rand.New(rand.NewPCG(1, 2)), dual: &dual{best: []float64{1, 4}}}}
	give := func(l int, sets ...Sets) layout {
		return layout{0, []strip{{piece{l, 0}, []billet{{0, sets}}}}}
	}
	s.plan = []layout{give(1, Sets{Item: 0, Count: 1}, Sets{Item: 1, Count: 2}), give(0, Sets{Item: 0, Count: 5}), {}}
	return s
}

// TestLossy: of three boards the one that loses most of four picked by chance is
// met in 1-(2/3)^4 of the cases, the one that loses least in (1/3)^4: a binomial
// count of 10 000, within five standard deviations.
func TestLossy(t *testing.T) {
	s, count := lossySearch(), [3]int{}
	for range 10_000 {
		count[s.lossy(s.plan, 1)[0]]++
	}
	for i, c := range []struct{ least, most int }{{68, 179}, {1662, 2044}, {7827, 8222}} {
		if count[i] < c.least || count[i] > c.most {
			t.Errorf("board %d picked %d times, want %d to %d", i, count[i], c.least, c.most)
		}
	}
	all := s.lossy(s.plan, 3)
	if slices.Sort(all); !slices.Equal(all, []int{0, 1, 2}) {
		t.Errorf("picked %v of three", all)
	}
}

// TestBias: a strip worth less for its length than its board is likelier taken
// out, one worth more is not, and a strip alone is as likely as ever.
func TestBias(t *testing.T) {
	s := lossySearch()
	rich, poor := s.plan[0].strips[0], s.plan[1].strips[0]
	poor.billets = []billet{{0, []Sets{{Item: 0, Count: 1}}}}
	mean := s.rate(rich, poor)
	if r := s.rate(rich); r != 9.0/600 || mean != 10.0/900 {
		t.Errorf("rates %v and %v", r, mean)
	}
	if s.bias(poor, mean) <= 1 || s.bias(rich, mean) >= 1 || s.bias(rich, s.rate(rich)) != 1 {
		t.Errorf("biases %v, %v and %v", s.bias(poor, mean), s.bias(rich, mean), s.bias(rich, s.rate(rich)))
	}
}

// TestEnter: an entrant has the boards that it is told to have, those for which
// the others leave nothing too, as long as there are few; a plan that is offered
// goes without them.
func TestEnter(t *testing.T) {
	met := 0
	for seed := range uint64(4) {
		met += checkEnter(t, begun(RealOrder(seed)))
	}
	if met == 0 {
		t.Error("every board gave something")
	}
}

// checkEnter enters twice the boards of the best plan, and all there are. It
// returns how many of the former give nothing.
func checkEnter(t *testing.T, s *search) int {
	t.Helper()
	stock, number := s.p.stock(), make([]int, len(s.p.kinds))
	for _, lay := range s.best.plan {
		number[lay.kind] = min(stock[lay.kind], number[lay.kind]+mostBare)
	}
	if n := bare(s.contest.enter(nil, stock).plan); n > mostBare*len(s.best.plan) {
		t.Errorf("%d boards that give nothing, the best plan has %d", n, len(s.best.plan))
	}
	e := s.contest.enter(nil, number)
	checkEntrant(t, s, e)
	if got := s.p.choose(nil, e.plan).number; !slices.Equal(got, number) {
		t.Errorf("entered %v, want %v", got, number)
	}
	s.best.cost = MaxPrice
	s.best.offer(e.plan)
	if len(s.best.plan) != len(e.plan)-bare(e.plan) {
		t.Errorf("a plan of %d boards of which %d give nothing: %d", len(e.plan), bare(e.plan), len(s.best.plan))
	}
	return bare(e.plan)
}

// bare counts the boards that give nothing.
func bare(plan []layout) int {
	n := 0
	for _, lay := range plan {
		if len(lay.strips) == 0 {
			n++
		}
	}
	return n
}
