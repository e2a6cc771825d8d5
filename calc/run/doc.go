// Package run makes the run sheet of one billet: every cut in order, with the
// move of the dial, what comes off, what is left and what must be done before.
// It composes package dial (moves), yield (what a board gives), feed (time) and
// blade (teeth).
//
// Order. The truing cut comes first where there is a skim, then the leaves as
// they are listed: those that cannot be replaced belong at the head of the list. An
// entry without a count gives as many leaves as the board has left and comes
// last.
//
// Fit. The leaves fit when the last cut, as the dial sets it, leaves the
// hold-back. Where they fit as asked and the dial sets the last cut up to half a
// division too deep, that is let pass, with a warning: no setting could be nearer.
// So the number of leaves is that of package yield, unless the dial's rounding adds
// up to one leaf more or less.
//
// Matched sets are consecutive leaves. A re-zero or a cleaning stop moves the
// blade or the board, so none may stand between the cuts of a set: one that
// would come due there is made before the set, that is before the cut that
// frees its first leaf. Every other leaf of a set is turned over, so that a leaf
// shows the face toward the fence and the next one the face toward the blade:
// between the two lay one kerf.
//
// Cleaning is due after so many cuts or so much sawn area, whichever is first,
// and never before the first cut; the truing cut counts. Every cut saws the same
// area, the board's length times its width.
//
// What remains may be the last leaf itself, where nothing is held back (package
// yield). A cut never reaches the metal of the fixing.
//
// A run goes on after some cuts from where the dial stands, with the kerf as
// measured since. A cut made at a wrong position is kept: the next position is the
// actual one and an advance. Cuts, leaves and sets are numbered on. Where the board no
// longer gives all leaves, it gives as many whole sets as fit.
//
// The order, the marks and the stops are common practice of the trade; the rest
// is definitions. Of the blade a run says what package blade says.
//
// Left out: the words for set-up, routine and cautions, and the time of a re-zero.
package run
