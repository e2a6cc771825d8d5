// Package plan chooses the boards to cut for an order, how each is broken
// down, and says how far the choice is at most from the cheapest one.
//
// A board is crosscut into lengths, a length is ripped into billets, a billet
// is resawn into leaves: three stages of guillotine cuts, and each is a
// knapsack. Along the length and the width, pieces fit a room when the sum of
// (size + kerf) is at most room + kerf, so that a piece as large as the room
// needs no cut. Along the thickness a truing cut takes skim + kerf, if there is
// one, then every leaf takes its thickness + kerf, and the hold-back stays. A
// bowed board is trued deeper, the more the longer the billet: the bow over a
// billet falls with the square of its length.
//
// All lengths are whole nanometres, all prices whole 1/10000 of a currency:
// nothing in a plan or a bound is rounded.
//
// An order is divided into jobs that share no board and no part; parts of one
// size are one item of a job. A small job is solved outright: every option of
// every board, and the cheapest way to every state of what is still wanted. A
// job of one dimension goes to column generation (package colgen). A job of
// three stages is searched by ruin and recreate with annealing: boards, or
// single strips of them, are taken out of a plan and laid out anew by nested
// knapsacks under Lagrangian ascent; column generation joins late where there
// are many boards.
//
// The bound begins as a Lagrangian one, rounded up to whole boards (counts). It
// lets a board be cut in several ways at once, by halves and thirds, and so do
// better prices (haggler) under which no layout of a board is worth too much
// (brancher, exact for one board). Whether the numbers of boards that then remain
// the cheapest can deliver the need is decided by listing all that each board can
// give and that leaves the others enough (lister, allotter): few lots are worth
// nearly as much as a board can be. Orders of some parts and a few boards are proven
// so; larger ones keep a gap.
//
// What the boards cannot give is found by asking part after part. The answer
// is proven (UnmetProven) for small jobs, where the wood does not suffice, and
// where column generation proves it.
//
// Sources:
//
//	GG61  Gilmore and Gomory, Operations Research 9 (1961) 849-859: column generation.
//	GG65  Gilmore and Gomory, Operations Research 13 (1965) 94-120: stages of
//	      guillotine cuts as nested knapsacks (from memory).
//	NU69  Nemhauser and Ullmann, Management Science 15 (1969) 494-505: lists of
//	      undominated (size, value) pairs (from memory).
//	CH83  Chvatal, Linear Programming (1983), chapter 13.
//
// Left out: turning parts against the grain, cutting defects out across the
// width, trimming of edges, and mixing crosscuts behind rips.
package plan
