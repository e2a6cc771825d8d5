package solver

import (
	"context"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
)

// priced are orders of every kind of job, with small prices.
func priced() map[string]plan.Order {
	thin := func(thickness nm, price int64, quantity int) plan.Board {
		return plan.Board{Thickness: thickness, Price: price, Quantity: quantity}
	}
	leaf := func(thickness nm, quantity int) plan.Part { return plan.Part{Thickness: thickness, Quantity: quantity} }
	sawn := plan.Order{Kerf: 1, Boards: []plan.Board{thin(60, 5, plan.Unlimited), thin(45, 4, plan.Unlimited)},
		Parts: []plan.Part{leaf(7, 40), leaf(11, 35), leaf(13, 30), leaf(17, 9)}}
	sawn.Boards[0].Sawn, sawn.Parts[1].Sawn = "rift", "rift"
	small := trial.FewParts(trial.ShopOrder(1), 3)
	for i := range small.Parts {
		small.Parts[i].Quantity = small.Parts[i].Matched * 2
	}
	short := trial.FewParts(trial.ShopOrder(2), 6)
	short.Boards = short.Boards[:2]
	orders := map[string]plan.Order{
		"outright": small,
		"one dimension": {Kerf: 1, Boards: []plan.Board{thin(100, 7, plan.Unlimited)},
			Parts: []plan.Part{leaf(43, 41), leaf(31, 67), leaf(23, 53), leaf(17, 29)}},
		"several kinds": {Kerf: 1, Boards: []plan.Board{thin(100, 9, 20), thin(70, 6, 30), thin(55, 5, plan.Unlimited)},
			Parts: []plan.Part{leaf(43, 21), leaf(31, 37), leaf(23, 33), leaf(17, 29)}},
		"sawn":         sawn,
		"faces":        faces(),
		"three stages": trial.FewParts(trial.ShopOrder(3), 8),
		"unmet":        short,
		"divided":      dividing(trial.FewParts(trial.ShopOrder(4), 6)),
	}
	for _, o := range orders {
		for k := range o.Boards {
			o.Boards[k].Price = 1 + o.Boards[k].Price%1000
		}
	}
	for _, name := range []string{"outright", "one dimension", "sawn", "faces", "three stages"} {
		o := orders[name]
		o.PassPrice, o.BilletPrice = 3, 11
		orders[name+" with work"] = o
	}
	return orders
}

// dividing returns an order whose leaves may be divided.
func dividing(o plan.Order) plan.Order {
	o.Parts, o.LeafKerf = slices.Clone(o.Parts), o.Kerf
	for i := range o.Parts {
		o.Parts[i].Divide = true
	}
	return o
}

// faces is an order of two stages with many copies.
func faces() plan.Order {
	o := plan.Order{Boards: []plan.Board{{Thickness: 1, Width: 250, Length: 240, Price: 60, Quantity: plan.Unlimited}, {Thickness: 1, Width: 200, Length: 220, Price: 43, Quantity: plan.Unlimited}}}
	for _, p := range [][3]int{{60, 90, 40}, {110, 70, 33}, {45, 130, 52}, {80, 80, 21}, {150, 40, 17}, {95, 120, 12}} {
		o.Parts = append(o.Parts, plan.Part{Thickness: 1, Width: nm(p[0]), Length: nm(p[1]), Quantity: p[2]})
	}
	return o
}

// TestPricesScaled multiplies the prices of orders of every kind of job by one
// number, up to the dearest board that is accepted: the boards, the status and
// the gap stay as they are.
func TestPricesScaled(t *testing.T) {
	for name, o := range priced() {
		opt := Options{WorkLimit: int64(trial.Rounds(10_000_000))}
		want, err := Solve(context.Background(), o, opt)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		dearest := max(1, o.PassPrice, o.BilletPrice)
		for _, b := range o.Boards {
			dearest = max(dearest, b.Price)
		}
		for _, factor := range []int64{7, 1e4, plan.MaxPrice / dearest} {
			scaled := o
			scaled.Boards = append([]plan.Board(nil), o.Boards...)
			for k := range scaled.Boards {
				scaled.Boards[k].Price *= factor
			}
			scaled.PassPrice, scaled.BilletPrice = o.PassPrice*factor, o.BilletPrice*factor
			got, err := Solve(context.Background(), scaled, opt)
			if err != nil {
				t.Fatalf("%s, times %d: %v", name, factor, err)
			}
			if got.Cost != factor*want.Cost || got.LowerBound != factor*want.LowerBound || got.Status != want.Status ||
				got.Gap != want.Gap || !reflect.DeepEqual(got.Taken, want.Taken) {
				t.Errorf("%s, times %d: %s, cost %d, bound %d; before %s, %d, %d",
					name, factor, got.Status, got.Cost, got.LowerBound, want.Status, want.Cost, want.LowerBound)
			}
		}
	}
}

// TestDearBoards makes the boards of orders nearly as dear as is accepted, by
// prices that have no divisor in common: no bound is above what the boards of
// the plan for the small prices cost then, and no plan is called the cheapest
// that is dearer than that.
func TestDearBoards(t *testing.T) {
	for name, o := range priced() {
		opt := Options{WorkLimit: int64(trial.Rounds(10_000_000))}
		plain, err := Solve(context.Background(), o, opt)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		dearest := int64(1)
		for _, b := range o.Boards {
			dearest = max(dearest, b.Price)
		}
		dear := o
		dear.Boards = append([]plan.Board(nil), o.Boards...)
		for k := range dear.Boards {
			dear.Boards[k].Price = dear.Boards[k].Price*(plan.MaxPrice/dearest) - int64(k%7)
		}
		var known int64
		for _, taken := range plain.Taken {
			known += int64(taken.Copies) * dear.Boards[taken.Board].Price
			for _, b := range taken.Billets {
				known += int64(taken.Copies) * dear.BilletCost(b.Passes(), b.Length)
			}
		}
		got, err := Solve(context.Background(), dear, opt)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if reflect.DeepEqual(got.Unmet, plain.Unmet) && (got.LowerBound > known || got.Status == plan.Optimal && got.Cost > known) {
			t.Errorf("%s: %s, cost %d, bound %d; there is a plan of %d", name, got.Status, got.Cost, got.LowerBound, known)
		}
	}
}

// TestUncut solves orders that are not crosscut, some not ripped either, with
// boards that not every part may come from: each job is a search by stages.
func TestUncut(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 2))
	ways := []string{"", "flat", "rift", "quarter"}
	for range trial.Rounds(60) {
		o := plan.Order{Kerf: nm(r.IntN(3)), Skim: nm(r.IntN(2)), HoldBack: nm(r.IntN(4))}
		rips := r.IntN(2) == 0
		for range 2 + r.IntN(4) {
			p := plan.Part{Thickness: nm(2 + r.IntN(9)), Sawn: ways[r.IntN(4)], Quantity: 1 + r.IntN(60), Spare: r.IntN(9)}
			if rips {
				p.Width = nm(10 + r.IntN(40))
			}
			o.Parts = append(o.Parts, p)
		}
		for range 1 + r.IntN(4) {
			b := plan.Board{Thickness: nm(15 + r.IntN(60)), Sawn: ways[r.IntN(4)], Quantity: r.IntN(40) - 1, Price: int64(r.IntN(50))}
			if rips {
				b.Width = nm(40 + r.IntN(80))
			}
			o.Boards = append(o.Boards, b)
		}
		if _, err := Solve(context.Background(), o, Options{WorkLimit: 3_000_000}); err != nil {
			t.Fatalf("%v: %+v", err, o)
		}
	}
}
