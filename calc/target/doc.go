// Package target tells how thick to saw the leaves of a part that is finished to a
// given thickness, and how many to saw.
//
// With F the finished thickness, P what sanding takes off a face, Sh the shrinkage
// as a share of the size before drying, S the standard deviation of the sawing and
// Z the normal quantile of the share that may come out too thin,
//
//	critical = (F + 2 P) / (1 - Sh)      the thinnest that still comes out right
//	aim      = critical + Z S
//
// Shrinkage is counted in one of two ways. A leaf of size x is (1 - Sh) x when dry,
// so that dividing, as here, is what the definition of Sh gives. Multiplying by
// (1 + Sh) is the other; it comes to Sh squared less: with Sh 0.05, 1.0500 in place
// of 1.0526.
//
// Leaves that are good one by one with a probability p are good by the binomial
// distribution, a matched set of m by p^m.
//
// Sources:
//
//   - T. D. Brown, Lumber Size Control, Part 2: Size Analysis Considerations, EM 8731,
//     Oregon State University Extension Service, 2000: critical size, target size and
//     Z by the undersize allowed (Table 2). He calls the result an estimate, because
//     planing takes some of the variation and shrinkage differs from board to board.
//     Where he puts the shrinkage is from memory.
//   - The binomial tail is exact; gonum computes it by the incomplete beta function.
//
// Left out: that leaves depend on each other. Neighbours from one saw are
// anticorrelated (package gauge) and so are bad together less often than chance would
// have it; leaves that are bad because their board is are bad together more often.
package target
