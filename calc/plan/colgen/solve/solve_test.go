package solve

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/trial"
)

// Published problems with their published optima.
func TestPublished(t *testing.T) {
	for _, c := range []struct {
		name string
		r    trial.Random
		want int64
	}{
		// Chvatal, Linear Programming (1983), chapter 13: rolls of 100 inches.
		{"Chvatal's paper rolls", trial.One(100, []int64{45, 36, 31, 14}, []int{97, 610, 395, 211}), 453},
		// Rolls of 5600 mm in 13 widths, encyclopaedia article "Cutting stock
		// problem": 73 rolls.
		{"rolls of 5600 mm", trial.One(5600,
			[]int64{1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150, 2200},
			[]int{22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20}), 73},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := solved(t, c.r)
			if r.Status != colgen.Optimal || r.Cost != c.want || r.LowerBound != c.want || r.StoppedBy != colgen.ByProof {
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
	r := solved(t, trial.One(board+kerf, size, []int{97, 610, 395, 211}))
	if r.Cost != 453 || r.Status != colgen.Optimal {
		t.Errorf("cost %d, %v; want 453", r.Cost, r.Status)
	}
}

func TestBruteForce(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	count := map[colgen.Status]int{}
	for n := range 1500 {
		p := trial.NewRandom(rng, 1+n%3)
		want := p.Brute()
		r := solved(t, p)
		count[r.Status]++
		switch {
		case want == trial.Impossible && r.Status != colgen.Infeasible && r.Status != colgen.Unknown:
			t.Fatalf("%+v: %v with cost %d; want none", p, r.Status, r.Cost)
		case want != trial.Impossible && r.Status != colgen.Optimal && r.Status != colgen.Feasible && r.Status != colgen.Unknown:
			t.Fatalf("%+v: %v; want cost %d", p, r.Status, want)
		case r.Status == colgen.Optimal && r.Cost != want:
			t.Fatalf("%+v: cost %d; want %d", p, r.Cost, want)
		case want != trial.Impossible && r.LowerBound > want:
			t.Fatalf("%+v: bound %d; want at most %d", p, r.LowerBound, want)
		case r.Status == colgen.Feasible && r.Cost < want:
			t.Fatalf("%+v: cost %d below %d", p, r.Cost, want)
		}
	}
	if open := count[colgen.Feasible] + count[colgen.Unknown]; open > 15 {
		t.Errorf("%d of 1500 left open: %v", open, count)
	}
	t.Log(count)
}

// Sizes, order and splitting of demands change nothing of the least cost.
func TestMetamorphic(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for n := range 200 {
		p := trial.NewRandom(rng, 1+n%2)
		want := solved(t, p)
		if want.Status != colgen.Optimal {
			continue
		}
		for name, q := range map[string]trial.Random{"scaled": p.Scaled(25_400), "reversed": p.Reversed(), "split": p.Split()} {
			if got := solved(t, q); got.Status == colgen.Optimal && got.Cost != want.Cost || got.LowerBound > want.Cost {
				t.Fatalf("%s %+v: cost %d, bound %d; want %d", name, p, got.Cost, got.LowerBound, want.Cost)
			}
		}
	}
}

// By construction the triplets fill as many boards as there are.
func TestTriplets(t *testing.T) {
	if r := solved(t, trial.Hard(20)); r.Cost != 20 || r.Status != colgen.Optimal {
		t.Errorf("cost %d, %v; want 20", r.Cost, r.Status)
	}
}

func TestDeterministic(t *testing.T) {
	p := trial.Hard(30)
	o := colgen.Options{WorkLimit: 3_000_000}
	a, err := Solve(context.Background(), p.Problem(), o)
	if err != nil {
		t.Fatal(err)
	}
	b, err := Solve(context.Background(), p.Problem(), o)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(a, b) {
		t.Errorf("two searches differ: %+v, %+v", a.Stats, b.Stats)
	}
	if a.Status == colgen.Feasible && a.StoppedBy != colgen.ByWork {
		t.Errorf("stopped by %v; want work", a.StoppedBy)
	}
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Millisecond)
	defer cancel()
	begin := time.Now()
	r, err := Solve(ctx, trial.Hard(150).Problem(), colgen.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if took := time.Since(begin); took > 5*time.Second {
		t.Errorf("took %v", took)
	}
	if r.Status == colgen.Feasible && r.StoppedBy != colgen.ByTime {
		t.Errorf("stopped by %v; want time", r.StoppedBy)
	}
}

func TestProgress(t *testing.T) {
	p := trial.One(10, []int64{6, 4}, []int{1, 1}).Problem()
	calls := 0
	r, err := Solve(context.Background(), p, colgen.Options{Progress: func(q colgen.Progress) {
		if calls++; q.Found && q.LowerBound > q.Cost {
			t.Errorf("bound %d above cost %d", q.LowerBound, q.Cost)
		}
	}})
	if err != nil || r.Cost != 1 || calls == 0 {
		t.Errorf("cost %v, error %v, %d calls of progress; want cost 1", r, err, calls)
	}
}

func TestRefusals(t *testing.T) {
	for name, bad := range map[string]func(*colgen.Problem){
		"demand":     func(p *colgen.Problem) { p.Demand[0] = -1 },
		"many":       func(p *colgen.Problem) { p.Demand[0] = colgen.MaxDemand + 1 },
		"cost":       func(p *colgen.Problem) { p.Kinds[0].Cost = -1 },
		"dear":       func(p *colgen.Problem) { p.Kinds[0].Cost = colgen.MaxCost + 1 },
		"quantity":   func(p *colgen.Problem) { p.Kinds[0].Quantity = -2 },
		"capacity":   func(p *colgen.Problem) { p.Capacity[0] = -1 },
		"large":      func(p *colgen.Problem) { p.Capacity[0] = colgen.MaxCapacity + 1 },
		"size":       func(p *colgen.Problem) { p.Size[0] = 0 },
		"long":       func(p *colgen.Problem) { p.Size[0] = colgen.MaxCapacity + 1 },
		"sizes":      func(p *colgen.Problem) { p.Size = nil },
		"capacities": func(p *colgen.Problem) { p.Capacity = nil },
		"all dear": func(p *colgen.Problem) {
			p.Kinds[0].Cost, p.Demand[0] = colgen.MaxCost, int(colgen.MaxTotal/colgen.MaxCost)+1
		},
	} {
		p := colgen.Problem{Kinds: []colgen.Kind{{Cost: 1, Quantity: 1}}, Capacity: []int64{10}, Size: []int64{5}, Demand: []int{1}}
		if _, err := Solve(context.Background(), p, colgen.Options{}); err != nil {
			t.Fatal(err)
		}
		bad(&p)
		var want *colgen.RangeError
		if _, err := Solve(context.Background(), p, colgen.Options{}); !errors.As(err, &want) {
			t.Errorf("%s: error %v; want a RangeError", name, err)
		}
	}
}

// Each item needs a value.
func TestWorthRefusals(t *testing.T) {
	p := trial.One(10, []int64{6, 4}, []int{1, 1}).Problem()
	for _, value := range [][]int64{nil, {1}, {1, 2, 3}} {
		var out *colgen.RangeError
		if worth, _, err := Worth(context.Background(), p, value); !errors.As(err, &out) || out.Value != int64(len(value)) || worth != nil {
			t.Errorf("%v: %v, %v", value, worth, err)
		}
	}
}

func TestNothingWanted(t *testing.T) {
	r := solved(t, trial.One(10, []int64{5}, []int{0}))
	if r.Status != colgen.Optimal || r.Cost != 0 || len(r.Plan) != 0 {
		t.Errorf("%+v; want an empty plan", r)
	}
}

func TestTooLong(t *testing.T) {
	if r := solved(t, trial.One(10, []int64{11, 5}, []int{1, 3})); r.Status != colgen.Infeasible {
		t.Errorf("%v; want infeasible", r.Status)
	}
}

func TestTooFewBoards(t *testing.T) {
	p := trial.Random{Kinds: []colgen.Kind{{Cost: 1, Quantity: 2}}, Capacity: []int64{10}, Size: []int64{6}, Demand: []int{3}}
	if r := solved(t, p); r.Status != colgen.Infeasible {
		t.Errorf("%v; want infeasible", r.Status)
	}
}

// A board of 10 gives two leaves of 5, so one more leaf costs half a board of 7.
func TestPrices(t *testing.T) {
	p := trial.Random{Kinds: []colgen.Kind{{Cost: 7, Quantity: colgen.Unlimited}, {Cost: 9, Quantity: 3}}, Capacity: []int64{10, 10}, Size: []int64{5}, Demand: []int{4}}
	r := solved(t, p)
	if len(r.ItemPrice) != 1 || math.Abs(r.ItemPrice[0]-3.5) > 1e-6 {
		t.Errorf("prices %v; want 3.5", r.ItemPrice)
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
		r := solved(t, trial.One(capacity, size, slices.Repeat([]int{1}, len(size))))
		if r.Cost < boards || r.LowerBound > boards || r.Status != colgen.Optimal {
			t.Errorf("seed %d: %v, cost %d, bound %d; want optimal, %d", seed, r.Status, r.Cost, r.LowerBound, boards)
		}
	}
}

// Thousands of leaves of boards that run out: what the rounding of so many
// boards costs is little beside them.
func TestManyLeavesOfKindsThatRunOut(t *testing.T) {
	for seed := range uint64(trial.Rounds(2)) {
		rng := rand.New(rand.NewPCG(seed, 31))
		r := trial.Random{Capacity: []int64{10_000}}
		wood, long := int64(0), 0
		for range 50 {
			size, demand := 100+rng.Int64N(7_400), 1+rng.IntN(100)
			r.Size, r.Demand = append(r.Size, size), append(r.Demand, demand)
			if wood += size * int64(demand); size > 5_000 {
				long += demand
			}
		}
		for range 4 {
			r.Capacity = append(r.Capacity, 5_000+rng.Int64N(5_000))
		}
		for _, c := range r.Capacity {
			r.Kinds = append(r.Kinds, colgen.Kind{Cost: c, Quantity: int(float64(wood/c) * (0.3 + 0.6*rng.Float64()))})
		}
		r.Kinds[0].Quantity = max(r.Kinds[0].Quantity, long)
		res, err := Solve(context.Background(), r.Problem(), colgen.Options{WorkLimit: 300_000_000})
		if err != nil || res.Gap > 0.002 {
			t.Errorf("seed %d: gap %.4f, error %v", seed, res.Gap, err)
		}
	}
}

// solved solves a problem.
func solved(t testing.TB, r trial.Random) *colgen.Result {
	t.Helper()
	res, err := Solve(context.Background(), r.Problem(), colgen.Options{})
	if err != nil {
		t.Fatalf("%+v: %v", r, err)
	}
	return res
}
