package trial

import (
	"slices"

	"resawd/calc/plan"
)

// CheckBoard returns an error when a board of an order cannot be cut so.
func CheckBoard(o plan.Order, taken plan.Taken) error {
	o.Parts, o.Boards = slices.Clone(o.Parts), slices.Clone(o.Boards)
	for i := range o.Parts {
		o.Parts[i].Quantity, o.Parts[i].Spare = 0, 0
	}
	for _, b := range taken.Billets {
		for _, l := range b.Leaves {
			o.Parts[l.Part].Quantity += l.Copies()
		}
	}
	o.Boards[taken.Board].Quantity = 1
	price := o.Boards[taken.Board].Price
	return plan.Check(o, &plan.Plan{Status: plan.Optimal, Cost: price, LowerBound: price, Taken: []plan.Taken{taken}})
}
