// Package bound finds lower bounds on what an order costs.
//
// A bound begins as a Lagrangian one (Dual): prices of items at which the boards'
// own knapsacks are worth little. The numbers of boards that no such prices rule
// out are searched best first (Benders), and each set of prices is a surrogate row:
// boards that are worth less together than the need cannot deliver it. Sharper
// prices come from the layouts that were met (Restricted), with each board weighed
// exactly. Where no prices rule numbers of boards out, it is decided whether they
// can deliver: all that each board can give and that leaves the others enough is
// listed, the lists are tightened, and the rest is chosen from (feasibility).
//
// Where work costs anything, boards are worth what they give less the work on it, and
// work of a price makes up for the worth of that price: rows say how much numbers of
// boards take at least, and it is decided whether they can deliver with what is left of
// the cost of the best plan.
//
// Every bound is a sum of whole numbers.
package bound

import "resawd/calc/length"

// nm is a length, counted in nanometres.
type nm = length.Length
