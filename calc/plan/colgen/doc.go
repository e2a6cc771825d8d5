// Package colgen is the general cutting-stock engine: from kinds of board with
// a cost and a quantity, and items with a demand, it chooses patterns (a
// pattern says how many of each item are cut from one board of a kind) that
// cover all demands at least cost.
//
// What a board can be cut into is told by sizes along one dimension alone: the pieces
// of a board, added up, fit its capacity. The engine knows nothing of saws; a kerf is
// part of the sizes.
//
// Every lower bound is certified in integers: dual prices are scaled to whole
// numbers and weighed against the exact integer value of the best pattern, so
// that a bound never rests on a rounding error. Every plan is checked against
// the problem before it leaves.
//
// Where there are several kinds of board, how many of each to take, the mix, is searched
// apart from the patterns: dual prices turn into conditions on the mix that every
// plan meets, and the least cost of a mix that meets them is a bound.
//
// The search is deterministic: work is counted in elementary steps, and the
// count, never the clock, decides the path. The context only ends it.
package colgen
