// Package later makes a plan better by what counts after its cost: fewer boards, fewer
// passes, a larger single piece left over. Nothing becomes dearer by it.
//
// Boards are changed one small step after another: leaves go to the remainders of other
// billets, billets beside those of other lengths, lengths to where others leave room,
// away from one board or billet as far as it goes. A step counts when the plan is
// better at its end.
//
// Sources: definition; hill climbing, common practice.
package later

import "resawd/calc/length"

// nm is a length, counted in nanometres.
type nm = length.Length
