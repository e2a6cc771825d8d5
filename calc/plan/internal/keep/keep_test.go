package keep

import (
	"context"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/outright"
	"resawd/calc/plan/internal/trial"
)

// giving returns a board that gives so many sets of each item.
func giving(sets ...int) board.Layout {
	var all []board.Stack
	for i, n := range sets {
		all = append(all, board.Stack{Item: i, Count: n, Places: 1})
	}
	return board.Layout{Strips: []board.Strip{{Billets: []board.Billet{{Stacks: all}}}}}
}

// checkKits checks that boards give just so many kits, and what these are made of.
func checkKits(t *testing.T, p *board.Problem, lays []board.Layout, want []int) {
	t.Helper()
	sum := make([]int, len(want))
	for _, lay := range lays {
		if lay.Kits == nil {
			continue
		}
		for k, n := range lay.Kits {
			sum[k] += n
		}
		for i, n := range board.CountSets(lay.Pieces(), len(p.Items)) {
			if n < p.InKits(lay.Kits, i) {
				t.Fatalf("kits %v take %d of part %d, a board gives %d", lay.Kits, p.InKits(lay.Kits, i), i, n)
			}
		}
	}
	if !slices.Equal(sum, want) {
		t.Fatalf("%v kits, not %v", sum, want)
	}
}

// TestLoad: worked by hand for kits of a leaf of 3 and one of 2, and boards without kerfs.
func TestLoad(t *testing.T) {
	thick := func(thickness length.Length, price int64) plan.Board {
		return plan.Board{Thickness: thickness, Quantity: plan.Unlimited, Price: price}
	}
	for _, c := range []struct {
		name   string
		boards []plan.Board
		wanted []int // of each part
		kits   int
		want   []loaded
	}{
		{"two kits a board, and one leaf more in the second", []plan.Board{thick(11, 5)}, []int{4, 3}, 3, []loaded{{0, 2, []int{2, 2}}, {0, 1, []int{2, 1}}}},
		{"all kits in one", []plan.Board{thick(11, 5)}, []int{2, 2}, 2, []loaded{{0, 2, []int{2, 2}}}},
		{"three kits a board", []plan.Board{thick(16, 5)}, []int{3, 3}, 3, []loaded{{0, 3, []int{3, 3}}}},
		{"the cheapest of eight", []plan.Board{thick(5, 9), thick(5, 8), thick(5, 7), thick(5, 6), thick(5, 5), thick(5, 4), thick(5, 2), thick(5, 3)},
			[]int{1, 1}, 1, []loaded{{6, 1, []int{1, 1}}}},
		{"too thin", []plan.Board{thick(4, 1), thick(5, 9)}, []int{1, 1}, 1, []loaded{{1, 1, []int{1, 1}}}},
		{"no board holds one", []plan.Board{thick(4, 1)}, []int{1, 1}, 1, nil},
	} {
		p := board.Prepare(plan.Order{Boards: c.boards, Parts: []plan.Part{{Thickness: 3, Quantity: c.wanted[0]}, {Thickness: 2, Quantity: c.wanted[1]}},
			Kits: []plan.Kit{{Quantity: c.kits, Parts: []plan.KitPart{{Part: 0, Quantity: 1}, {Part: 1, Quantity: 1}}}}})
		lays, given := Load(context.Background(), p, []int{c.kits}, c.wanted)
		var got []loaded
		sum := 0
		for _, lay := range lays {
			got = append(got, loaded{lay.Kind, lay.Kits[0], board.CountSets(lay.Pieces(), 2)})
			sum += lay.Kits[0]
		}
		if !reflect.DeepEqual(got, c.want) || given[0] != sum {
			t.Errorf("%s: %v for %d kits, not %v", c.name, got, given[0], c.want)
		}
	}
}

// loaded is a board with kits, and the sets that it gives of each item.
type loaded struct {
	kind, kits int
	sets       []int
}

// TestGivenUp: a kit of two leaves of 6 is more than a board of 11 holds. What it is made
// of is not wanted any more, so that the board of the next kit has room for another leaf.
func TestGivenUp(t *testing.T) {
	p := board.Prepare(plan.Order{
		Boards: []plan.Board{{Thickness: 11, Quantity: plan.Unlimited, Price: 5}},
		Parts:  []plan.Part{{Thickness: 6, Quantity: 2}, {Thickness: 4, Quantity: 1}, {Thickness: 5, Quantity: 1}},
		Kits:   []plan.Kit{{Quantity: 1, Parts: []plan.KitPart{{Part: 0, Quantity: 2}}}, {Quantity: 1, Parts: []plan.KitPart{{Part: 1, Quantity: 1}}}},
	})
	lays, given := Load(context.Background(), p, []int{1, 1}, []int{2, 1, 1})
	if len(lays) != 1 || !slices.Equal(given, []int{0, 1}) || !slices.Equal(board.CountSets(lays[0].Pieces(), 3), []int{0, 1, 1}) {
		t.Errorf("kits %v from %+v", given, lays)
	}
}

