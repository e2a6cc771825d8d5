// Package outright solves small orders outright: every option of every board, and
// the cheapest way to every state of what is still wanted. It is the judge of the
// other methods in their tests, too.
package outright

import "resawd/calc/length"

// nm is a length, counted in nanometres.
type nm = length.Length
