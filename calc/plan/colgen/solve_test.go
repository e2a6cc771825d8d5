package colgen

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"
)

// Published problems with their published optima.
func TestPublished(t *testing.T) {
	for _, c := range []struct {
		name string
		r    random
		want int64
	}{
		// Chvatal, Linear Programming (1983), chapter 13: rolls of 100 inches.
		{"Chvatal's paper rolls", one(100, []int64{45, 36, 31, 14}, []int{97, 610, 395, 211}), 453},
		// Rolls of 5600 mm in 13 widths, encyclopaedia article "Cutting stock
		// problem": 73 rolls.
		{"rolls of 5600 mm", one(5600,
			[]int64{1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150, 2200},
			[]int{22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20}), 73},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := c.r.solve(t)
			if r.Status != Optimal || r.Cost != c.want || r.LowerBound != c.want || r.StoppedBy != ByProof {
				t.Errorf("%v, cost %d, bound %d; want optimal, %d", r.Status, r.Cost, r.LowerBound, c.want)
			}
		})
	}
}

// A kerf k is nothing but sizes and capacity each larger by k: with leaves
// thinner by k and a kerf of k the problem is the same. Chvatal's rolls again.
func TestKerfMapping(t *testing.T) {
	const kerf = 3
	leaf := []int64{45 - kerf, 36 - kerf, 31 - kerf, 14 - kerf}
	board := int64(100 - kerf) // n leaves need n-1 kerfs
	size := make([]int64, len(leaf))
	for i := range leaf {
		size[i] = leaf[i] + kerf
	}
	r := one(board+kerf, size, []int{97, 610, 395, 211}).solve(t)
	if r.Cost != 453 || r.Status != Optimal {
		t.Errorf("cost %d, %v; want 453", r.Cost, r.Status)
	}
}

func TestBruteForce(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	count := map[Status]int{}
	for n := range 1500 {
		p := newRandom(rng, 1+n%3)
		want := p.brute()
		r := p.solve(t)
		count[r.Status]++
		switch {
		case want == impossible && r.Status != Infeasible && r.Status != Unknown:
			t.Fatalf("%+v: %v with cost %d; want none", p, r.Status, r.Cost)
		case want != impossible && r.Status != Optimal && r.Status != Feasible && r.Status != Unknown:
			t.Fatalf("%+v: %v; want cost %d", p, r.Status, want)
		case r.Status == Optimal && r.Cost != want:
			t.Fatalf("%+v: cost %d; want %d", p, r.Cost, want)
		case want != impossible && r.LowerBound > want:
			t.Fatalf("%+v: bound %d; want at most %d", p, r.LowerBound, want)
		case r.Status == Feasible && r.Cost < want:
			t.Fatalf("%+v: cost %d below %d", p, r.Cost, want)
		}
	}
	if open := count[Feasible] + count[Unknown]; open > 15 {
		t.Errorf("%d of 1500 left open: %v", open, count)
	}
	t.Log(count)
}

// Sizes, order and splitting of demands change nothing of the least cost.
func TestMetamorphic(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for n := range 200 {
		p := newRandom(rng, 1+n%2)
		want := p.solve(t)
		if want.Status != Optimal {
			continue
		}
		for name, q := range map[string]random{"scaled": p.scaled(25_400), "reversed": p.reversed(), "split": p.split()} {
			if got := q.solve(t); got.Status == Optimal && got.Cost != want.Cost || got.LowerBound > want.Cost {
				t.Fatalf("%s %+v: cost %d, bound %d; want %d", name, p, got.Cost, got.LowerBound, want.Cost)
			}
		}
	}
}

// By construction the triplets fill as many boards as there are.
func TestTriplets(t *testing.T) {
	if r := hard(20).solve(t); r.Cost != 20 || r.Status != Optimal {
		t.Errorf("cost %d, %v; want 20", r.Cost, r.Status)
	}
}