// TestLoadTiny: boards that are loaded are on the rack, can be cut so and hold their kits.
// They never give more than trying everything finds, and nearly always as much.
func TestLoadTiny(t *testing.T) {
	r := rand.New(rand.NewPCG(42, 1))
	all, as := 0, 0
	for n := range trial.Rounds(600) {
		o := trial.TinyWith(r, trial.Kits|trial.Feature(n%16))
		p := board.Prepare(o)
		kits, need := p.Wanted()
		lays, given := Load(context.Background(), p, kits, need)
		checkPlan(t, p, lays)
		checkKits(t, p, lays, given)
		most := trial.NewBrute(o).Solve().Kits
		if slices.Compare(given, most) > 0 {
			t.Fatalf("order %d: %v kits, by trying everything %v\n%+v", n, given, most, o)
		}
		if all++; slices.Equal(given, most) {
			as++
		}
	}
	t.Logf("of %d orders %d give all the kits there are", all, as)
	if as < all*9/10 {
		t.Errorf("of %d orders only %d give all the kits there are", all, as)
	}
}

// checkPlan checks that boards are on the rack and can be cut so.
func checkPlan(t *testing.T, p *board.Problem, lays []board.Layout) {
	t.Helper()
	o := p.Order
	o.Kits, o.PassPrice, o.PassLength, o.BilletPrice = nil, 0, plan.Rate{}, 0
	taken := make([]int, len(o.Boards))
	for _, lay := range lays {
		if taken[lay.Kind]++; o.Boards[lay.Kind].Quantity != plan.Unlimited && taken[lay.Kind] > o.Boards[lay.Kind].Quantity {
			t.Fatalf("%d boards of kind %d\n%+v", taken[lay.Kind], lay.Kind, o)
		}
		if err := trial.CheckBoard(o, p.Taken(board.Use{Layout: lay, Copies: 1})); err != nil {
			t.Fatalf("%v\n%+v\n%+v", err, lay, o)
		}
	}
}

// TestKeeper has plans bettered that are best for other prices: they never become dearer,
// keep their kits and deliver the need at every step, and nearly all end at the least
// cost that trying everything finds.
func TestKeeper(t *testing.T) {
	r := rand.New(rand.NewPCG(43, 1))
	all, worse, best := 0, 0, 0
	for n := range trial.Rounds(400) {
		o := trial.TinyWith(r, trial.Kits|trial.Feature(n%16))
		for k := range o.Boards {
			o.Boards[k].Quantity, o.Boards[k].Price = o.Boards[k].Quantity+1, 1+r.Int64N(20)
		}
		a := trial.NewBrute(o).Solve()
		if len(a.Kits) == 0 || slices.Max(a.Kits) == 0 {
			continue
		}
		p := board.Prepare(o)
		k := NewKeeper(context.Background(), p, a.Sets, dear(t, o, a))
		if k.Cost < a.Cost {
			t.Fatalf("order %d: %d is less than the least cost %d\n%+v", n, k.Cost, a.Cost, o)
		}
		if all++; k.Cost > a.Cost {
			worse++
		}
		for range 40 {
			before, idle := k.Cost, k.Idle
			k.Step()
			if k.Cost > before || k.Cost < a.Cost || k.Cost != p.CostOf(k.Plan) || (k.Idle <= idle) != (k.Cost < before) {
				t.Fatalf("order %d: from %d to %d for %d, the least cost is %d, idle %d and %d\n%+v", n, before, k.Cost, p.CostOf(k.Plan), a.Cost, idle, k.Idle, o)
			}
			checkPlan(t, p, k.Plan)
			checkDelivery(t, p, k.Plan, a)
		}
		if k.Cost == a.Cost {
			best++
		}
	}
	t.Logf("of %d plans %d were too dear, and %d are the best", all, worse, best)
	if worse < all/4 || best < all*95/100 {
		t.Errorf("of %d plans %d were too dear, and only %d are the best", all, worse, best)
	}
}

// TestKeeperOfMany: twelve dear boards give a kit each, and one leaf more than is wanted;
// cheap ones give just the kit. A few at a time all are exchanged.
func TestKeeperOfMany(t *testing.T) {
	const kits = 12
	p := board.Prepare(plan.Order{
		Boards: []plan.Board{{Thickness: 8, Quantity: kits, Price: 9}, {Thickness: 5, Quantity: kits, Price: 2}},
		Parts:  []plan.Part{{Thickness: 3, Quantity: kits}, {Thickness: 2, Quantity: kits}},
		Kits:   []plan.Kit{{Quantity: kits, Parts: []plan.KitPart{{Part: 0, Quantity: 1}, {Part: 1, Quantity: 1}}}},
	})
	one := giving(2, 1)
	one.Kits = []int{1}
	k := NewKeeper(context.Background(), p, []int{kits, kits}, slices.Repeat([]board.Layout{one}, kits))
	for range 100 {
		k.Step()
	}
	if k.Cost != 2*kits || len(k.Plan) != kits {
		t.Errorf("%d boards for %d", len(k.Plan), k.Cost)
	}
	checkPlan(t, p, k.Plan)
	checkKits(t, p, k.Plan, []int{kits})
}

