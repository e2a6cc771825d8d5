// Package yield tells what a board gives: how many leaves come off it, what
// stays on the fence, and how near the count is to one more or one fewer.
//
// The thickness of a board is used up in this order: the truing cut takes the
// skim and a kerf, every leaf takes its own thickness and a kerf, and what is
// left stays on the fence, at least the hold-back. Where the back is flat and
// the fixing can be released, the rest itself can be the last leaf; it needs no
// cut of its own.
//
// How sure the count is depends on what is measured: a board may be thinner than
// it was measured, and a kerf wider than the blade is sold with. The count is
// tight where it would be less with both off by their margins.
//
// All of it is whole nanometres: definitions and integer arithmetic, no
// published formula. With the rest as the last leaf the count is that of parts cut
// from a stock length whose last part ends flush and needs no cut after it: n parts
// fit where n (part + kerf) is at most the length and a kerf.
//
// Left out: the rounding of the dial (package dial), what the leaves lose in
// sanding (package target), and the length and width of the board, along which
// nothing is cut here.
package yield
