// Package fault holds the few kinds of error that calculations return. They
// name a quantity of the trade and carry values with their types; whoever words
// them chooses units and names.
//
// A value is a length.Length, a feed.Speed, a feed.BladeSpeed, an int or a float64.
package fault

import (
	"errors"
	"fmt"
)

// Value is what a fault tells about: a length or a speed in its own type, a
// count or a plain number.
type Value interface {
	~int64 | int | float64
}

// OutOfRange says that a quantity lies outside its limits. Low and High are of
// Value's type; Open says that Low itself is outside.
type OutOfRange struct {
	Quantity         string // such as "leaf thickness"
	Value, Low, High any
	Open             bool
	Why              string // what sets the limits, where that is not plain: "the cutting height"
}

func (e *OutOfRange) Error() string {
	if e.Open {
		return fmt.Sprintf("%s is %v: it must be above %v and at most %v", e.Quantity, e.Value, e.Low, e.High)
	}
	return fmt.Sprintf("%s is %v: it must be from %v to %v", e.Quantity, e.Value, e.Low, e.High)
}

// NoSolution says that a quantity, though within its limits, cannot serve, and
// what value of it would.
type NoSolution struct {
	Quantity      string // such as "board thickness"
	Value, Needed any    // Needed is the nearest value that would do
	Why           string // what needs it, continuing "NEEDED is needed ..."
}

func (e *NoSolution) Error() string {
	return fmt.Sprintf("%s is %v: %v is needed %s", e.Quantity, e.Value, e.Needed, e.Why)
}

// Entry says which entry of a list a fault is about.
type Entry struct {
	List  string // such as "leaves"
	Index int
	Err   error
}

func (e *Entry) Error() string { return fmt.Sprintf("entry %d of %s: %v", e.Index+1, e.List, e.Err) }

// Unwrap gives the fault itself.
func (e *Entry) Unwrap() error { return e.Err }

// Within gives an *[OutOfRange] unless low <= value <= high; NaN is outside.
//
// Source: definition.
func Within[T Value](quantity string, value, low, high T) error {
	if value >= low && value <= high {
		return nil
	}
	return &OutOfRange{Quantity: quantity, Value: value, Low: low, High: high}
}

// Above gives an *[OutOfRange] unless low < value <= high; NaN is outside.
//
// Source: definition.
func Above[T Value](quantity string, value, low, high T) error {
	if value > low && value <= high {
		return nil
	}
	return &OutOfRange{Quantity: quantity, Value: value, Low: low, High: high, Open: true}
}

// Because says what sets the limits of an *[OutOfRange]; any other error is
// returned as it is.
//
// Source: definition.
func Because(err error, why string) error {
	var out *OutOfRange
	if errors.As(err, &out) {
		out.Why = why
	}
	return err
}

// First gives the first of errs that is an error, or nil.
//
// Source: definition.
func First(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
