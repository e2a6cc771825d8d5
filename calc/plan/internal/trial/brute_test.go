package trial

import (
	"math/rand/v2"
	"os"
	"reflect"
	"slices"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/instance"
)

// TestBruteByHand: orders worked by hand.
func TestBruteByHand(t *testing.T) {
	board := plan.Board{Thickness: 10, Width: 10, Length: 21, Quantity: 3, Price: 100}
	strip := plan.Part{Thickness: 1, Width: 2, Length: 10, Quantity: 10, Divide: true}
	for _, c := range []struct {
		name string
		o    plan.Order
		want Answer
	}{
		// 10 passes through a billet of 2 x 10 cost 3 each: 30. Divided end to end
		// with a kerf of 1 between, 5 passes through 21 x 2: 15. Four side by side
		// (4 * 2 + 3 * 0) as well: 2 passes of 8 places, and one mounted billet.
		{"undivided", plan.Order{Boards: []plan.Board{board}, Parts: []plan.Part{{Thickness: 1, Width: 2, Length: 10, Quantity: 9}}, PassPrice: 3, BilletPrice: 7},
			Answer{Sets: []int{9}, Cost: 134, Boards: 1}},
		{"end to end", plan.Order{Boards: []plan.Board{board}, Parts: []plan.Part{{Thickness: 1, Width: 10, Length: 10, Quantity: 10, Divide: true}}, PassPrice: 3, BilletPrice: 7, LeafKerf: 1},
			Answer{Sets: []int{10}, Cost: 122, Boards: 1}},
		{"no room for the leaf kerf", plan.Order{Boards: []plan.Board{board}, Parts: []plan.Part{{Thickness: 1, Width: 10, Length: 10, Quantity: 10, Divide: true}}, PassPrice: 3, BilletPrice: 7, LeafKerf: 2},
			Answer{Sets: []int{10}, Cost: 137, Boards: 1}}, // 10 leaves of 10
		{"side by side too", plan.Order{Boards: []plan.Board{board}, Parts: []plan.Part{strip}, PassPrice: 3, BilletPrice: 7},
			Answer{Sets: []int{10}, Cost: 110, Boards: 1}}, // one leaf of 2 x 5
		{"by length", plan.Order{Boards: []plan.Board{board}, Parts: []plan.Part{strip}, PassLength: plan.Rate{Price: 1, Per: 8}},
			Answer{Sets: []int{10}, Cost: 102, Boards: 1}}, // two billets of 10, 1.25 each, rounded once each
		// A kit of one each: the long part leaves room for two leaves of the other.
		{"kits", plan.Order{Boards: []plan.Board{{Thickness: 4, Quantity: 3, Price: 5}}, Parts: []plan.Part{{Thickness: 3, Quantity: 2}, {Thickness: 1, Quantity: 3}},
			Kits: []plan.Kit{{Quantity: 2, Parts: []plan.KitPart{{Part: 0, Quantity: 1}, {Part: 1, Quantity: 1}}}}},
			Answer{Kits: []int{2}, Sets: []int{2, 3}, Cost: 15, Boards: 3}},
		// One board gives either a kit of two and one, or three of the first part: the
		// kit goes before, and its second is unmet with both of its parts.
		{"a kit unmet", plan.Order{Boards: []plan.Board{{Thickness: 4, Quantity: 1, Price: 5}}, Parts: []plan.Part{{Thickness: 1, Quantity: 4}, {Thickness: 2, Quantity: 2}},
			Kits: []plan.Kit{{Quantity: 2, Parts: []plan.KitPart{{Part: 0, Quantity: 2}, {Part: 1, Quantity: 1}}}}},
			Answer{Kits: []int{1}, Sets: []int{2, 1}, Cost: 5, Boards: 1}},
		// No billet shorter than 11: two do not lie in 21.
		{"smallest", plan.Order{Boards: []plan.Board{board}, Parts: []plan.Part{{Thickness: 10, Width: 10, Length: 10, Quantity: 2}}, Smallest: plan.Face{Length: 11}},
			Answer{Sets: []int{2}, Cost: 200, Boards: 2}},
	} {
		if len(plan.Validate(c.o)) > 0 {
			t.Fatalf("%s: %v", c.name, plan.Validate(c.o))
		}
		got := NewBrute(c.o).Solve()
		if !slices.Equal(got.Kits, c.want.Kits) || !slices.Equal(got.Sets, c.want.Sets) || got.Cost != c.want.Cost || got.Boards != c.want.Boards {
			t.Errorf("%s: %+v, not %+v", c.name, got, c.want)
		}
	}
}

