package outright

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/trial"
)

// TestVectors compares counts in a word with counts in a list.
func TestVectors(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	for range 3000 {
		limit := make([]int, 1+r.IntN(6))
		for i := range limit {
			limit[i] = r.IntN(1 + r.IntN(20))
		}
		f, ok := newFields(limit, 1<<40)
		if !ok {
			t.Fatal(limit)
		}
		x, y, sum := make([]int, len(limit)), make([]int, len(limit)), make([]int, len(limit))
		for i, n := range limit {
			x[i], y[i] = r.IntN(n+1), r.IntN(n+1)
			sum[i] = min(n, x[i]+y[i])
		}
		v, w := f.of(x), f.of(y)
		if got := f.counts(f.plus(v, w)); !slices.Equal(got, sum) || f.covers(v, w) != board.Covers(x, y) || !slices.Equal(f.counts(v), x) {
			t.Fatalf("%v and %v up to %v give %v", x, y, limit, got)
		}
		if board.Covers(x, y) && f.number(v) < f.number(w) {
			t.Fatalf("%v has a lower number than %v", x, y)
		}
	}
	for _, c := range []struct {
		limit []int
		most  int
		ok    bool
	}{{[]int{9, 9}, 100, true}, {[]int{9, 9}, 99, false}, {make([]int, 90), 1, true}, {[]int{1 << 29, 1 << 29}, 1 << 60, true}, {[]int{1 << 30, 1 << 30}, 1 << 61, false}} {
		if f, ok := newFields(c.limit, c.most); ok != c.ok || ok && f.of(c.limit) != f.full {
			t.Errorf("%v up to %d: %t", c.limit, c.most, ok)
		}
	}
}

// TestOptions compares the options of boards of tiny orders with trying everything:
// nothing that a board gives costs less than some option that gives as much, and every
// option is among what it gives, and can be cut.
func TestOptions(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 2))
	listed := 0
	for n := range trial.Rounds(400) {
		o := trial.TinyWith(r, trial.Feature(n%16))
		p := board.Prepare(o)
		b := trial.NewBrute(o)
		for k, bd := range o.Boards {
			options, ok := Options(p, b.Want, k, 1<<30)
			if !ok {
				t.Fatalf("order %d: too many options", n)
			}
			for sets, work := range b.Board(bd) {
				if !board.None(sets) && !slices.ContainsFunc(options, func(x Option) bool { return board.Covers(x.Sets, sets) && x.Work <= work }) {
					t.Fatalf("order %d: no option gives %v for %d\n%+v", n, sets, work, o)
				}
			}
			for i, x := range options {
				least := int64(-1)
				for sets, work := range b.Board(bd) {
					if slices.Equal(sets, x.Sets) {
						least = work
					}
				}
				if least != x.Work || p.Work(x.lay) != x.Work {
					t.Fatalf("order %d: %v costs %d, not %d or %d\n%+v", n, x.Sets, least, x.Work, p.Work(x.lay), o)
				}
				if j := slices.IndexFunc(options, func(y Option) bool { return board.Covers(y.Sets, x.Sets) && y.Work <= x.Work }); j != i {
					t.Fatalf("order %d: %+v is outdone by %+v", n, x, options[j])
				}
				listed++
			}
		}
	}
	if listed < trial.Rounds(400) {
		t.Errorf("only %d options", listed)
	}
}

// TestSieve: both ways to drop what is outdone keep as much.
func TestSieve(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 3))
	for range 300 {
		f, _ := newFields([]int{3, 0, 4, 2}, 1000)
		var all []entry
		for range r.IntN(40) {
			all = append(all, entry{give: f.of([]int{r.IntN(4), 0, r.IntN(5), r.IntN(3)}), work: r.Int64N(4)})
		}
		e := newEnumerator(nil, f, 1<<30)
		few, sieved := e.undominated(slices.Clone(all)), e.sieved(slices.Clone(all))
		same := func(x, y entry) bool { return x.give == y.give && x.work == y.work }
		if len(few) != len(sieved) {
			t.Fatalf("%d and %d of %d are kept", len(few), len(sieved), len(all))
		}
		for _, x := range few {
			if !slices.ContainsFunc(sieved, func(y entry) bool { return same(x, y) }) {
				t.Fatalf("%v is not kept", x)
			}
		}
	}
}

// TestSteps: with too few steps there is no answer, and none when a context ends what
// takes long.
func TestSteps(t *testing.T) {
	o := trial.TinyWith(rand.New(rand.NewPCG(1, 1)), trial.Everything)
	p := board.Prepare(o)
	kits, need := p.Wanted()
	if _, ok := SolveExact(context.Background(), p, kits, need, 5); ok {
		t.Error("solved in five steps")
	}
	if _, ok := SolveExact(context.Background(), p, kits, need, MaxExactSteps); !ok {
		t.Error("not solved")
	}
	ended, cancel := context.WithCancel(context.Background())
	cancel()
	if _, ok := SolveExact(ended, p, kits, need, MaxExactSteps); !ok {
		t.Error("a short one is not solved")
	}
	x := exact{p: p, kits: kits, need: need, budget: 1000, quick: 1000, done: ended.Done()}
	if x.number(); !x.ended() {
		t.Error("not ended")
	}
	p.Order.Boards[0].Quantity = plan.Unlimited
	if _, ok := x.boards(0, []move{{give: 1, cost: 1}}, 0); ok {
		t.Error("goes on without time")
	}
}
