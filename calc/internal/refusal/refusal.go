// Package refusal helps tests of calculations to say what was refused.
package refusal

import (
	"errors"
	"fmt"
	"reflect"

	"resawd/calc/fault"
)

// Of tells which quantity an error is about: its name where it is out of range, and
// its name after "no" where there is no solution; nothing where there is no error.
func Of(err error) string {
	var out *fault.OutOfRange
	var none *fault.NoSolution
	switch {
	case err == nil:
		return ""
	case errors.As(err, &out):
		return out.Quantity
	case errors.As(err, &none):
		return "no " + none.Quantity
	}
	return err.Error()
}

// Only gives the error of a call, or another one where a value came with it.
func Only[T any](v T, err error) error {
	if err != nil && !reflect.ValueOf(&v).Elem().IsZero() {
		return fmt.Errorf("%+v came with the error %q", v, err.Error())
	}
	return err
}
