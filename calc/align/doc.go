// Package align tells from gaps and indicator readings whether the blade stands
// parallel to the travel and the board square to both, and what to turn.
//
// # The blade
//
// The teeth cut a kerf wider than the body that follows them. Stop the saw, unplug
// it, and look at the blade from behind, from where the board comes out, with the
// board left in the cut: on each side there is a gap between the back edge of the body
// and the wall. With W the width of the blade, B the thickness of its body, K the kerf,
// L the left gap and R the right one,
//
//	clearance = (K - B) / 2              each side of a body that runs true
//	angle     = asin((L - R) / (2 W))    of the body to the travel
//	rub angle = asin(clearance / W)      at which the back edge touches a wall
//
// The back edge swings by W sin(angle), which widens one gap and narrows the other
// by as much. A left gap that is wider says that the back edge stands to the right
// of the kerf's middle as seen from behind; then the travel must be turned
// counterclockwise as seen from above, toward the body, or the blade clockwise. The
// walls are B + L + R apart, the kerf as it is.
//
// # The face and the lean
//
// Two readings of one indicator a distance apart tell how far a face leans from the
// way that the indicator goes: along the travel, the face that carries the board;
// along the height, the blade against the face, that is whether the blade stands
// square to the table.
//
// # What thickness shows
//
// Thickness cannot show any of this. A leaf lies between two cuts, and an error that
// repeats at every cut cancels: a face that is askew costs a wedge of wood in the
// first cut, and the leaves are parallel nonetheless. A leaf that tapers says that
// something changed between two cuts (package gauge).
//
// All of it is plane geometry; how to look at the gaps is common practice. Left out:
// the bow of the blade under feed, and drift, the angle at which a dull or badly set
// blade wants to cut; a blade that was aligned and still leads one way is dull on one
// side.
package align
