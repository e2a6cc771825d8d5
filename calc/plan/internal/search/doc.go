// Package search finds plans of three stages. A plan goes from step to step by
// ruin and recreate with annealing (walk); numbers of boards compete by successive
// halving (halving); and in turns with both the bound of package bound is raised.
//
// A toolbox holds what steps are made with, a working solution is what they are
// made on, and the incumbent is the best plan that came of them.
package search

import "resawd/calc/length"

// nm is a length, counted in nanometres.
type nm = length.Length
