package plan

import (
	"errors"
	"fmt"
)

// ErrInternal marks a failed check of this package's own work. It is never
// caused by the numbers of an order.
var ErrInternal = errors.New("plan: internal error")

// ErrShutdown is the cause of a context, given to [context.CancelCauseFunc],
// that ends a search because the program ends: the plan then says [ByShutdown].
var ErrShutdown = errors.New("plan: shutting down")

// Subject is what a fault is of: the order itself, a board, a part or a kit.
type Subject string

// The subjects.
const (
	OfOrder Subject = "order"
	OfBoard Subject = "board"
	OfPart  Subject = "part"
	OfKit   Subject = "kit"
)

// Fault says what is wrong with an order, and where.
type Fault struct {
	Of    Subject // what it is a fault of
	Index int     // which board, part or kit, counted from 0
	Field string  // in the words of the trade, such as "hold-back"
	Err   error   // a *fault.OutOfRange or a *Mixed
}

// Error implements error.
func (f *Fault) Error() string {
	if f.Of == OfOrder {
		return "plan: " + f.Err.Error()
	}
	return fmt.Sprintf("plan: %s %d: %v", f.Of, f.Index, f.Err)
}

// Unwrap returns what is wrong.
func (f *Fault) Unwrap() error { return f.Err }

// Mixed says that a value does not fit the others: a size that is given for
// some and missing for others, or leaves that are no whole matched sets.
type Mixed struct{ Quantity, Reason string }

// Error implements error.
func (m *Mixed) Error() string { return m.Quantity + ": " + m.Reason }
