// Package flatten tells what a warped board costs: how much the truing cut must take
// off, how much must stay on the fence, what is left for leaves, and whether it is
// cheaper to crosscut the board first.
//
// Warp is measured as the trade does (NELMA 2024, paragraph 752; Wood Handbook,
// glossary): bow along the wide face, end to end; cup across it, edge to edge; twist
// as the lift of one corner while the other three lie flat; crook along the narrow
// face. A wedge has two thicknesses at its ends. Lengths are [length.Length].
//
// Mounted. The board stands on its edge with a wide face to the fence; bow, cup and
// twist keep parts of it away. With its hollow face to the fence it rests on its ends
// or edges and does not rock. A flat plane cannot come nearer to a bowed face than
// its bow, nor to a cupped one than its cup; a twisted face, with its high corners
// shimmed alike, needs half of the lift on each side: its corners stand a quarter of
// the lift above and below the mean plane. So with
//
//	warp = bow + cup + twist/2
//
// at most (they need not meet at one place), a board that is shimmed stands off the
// fence by warp, loses warp at the front to the skim, together with what a wedge has more
// at its thicker end, and at the back to the hold-back, on top of what the fixing needs. Its
// thickness as mounted, from the fence to the highest point, is its own and warp.
//
// A long board can be pulled flat: its bow then costs nothing on the saw. But the
// board springs back when it is let go, and so do the leaves, as far as they are stiff
// enough.
//
// Crosscut first. Bow is the sagitta of an arc, s = R - sqrt(R^2 - (c/2)^2), close to
// c^2 / (8 R): halving the length quarters it, and crook likewise. Twist and wedge
// fall with the length; cup stays. Each crosscut costs a kerf of length.
//
// Crook lifts the lower edge off the table: it rocks or stands hollow, and the edge
// must be trued, at the cost of the crook in width, or shimmed.
//
// Left out: warp that changes while the board is sawn, as stresses are released, and
// warp of more than one arc (an S).
package flatten
