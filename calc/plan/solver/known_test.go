package solver_test

import (
	"context"
	"slices"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/solver"
)

// known are small orders with divided leaves, kits and work in the cost. Their least
// costs were proven by CBC 2.10.8 on an exact arc-flow model of the stages with the
// grids of leaves, made for this comparison.
var known = []struct {
	name         string
	least, whole int64 // the least cost, and that without divided leaves
	order        plan.Order
}{
	{"all7059", 575_360, 888_320, plan.Order{
		Kerf: 1_400_000, HoldBack: 6 * MM, RipKerf: 3_200_000, CrosscutKerf: 3_200_000, LeafKerf: 1_200_000, PassPrice: 15_000, PassLength: plan.Rate{Price: 30, Per: MM},
		Boards: []plan.Board{
			{Thickness: 52 * MM, Width: 140 * MM, Length: 1000 * MM, Price: 500_000, Quantity: plan.Unlimited},
		},
		Parts: []plan.Part{
			{Thickness: 1_200_000, Width: 48 * MM, Length: 96 * MM, Quantity: 4, Divide: true},
			{Thickness: 2 * MM, Width: 9 * MM, Length: 820 * MM, Quantity: 8, Divide: true},
		},
		Kits: []plan.Kit{
			{Quantity: 4, Parts: []plan.KitPart{{Part: 0, Quantity: 1}, {Part: 1, Quantity: 2}}},
		},
	}},
	{"kit1016", 896_000, 1_276_000, plan.Order{
		Kerf: 1 * MM, Skim: 800_000, HoldBack: 3 * MM, RipKerf: 3_200_000, CrosscutKerf: 3_200_000, LeafKerf: 1 * MM, EndTrim: 15 * MM,
		Boards: []plan.Board{
			{Thickness: 41 * MM, Width: 120 * MM, Length: 900 * MM, Price: 380_000, Quantity: plan.Unlimited},
			{Thickness: 27 * MM, Width: 190 * MM, Length: 1000 * MM, Price: 480_000, Quantity: plan.Unlimited},
			{Thickness: 34 * MM, Width: 160 * MM, Length: 1100 * MM, Price: 448_000, Quantity: plan.Unlimited},
		},
		Parts: []plan.Part{
			{Thickness: 8 * MM, Width: 95 * MM, Length: 210 * MM, Quantity: 11, Divide: true},
			{Thickness: 2_900_000, Width: 105 * MM, Length: 800 * MM, Quantity: 6, Divide: true},
			{Thickness: 6_500_000, Width: 70 * MM, Length: 480 * MM, Quantity: 5, Divide: true},
		},
		Kits: []plan.Kit{
			{Quantity: 4, Parts: []plan.KitPart{{Part: 0, Quantity: 1}, {Part: 1, Quantity: 1}}},
			{Quantity: 2, Parts: []plan.KitPart{{Part: 0, Quantity: 2}, {Part: 2, Quantity: 1}, {Part: 1, Quantity: 1}}},
		},
	}},
	{"price7019", 315_500, 400_500, plan.Order{
		Kerf: 1_400_000, Skim: 1 * MM, HoldBack: 6 * MM, RipKerf: 3_200_000, CrosscutKerf: 3 * MM, LeafKerf: 600_000, EndTrim: 15 * MM, PassPrice: 2_500,
		Boards: []plan.Board{
			{Thickness: 27 * MM, Width: 200 * MM, Length: 600 * MM, Price: 298_000, Quantity: plan.Unlimited},
			{Thickness: 27 * MM, Width: 190 * MM, Length: 950 * MM, Price: 495_000, Quantity: 3},
		},
		Parts: []plan.Part{
			{Thickness: 3 * MM, Width: 90 * MM, Length: 95 * MM, Quantity: 18, Spare: 2, Divide: true},
			{Thickness: 9 * MM, Width: 32 * MM, Length: 170 * MM, Quantity: 7, Spare: 1, Divide: true},
		},
	}},
}

// TestKnown: orders whose least cost is known come out at it, proven, divided or not.
func TestKnown(t *testing.T) {
	for _, c := range known {
		whole := c.order
		whole.Parts = slices.Clone(whole.Parts)
		for i := range whole.Parts {
			whole.Parts[i].Divide = false
		}
		for least, o := range map[int64]plan.Order{c.least: c.order, c.whole: whole} {
			p, err := solver.Solve(context.Background(), o, solver.Options{})
			if err != nil {
				t.Fatal(err)
			}
			if p.Status != plan.Optimal || p.Cost != least {
				t.Errorf("%s: %s at %d, not %d", c.name, p.Status, p.Cost, least)
			}
		}
	}
}

// TestKnownChanged: the order of parts, boards and kits, the unit of prices, and a part,
// a board or a kit split in two change no least cost.
func TestKnownChanged(t *testing.T) {
	for _, c := range known {
		for name, change := range map[string]func(*plan.Order) int64{
			"turned": turned, "dearer": dearer, "split": splitKits,
		} {
			o := c.order
			o.Boards, o.Parts, o.Kits = slices.Clone(o.Boards), slices.Clone(o.Parts), slices.Clone(o.Kits)
			for k := range o.Kits {
				o.Kits[k].Parts = slices.Clone(o.Kits[k].Parts)
			}
			want := c.least * change(&o)
			p, err := solver.Solve(context.Background(), o, solver.Options{})
			if err != nil {
				t.Fatalf("%s, %s: %v", c.name, name, err)
			}
			if p.Status != plan.Optimal || p.Cost != want {
				t.Errorf("%s, %s: %s at %d, not %d", c.name, name, p.Status, p.Cost, want)
			}
		}
	}
}

// turned turns the order of boards, parts and kits round.
func turned(o *plan.Order) int64 {
	slices.Reverse(o.Boards)
	slices.Reverse(o.Parts)
	slices.Reverse(o.Kits)
	for _, k := range o.Kits {
		for n := range k.Parts {
			k.Parts[n].Part = len(o.Parts) - 1 - k.Parts[n].Part
		}
	}
	return 1
}

// dearer makes everything three times as dear.
func dearer(o *plan.Order) int64 {
	for i := range o.Boards {
		o.Boards[i].Price *= 3
	}
	o.PassPrice, o.BilletPrice, o.PassLength.Price = 3*o.PassPrice, 3*o.BilletPrice, 3*o.PassLength.Price
	return 3
}

// splitKits makes two kinds of the first kit and of boards without end, one of each kind.
func splitKits(o *plan.Order) int64 {
	if len(o.Kits) > 0 && o.Kits[0].Quantity > 1 {
		one := o.Kits[0]
		one.Quantity = 1
		o.Kits[0].Quantity--
		o.Kits = append(o.Kits, one)
	}
	o.Boards = append(o.Boards, o.Boards[0])
	return 1
}
