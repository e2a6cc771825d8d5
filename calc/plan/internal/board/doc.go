// Package board prepares an order for a search and knows what one board can be
// cut into: the nested knapsacks of its billets, lengths and face (Tables), a
// layout that keeps within limits on the whole board (Builder), and a bound on all
// such layouts with a good one among them (Ascent).
//
// Parts become items, counted in matched sets. Their lengths and widths, or those of
// the smallest billet, become classes: an item fits its own class and all larger ones,
// and has so many places in a leaf of each. A billet holds stacks: leaves of one item,
// each of which gives a set in every place. Where leaves are divided, the sizes that a
// row of copies fills are classes too, and a billet is filled by a Knapsack of its own:
// plans of very many sizes make do with some, and bounds with classes that allow all.
// Lists of sizes and
// values that no other outdoes stand in an Arena, so that a list can be traced back
// to what it was made of.
//
// Sources:
//
//	GG65  Gilmore and Gomory, Operations Research 13 (1965) 94-120: stages of
//	      guillotine cuts as nested knapsacks (from memory).
//	NU69  Nemhauser and Ullmann, Management Science 15 (1969) 494-505: lists of
//	      undominated (size, value) pairs (from memory).
package board

import "resawd/calc/length"

// nm is a length, counted in nanometres.
type nm = length.Length
