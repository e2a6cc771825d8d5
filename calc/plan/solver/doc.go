// Package solver finds the plan of an order: which boards to cut, how each is broken
// down, and how far that is at most from the cheapest plan.
//
// An order is divided into jobs that share no board and no part; parts of one size
// are one item of a job. A small job is solved outright. A job of one dimension goes
// to column generation (package colgen). A job of three stages is searched, its
// plan and its bound in turns (packages search and bound). A job with kits that is not
// small is bounded like one without them, and its plans are made to keep them (package
// keep).
//
// What the boards cannot give is found by asking part after part. The answer is
// proven (UnmetProven) for small jobs, where the wood does not suffice, and where
// column generation proves it. Why it is, and what would cure it, is found by asking
// again: how many further boards, or how large a board.
//
// At the end a plan is made better by what comes after its cost (package later), and
// put in an order of few set-ups.
//
// Prices are counted in what those of a job have in common, so that neither the
// currency nor its unit matters to the search. Where passes cost by their length, what
// a billet costs is rounded, and prices are counted as they are.
//
// Work counts in the cost of plans and in bounds. What can be delivered at all is asked
// without it.
//
// Sources:
//
//	GG61  Gilmore and Gomory, Operations Research 9 (1961) 849-859: column generation.
//	GG65  Gilmore and Gomory, Operations Research 13 (1965) 94-120: stages of
//	      guillotine cuts as nested knapsacks (from memory).
//	HK62  Held and Karp, Journal of the Society for Industrial and Applied
//	      Mathematics 10 (1962) 196-210: sequences by dynamic programming over
//	      subsets (from memory).
//
// Left out: which boards and billets are cut does not depend on set-ups, only their
// order does; the largest piece left over is looked for by small steps.
package solver

import "resawd/calc/length"

// nm is a length, counted in nanometres.
type nm = length.Length
