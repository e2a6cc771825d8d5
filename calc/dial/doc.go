// Package dial turns advances into settings of a graduated dial on a lead
// screw, and back.
//
// The lead of a screw is its axial travel in one turn, so travel is lead times
// turns, and one division of a dial of n divisions is lead/n. Positions count
// from zero, where the tip of a set tooth just touches the board's high spot.
// A pass at position p turns the wood from p-kerf to p into dust, so a leaf is
// the difference of two positions less one kerf. Forward is toward the blade.
//
// The dial can only be set to whole divisions, so there are two ways to round:
// [ByStep] turns the same divisions at every pass, which keeps leaves alike
// and lets the position drift; [ByPosition] keeps each position within half a
// division of the ideal and lets leaves differ by up to one division.
//
// Backlash is dial travel lost when the direction reverses, so every move to a
// cut ends forward. Before the carriage returns, the dial may be turned back by a
// retract: the board moves off by that less the backlash, and the next move, from
// there forward, takes both up again. When the travel runs out, the screw is
// wound back. The retract is undone first, forward to the reading of the cut;
// then the board is held, the screw uncoupled, wound back one turn more than the
// schedule says, turned forward by that turn to the same reading, and coupled
// again. So the nut lies where the next forward move begins, no backlash goes
// into the next leaf, and a turn of travel is kept for it.
//
// Positions are whole nanometres. Where a division is not (a lead that its
// divisions do not divide), each position is rounded on its own, so nothing
// accumulates.
//
// Left out: the error of the screw itself, which only measuring can tell, and how
// far the board gives under the blade.
package dial
