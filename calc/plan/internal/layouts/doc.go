// Package layouts finds out all there is to know of one board at some values of
// the items: its best layout, by branch and bound on its lengths, widths and
// billets (Brancher), and all that it can give that is worth a floor (Enumerator).
package layouts

import "resawd/calc/length"

// nm is a length, counted in nanometres.
type nm = length.Length
