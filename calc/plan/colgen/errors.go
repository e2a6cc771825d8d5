package colgen

import (
	"errors"
	"fmt"
)

// ErrInternal marks a failed check of the engine's own work. It is never
// caused by the numbers of a problem.
var ErrInternal = errors.New("colgen: internal error")

// RangeError says that a quantity of the problem is outside its limits.
type RangeError struct {
	Quantity  string // which one, such as "demand"
	Index     int    // of the item or kind, -1 when it has none
	Value     int64
	Low, High int64
}

// Error implements error.
func (e *RangeError) Error() string {
	quantity := e.Quantity
	if e.Index >= 0 {
		quantity = fmt.Sprintf("%s %d", quantity, e.Index)
	}
	return fmt.Sprintf("colgen: %s is %d; possible are %d to %d", quantity, e.Value, e.Low, e.High)
}

// within returns nil or a RangeError.
func within(quantity string, index int, value, low, high int64) error {
	if value < low || value > high {
		return &RangeError{quantity, index, value, low, high}
	}
	return nil
}

// Validate returns a *RangeError for the first quantity that is outside its limits.
//
// Source: definition.
// Valid: any problem.
func (p *Problem) Validate() error {
	if err := within("number of capacities", -1, int64(len(p.Capacity)), int64(len(p.Kinds)), int64(len(p.Kinds))); err != nil {
		return err
	}
	if err := within("number of sizes", -1, int64(len(p.Size)), int64(len(p.Demand)), int64(len(p.Demand))); err != nil {
		return err
	}
	if err := within("number of items", -1, int64(len(p.Demand)), 0, MaxItems); err != nil {
		return err
	}
	if err := within("number of kinds", -1, int64(len(p.Kinds)), 0, MaxKinds); err != nil {
		return err
	}
	for i, d := range p.Demand {
		if err := within("demand", i, int64(d), 0, MaxDemand); err != nil {
			return err
		}
		if err := within("size", i, p.Size[i], 1, MaxCapacity); err != nil {
			return err
		}
	}
	for k, kind := range p.Kinds {
		if err := within("capacity", k, p.Capacity[k], 0, MaxCapacity); err != nil {
			return err
		}
		if err := within("cost", k, kind.Cost, 0, MaxCost); err != nil {
			return err
		}
		if err := within("quantity", k, int64(kind.Quantity), Unlimited, MaxQuantity); err != nil {
			return err
		}
	}
	return p.validateTotal()
}

// validateTotal checks that no sum of costs that a search forms can overflow.
func (p *Problem) validateTotal() error {
	copies, dearest := int64(0), int64(0)
	for _, d := range p.Demand {
		copies += int64(d)
	}
	for _, k := range p.Kinds {
		dearest = max(dearest, k.Cost)
	}
	if dearest == 0 {
		return nil
	}
	return within("sum of demands, with boards as dear as that", -1, copies, 0, MaxTotal/dearest)
}