// dear returns a plan that is best where dear boards are cheap.
func dear(t *testing.T, o plan.Order, a trial.Answer) []board.Layout {
	t.Helper()
	o.Boards = slices.Clone(o.Boards)
	for k := range o.Boards {
		o.Boards[k].Price = 21 - o.Boards[k].Price
	}
	x, ok := outright.SolveExact(context.Background(), board.Prepare(o), a.Kits, a.Sets, outright.MaxExactSteps)
	if !ok || !board.Covers(x.Given, a.Sets) {
		t.Fatalf("%+v for %+v\n%+v", x, a, o)
	}
	return board.Each(x.Cuts)
}

// checkDelivery checks that boards give at least the kits and sets of an answer.
func checkDelivery(t *testing.T, p *board.Problem, lays []board.Layout, a trial.Answer) {
	t.Helper()
	kits, sets := make([]int, len(a.Kits)), make([]int, len(a.Sets))
	for _, lay := range lays {
		for k, n := range lay.Kits {
			kits[k] += n
		}
		for _, s := range lay.Pieces() {
			sets[s.Item] += s.Count
		}
	}
	checkKits(t, p, lays, kits)
	if !board.Covers(kits, a.Kits) || !board.Covers(sets, a.Sets) {
		t.Fatalf("kits %v and sets %v, not %v and %v\n%+v", kits, sets, a.Kits, a.Sets, p.Order)
	}
}

// TestTake: a cheaper plan is taken, and one of the same cost from fewer boards, but no
// other; and where there is no plan to better, only the work counts.
func TestTake(t *testing.T) {
	of := func(price int64) *board.Problem {
		return board.Prepare(plan.Order{Boards: []plan.Board{{Thickness: 9, Quantity: plan.Unlimited, Price: price}}, Parts: []plan.Part{{Thickness: 2, Quantity: 2}}})
	}
	two, also, one := []board.Layout{giving(1), giving(1)}, []board.Layout{giving(2), giving(1)}, []board.Layout{giving(2)}
	for _, c := range []struct {
		price int64
		plan  []board.Layout
		taken bool
	}{{1, one, true}, {0, one, true}, {1, also, false}, {0, also, false}, {0, append(one, two...), false}} {
		k := NewKeeper(context.Background(), of(c.price), []int{2}, two)
		k.Idle = 7
		if k.Take(c.plan); reflect.DeepEqual(k.Plan, c.plan) != c.taken || (k.Idle == 0) != c.taken || k.Cost != c.price*int64(len(k.Plan)) {
			t.Errorf("%d boards for %d each: %+v", len(c.plan), c.price, k)
		}
	}
	none := NewKeeper(context.Background(), of(1), []int{0}, nil)
	if none.Step(); none.Work != anewSteps || none.Idle != anewSteps || none.Cost != 0 {
		t.Errorf("without a plan: %+v", none)
	}
}

// TestHolding: of boards that hold a kit, as cutting them outright tells, few are said not
// to hold it, and none that cannot be cut so is said to hold it.
func TestHolding(t *testing.T) {
	hold, held := 0, 0
	for seed := range uint64(trial.Rounds(60)) {
		o, _ := trial.KitOrder(seed, trial.KitSize{Parts: 10, Kinds: 4, Kits: 10})
		for k := range o.Boards {
			o.Boards[k].Quantity = 1
		}
		p := board.Prepare(o)
		_, need := p.Wanted()
		a, value := board.NewAscent(p), p.Volumes(need)
		for k := range o.Kits {
			one := make([]int, len(o.Kits))
			one[k] = 1
			for kind := range o.Boards {
				can := holds(p, kind, one)
				lay, ok := a.Holding(kind, one, value)
				if ok {
					checkPlan(t, p, []board.Layout{lay})
					checkKits(t, p, []board.Layout{lay}, one)
				}
				if hold += can; ok {
					held++
				}
			}
		}
	}
	t.Logf("of %d boards that hold a kit %d are found to", hold, held)
	if held < hold*95/100 || held > hold {
		t.Errorf("of %d boards that hold a kit %d are found to", hold, held)
	}
}

// holds returns 1 where a board of a kind holds kits, 0 where it does not.
func holds(p *board.Problem, kind int, kits []int) int {
	q := p.Without(nil).ForPlans()
	for k := range q.Order.Boards {
		q.Order.Boards[k].Quantity = 0
	}
	q.Order.Boards[kind].Quantity = 1
	need := make([]int, len(p.Items))
	for i := range need {
		need[i] = p.InKits(kits, i)
	}
	if a, ok := outright.SolveExact(context.Background(), q, kits, need, anewSteps); ok && board.Covers(a.Kits, kits) {
		return 1
	}
	return 0
}
