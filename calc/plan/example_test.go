package plan_test

import (
	"fmt"

	"resawd/calc/length"
	"resawd/calc/plan"
)

// mm is a millimetre.
const mm = length.Length(1_000_000)

// Six leaves in matched pairs and two to spare: four pairs.
func ExamplePart_SetCount() {
	p := plan.Part{Quantity: 6, Spare: 2, Matched: 2}
	fmt.Println(p.SetCount())
	// Output: 4
}

func ExamplePart_SetSize() {
	fmt.Println(plan.Part{Matched: 2}.SetSize(), plan.Part{}.SetSize())
	// Output: 2 1
}

// A head plate of any wood stands between a back of walnut and sides of maple.
func ExampleKit_Apart() {
	parts := []plan.Part{{Species: "walnut"}, {}, {Species: "maple"}}
	fmt.Println(plan.Kit{Parts: []plan.KitPart{{Part: 0}, {Part: 1}}}.Apart(parts))
	fmt.Println(plan.Kit{Parts: []plan.KitPart{{Part: 0}, {Part: 1}, {Part: 2}}}.Apart(parts))
	// Output:
	// -1
	// 2
}

func ExampleValidate() {
	o := plan.Order{Boards: []plan.Board{{Thickness: 50 * mm}}, Parts: []plan.Part{{Thickness: 3 * mm, Quantity: 5, Matched: 2}}}
	fmt.Println(plan.Validate(o)[0])
	// Output: plan: part 0: quantity: 5 is no whole number of matched sets of 2
}

// Four leaves of 3 mm come of a board of 50 mm, without a kerf, and leave 38 mm of it.
func ExampleCheck() {
	o := plan.Order{Boards: []plan.Board{{Thickness: 50 * mm, Quantity: 1, Price: 1}}, Parts: []plan.Part{{Thickness: 3 * mm, Quantity: 4}}}
	billet := plan.Billet{Leaves: []plan.Leaves{{Part: 0, Count: 4, EndToEnd: 1, SideBySide: 1}}, Remainder: 38 * mm}
	p := &plan.Plan{Status: plan.Optimal, Cost: 1, LowerBound: 1, Taken: []plan.Taken{{Board: 0, Copies: 1, Billets: []plan.Billet{billet}}}}
	fmt.Println(plan.Check(o, p))
	p.Taken[0].Billets[0].Remainder++
	fmt.Println(plan.Check(o, p))
	// Output:
	// <nil>
	// taken 0: billet 0: leaves, kerfs, skim, hold-back and remainder add up to 50000001 of 50000000
}

// Ten leaves, each ripped into four bindings.
func ExampleLeaves_Copies() {
	fmt.Println(plan.Leaves{Count: 10, EndToEnd: 1, SideBySide: 4}.Copies())
	// Output: 40
}

// A truing pass and two kinds of leaves.
func ExampleBillet_Passes() {
	fmt.Println(plan.Billet{Skim: 1, Leaves: []plan.Leaves{{Count: 10}, {Count: 4}}}.Passes())
	// Output: 15
}

// Seven passes of 1.50 each and of 0.003 a millimetre over 820 mm come to 27.72, and
// mounting the billet to 2.
func ExampleOrder_BilletCost() {
	o := plan.Order{PassPrice: 1_5000, PassLength: plan.Rate{Price: 30, Per: 1_000_000}, BilletPrice: 2_0000}
	fmt.Println(o.BilletCost(7, 820_000_000))
	// Output: 297200
}
