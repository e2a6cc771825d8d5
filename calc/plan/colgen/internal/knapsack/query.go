package knapsack

import (
	"math"

	"resawd/calc/plan/colgen"
)

// Query asks for valuable patterns of every kind at once.
type Query struct {
	// Value is what one copy of each item is worth, 0 or more. The sum of
	// Value times demand stays within MaxTotal.
	Value []int64
	// Limit is the most copies of each item that a pattern may have, 0 or more.
	Limit []int
	// Floor holds for each kind the worth that a pattern must exceed to be of
	// use. A kind with the floor NotWanted is not asked for.
	Floor []int64
	// Many is how many different patterns a kind are welcome, at least 1.
	Many int
	// Exact asks for the tightest bound there is. When it is false the first
	// good patterns will do.
	Exact bool
}

// Rules are what all patterns must keep to beside the limits.
type Rules struct {
	Apart [][2]int // pairs of items of which no pattern holds both
	Waste int64    // the most of a capacity that a pattern leaves
}

// NotWanted is the floor of a kind that a Query does not ask for.
const NotWanted = math.MaxInt64

// Answer is what there is of one kind.
type Answer struct {
	// Patterns are worth more than the floor, best first; none when none were
	// found. Counts are within the limits.
	Patterns [][]colgen.Piece
	// Bound is an integer that no pattern within the limits exceeds in worth.
	// It equals the largest worth when the search was exact.
	Bound int64
}