func TestDeterministic(t *testing.T) {
	p := hard(30)
	o := Options{WorkLimit: 3_000_000}
	a, err := Solve(context.Background(), p.problem(), o)
	if err != nil {
		t.Fatal(err)
	}
	b, err := Solve(context.Background(), p.problem(), o)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(a, b) {
		t.Errorf("two searches differ: %+v, %+v", a.Stats, b.Stats)
	}
	if a.Status == Feasible && a.StoppedBy != ByWork {
		t.Errorf("stopped by %v; want work", a.StoppedBy)
	}
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Millisecond)
	defer cancel()
	begin := time.Now()
	r, err := Solve(ctx, hard(150).problem(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if took := time.Since(begin); took > 5*time.Second {
		t.Errorf("took %v", took)
	}
	if r.Status == Feasible && r.StoppedBy != ByTime {
		t.Errorf("stopped by %v; want time", r.StoppedBy)
	}
}

func TestStart(t *testing.T) {
	p := one(10, []int64{6, 4}, []int{1, 1}).problem()
	good := []Use{{Pattern{0, []Piece{{0, 1}}}, 1}, {Pattern{0, []Piece{{1, 1}}}, 1}}
	calls := 0
	r, err := Solve(context.Background(), p, Options{Plan: good, Progress: func(q Progress) {
		if calls++; q.Found && q.LowerBound > q.Cost {
			t.Errorf("bound %d above cost %d", q.LowerBound, q.Cost)
		}
	}})
	if err != nil || r.Cost != 1 || calls == 0 {
		t.Errorf("cost %v, error %v, %d calls of progress; want cost 1", r, err, calls)
	}
	bad := []Use{{Pattern{0, []Piece{{0, 2}}}, 1}}
	if _, err := Solve(context.Background(), p, Options{Plan: bad}); err == nil {
		t.Error("an overfull board was taken")
	}
}

func TestRefusals(t *testing.T) {
	for name, bad := range map[string]func(*Problem){
		"demand":     func(p *Problem) { p.Demand[0] = -1 },
		"many":       func(p *Problem) { p.Demand[0] = MaxDemand + 1 },
		"cost":       func(p *Problem) { p.Kinds[0].Cost = -1 },
		"dear":       func(p *Problem) { p.Kinds[0].Cost = MaxCost + 1 },
		"quantity":   func(p *Problem) { p.Kinds[0].Quantity = -2 },
		"capacity":   func(p *Problem) { p.Capacity[0] = -1 },
		"large":      func(p *Problem) { p.Capacity[0] = MaxCapacity + 1 },
		"size":       func(p *Problem) { p.Size[0] = 0 },
		"long":       func(p *Problem) { p.Size[0] = MaxCapacity + 1 },
		"sizes":      func(p *Problem) { p.Size = nil },
		"capacities": func(p *Problem) { p.Capacity = nil },
		"all dear":   func(p *Problem) { p.Kinds[0].Cost, p.Demand[0] = MaxCost, int(MaxTotal/MaxCost)+1 },
	} {
		p := Problem{Kinds: []Kind{{1, 1}}, Capacity: []int64{10}, Size: []int64{5}, Demand: []int{1}}
		if _, err := Solve(context.Background(), p, Options{}); err != nil {
			t.Fatal(err)
		}
		bad(&p)
		var want *RangeError
		if _, err := Solve(context.Background(), p, Options{}); !errors.As(err, &want) {
			t.Errorf("%s: error %v; want a RangeError", name, err)
		}
	}
}

func TestNothingWanted(t *testing.T) {
	r := one(10, []int64{5}, []int{0}).solve(t)
	if r.Status != Optimal || r.Cost != 0 || len(r.Plan) != 0 {
		t.Errorf("%+v; want an empty plan", r)
	}
}

func TestTooLong(t *testing.T) {
	if r := one(10, []int64{11, 5}, []int{1, 3}).solve(t); r.Status != Infeasible {
		t.Errorf("%v; want infeasible", r.Status)
	}
}

func TestTooFewBoards(t *testing.T) {
	p := random{[]Kind{{1, 2}}, []int64{10}, []int64{6}, []int{3}}
	if r := p.solve(t); r.Status != Infeasible {
		t.Errorf("%v; want infeasible", r.Status)
	}
}

// A board of 10 gives two leaves of 5, so one more leaf costs half a board of 7.
func TestPrices(t *testing.T) {
	p := random{[]Kind{{7, Unlimited}, {9, 3}}, []int64{10, 10}, []int64{5}, []int{4}}
	r := p.solve(t)
	if len(r.ItemPrice) == 0 || math.Abs(r.ItemPrice[0]-3.5) > 1e-6 || math.Abs(r.KindPrice[1]) > 1e-6 {
		t.Errorf("prices %v, %v; want 3.5, 0", r.ItemPrice, r.KindPrice)
	}
}

// Triplets cut from whole boards need just as many boards, and nothing may be
// wasted: also where the boards have more units than a table has columns.
func TestTripletsOfFineUnits(t *testing.T) {
	const boards, capacity = 40, 10_000_000
	for seed := range uint64(5) {
		rng := rand.New(rand.NewPCG(seed, 21))
		var size []int64
		for range boards {
			a := int64(capacity*0.36) + rng.Int64N(capacity*0.13)
			b := (capacity-a)/2 + rng.Int64N(capacity*0.06)
			size = append(size, a, b, capacity-a-b)
		}
		r := one(capacity, size, slices.Repeat([]int{1}, len(size))).solve(t)
		if r.Cost < boards || r.LowerBound > boards || r.Status != Optimal {
			t.Errorf("seed %d: %v, cost %d, bound %d; want optimal, %d", seed, r.Status, r.Cost, r.LowerBound, boards)
		}
	}
}

// Thousands of leaves of boards that run out: what the rounding of so many
// boards costs is little beside them.
func TestManyLeavesOfKindsThatRunOut(t *testing.T) {
	for seed := range uint64(4) {
		rng := rand.New(rand.NewPCG(seed, 31))
		r := random{capacity: []int64{10_000}}
		wood, long := int64(0), 0
		for range 50 {
			size, demand := 100+rng.Int64N(7_400), 1+rng.IntN(100)
			r.size, r.demand = append(r.size, size), append(r.demand, demand)
			if wood += size * int64(demand); size > 5_000 {
				long += demand
			}
		}
		for range 4 {
			r.capacity = append(r.capacity, 5_000+rng.Int64N(5_000))
		}
		for _, c := range r.capacity {
			r.kinds = append(r.kinds, Kind{c, int(float64(wood/c) * (0.3 + 0.6*rng.Float64()))})
		}
		r.kinds[0].Quantity = max(r.kinds[0].Quantity, long)
		res, err := Solve(context.Background(), r.problem(), Options{WorkLimit: 400_000_000})
		if err != nil || res.Gap > 0.002 {
			t.Errorf("seed %d: gap %.4f, error %v", seed, res.Gap, err)
		}
	}
}

// solve solves a problem.
func (r random) solve(t testing.TB) *Result {
	t.Helper()
	res, err := Solve(context.Background(), r.problem(), Options{})
	if err != nil {
		t.Fatalf("%+v: %v", r, err)
	}
	return res
}