// TestBruteSizes: billets of any size give no more than those that leaves fill.
func TestBruteSizes(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 7))
	for n := range Rounds(60) {
		o := TinyWith(r, Feature(n)&Everything)
		every := NewBrute(o)
		every.Any = true
		if got, want := NewBrute(o).Solve(), every.Solve(); !reflect.DeepEqual(got, want) {
			t.Fatalf("order %d: %+v, not %+v\n%+v", n, got, want, o)
		}
	}
}

// TestFeatures: every feature changes what an order comes to, often enough to matter.
func TestFeatures(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 8))
	const orders = 60
	for _, c := range []struct {
		name  string
		f     Feature
		drop  func(*plan.Order)
		least int
	}{
		{"grids", Grids, func(o *plan.Order) {
			for i := range o.Parts {
				o.Parts[i].Divide = false
			}
		}, 5},
		{"kits", Kits, func(o *plan.Order) { o.Kits = nil }, 10},
		{"work", Work, func(o *plan.Order) { o.PassPrice, o.PassLength, o.BilletPrice = 0, plan.Rate{}, 0 }, 30},
		{"smallest", Smallest, func(o *plan.Order) { o.Smallest, o.LeastSkim = plan.Face{}, 0 }, 10},
	} {
		changed := 0
		for n := range orders {
			o := TinyWith(r, c.f)
			if f := plan.Validate(o); len(f) > 0 {
				t.Fatalf("%s %d: %v", c.name, n, f)
			}
			a := NewBrute(o).Solve()
			o.Parts = slices.Clone(o.Parts)
			c.drop(&o)
			b := NewBrute(o).Solve()
			if a.Kits = nil; a.Cost != b.Cost || !slices.Equal(a.Sets, b.Sets) {
				changed++
			}
		}
		if changed < c.least {
			t.Errorf("%s changed %d of %d orders", c.name, changed, orders)
		}
	}
}

// TestBruteTruths compares the brute force with orders whose least cost is known, where
// it can solve them: by an exact arc-flow model, solved by CBC 2.10.8.
func TestBruteTruths(t *testing.T) {
	raw, err := os.ReadFile("../../../../../shared/data/divided/divided.json")
	if err != nil {
		t.Skip("no orders to compare with: ", err)
	}
	all, err := instance.ReadDivided(raw)
	if err != nil {
		t.Fatal(err)
	}
	compared := 0
	for _, d := range all {
		o, err := d.Order()
		if err != nil {
			t.Fatal(err)
		}
		b := NewBrute(o)
		states, sizes := 1, len(b.sizes(0, o.Boards[0].Length, func(p plan.Part) nm { return p.Length }))*len(b.sizes(0, o.Boards[0].Width, func(p plan.Part) nm { return p.Width }))
		for _, n := range b.Want {
			states *= n + 1
		}
		if states > 300 || sizes > 100 {
			continue
		}
		compared++
		if got := b.Solve(); got.Cost != instance.Price(d.Optimum) || !slices.Equal(got.Sets, b.Want) {
			t.Errorf("%s: %+v, not %v for %g", d.Name, got, b.Want, d.Optimum)
		}
	}
	if compared < 8 {
		t.Errorf("only %d of %d orders are small enough", compared, len(all))
	}
}
