// Package plan says what an order is, what a plan for it is, and whether the one
// answers the other. Package solver finds plans.
//
// A board is crosscut into lengths, a length is ripped into billets, a billet
// is resawn into leaves: three stages of guillotine cuts. Along the length and the
// width, pieces fit a room when the sum of (size + kerf) is at most room + kerf, so
// that a piece as large as the room needs no cut. Along the thickness a truing cut
// takes skim + kerf, if there is one, then every leaf takes its thickness + kerf,
// and the hold-back stays. A bowed board is trued deeper, the more so the longer the
// billet: the bow over a billet falls with the square of its length. A leaf may be
// divided into copies of one part, end to end and side by side, with a kerf between.
//
// The parts of a kit come from one board. Passes of the saw and mounted billets can
// have a price beside the boards.
//
// All lengths are whole nanometres, all prices whole 1/10000 of a currency: nothing in
// a plan or a bound is rounded but what passes cost by their length, once a billet.
//
// Sources: definition, but where a function names another.
//
// Left out: turning parts against the grain, cutting defects out across the
// width, trimming of edges, and mixing crosscuts behind rips.
package plan
