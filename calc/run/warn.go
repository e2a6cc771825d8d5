package run

import (
	"resawd/calc/blade"
	"resawd/calc/dial"
	"resawd/calc/feed"
	"resawd/calc/length"
)

// What is more likely a slip than meant.
//
// Source: common practice, from memory: a kerf beyond 0.2 in is that of a circular
// saw, not of a bandsaw, and nobody feeds a tall board by hand at 20 ft/min.
const (
	widestKerf  = length.Inch / 5
	fastestHand = feed.Speed(20 * length.Foot)
)

// Kind is the kind of a warning.
type Kind int

// The kinds of a warning, with its Value and its Limit.
const (
	BelowSmallestLeaf Kind = iota // thickness of the entry, smallest leaf
	ShortBillet                   // length of the board, shortest billet
	LowBillet                     // width of the board, lowest billet
	NearMetal                     // wood between the last cut and metal, clearance
	KerfUnsure                    // how much wider the kerf may come, tolerance
	DialCoarse                    // how far the dial's rounding takes a leaf off, tolerance
	NoHoldBack                    // -, -
	DialOverrun                   // how far rounding cuts into the hold-back, half a division
	RetractLost                   // retract, backlash
	BoardThick                    // thickness of the board, its width
	KerfThin                      // kerf, body of the blade
	KerfWide                      // kerf, the widest that is likely
	FeedFast                      // feed, the fastest of a hand (feed.Speed)
	MuchLeft                      // what stays on the fence, thickness of the board
	RestThick                     // the rest that is the last leaf, its thickness as asked
	NoLeafOfEntry                 // leaves of the entry without a count (int), one set (int)
	SetOutlastsClean              // cuts of a matched set (int), cuts between cleanings (int)
	LeavesLost                    // leaves that come off no more (int), those of the whole run (int)
	AgainstBlade                  // what package blade has against the blade (blade.Reason), -
)

// Warning is something that is allowed but wants a look. Values are lengths
// where the kind says nothing else.
type Warning struct {
	Kind         Kind
	Entry        int // index into Input.Leaves; -1 where it is of the whole run
	Value, Limit any
}

// warnings gives the warnings of a run, by kind and then by entry; those of the
// blade come from package blade.
func (in Input) warnings(s Sheet) []Warning {
	all := []Warning{}
	for i, e := range in.Leaves {
		if e.Thickness < in.Habits.SmallestLeaf {
			all = append(all, Warning{BelowSmallestLeaf, i, e.Thickness, in.Habits.SmallestLeaf})
		}
	}
	all = append(append(all, in.billetWarnings()...), in.fixingWarnings(s)...)
	return append(append(all, in.slips(s.Summary)...), in.entryWarnings(s)...)
}

// found gathers warnings of the whole run.
type found []Warning

func (w *found) when(holds bool, k Kind, value, limit any) {
	if holds {
		*w = append(*w, Warning{k, -1, value, limit})
	}
}

func (in Input) billetWarnings() (w found) {
	b, h := in.Board, in.Habits
	w.when(b.Length < h.ShortestBillet, ShortBillet, b.Length, h.ShortestBillet)
	w.when(b.Width < h.LowestBillet, LowBillet, b.Width, h.LowestBillet)
	return w
}

func (in Input) fixingWarnings(s Sheet) (w found) {
	gap := s.Summary.LeftOnFence - in.Metal
	w.when(in.Metal > 0 && gap < in.Habits.Clearance, NearMetal, gap, in.Habits.Clearance)
	w.when(in.KerfMargin > in.Tolerance, KerfUnsure, in.KerfMargin, in.Tolerance)
	w.when(s.Summary.LeafDeviation > in.Tolerance, DialCoarse, s.Summary.LeafDeviation, in.Tolerance)
	w.when(in.HoldBack == 0 && !in.rest(), NoHoldBack, nil, nil)
	over := s.Cuts[len(s.Cuts)-1].Position + in.HoldBack - in.Board.Thickness
	w.when(over > 0, DialOverrun, over, in.halfDivision())
	backedOff := dial.BackedOff(in.Distance(in.DivisionsUp(in.Retract)), in.Saw.Backlash)
	w.when(in.Retract > 0 && backedOff == 0, RetractLost, in.Retract, in.Saw.Backlash)
	return w
}

// slips gives what is likely not meant.
func (in Input) slips(s Summary) (w found) {
	b, last := in.Board, in.Leaves[len(in.Leaves)-1]
	w.when(b.Thickness > b.Width, BoardThick, b.Thickness, b.Width)
	w.when(in.Kerf < in.Blade.BodyThickness, KerfThin, in.Kerf, in.Blade.BodyThickness)
	w.when(in.Kerf > widestKerf, KerfWide, in.Kerf, widestKerf)
	w.when(in.Feed > fastestHand, FeedFast, in.Feed, fastestHand)
	w.when(last.Count > 0 && s.LeftOnFence > b.Thickness/2, MuchLeft, s.LeftOnFence, b.Thickness)
	w.when(s.LastLeafThickness >= 2*last.Thickness+in.Kerf, RestThick, s.LastLeafThickness, last.Thickness)
	return w
}

func (in Input) entryWarnings(s Sheet) (all []Warning) {
	last := len(in.Leaves) - 1
	if s.Summary.Counts[last] == 0 {
		all = append(all, Warning{NoLeafOfEntry, last, 0, in.Leaves[last].set()})
	}
	every := in.Care.everyCuts(in.Board)
	for i, e := range in.Leaves {
		if every > 0 && s.Summary.Counts[i] >= e.set() && e.set() > every {
			all = append(all, Warning{SetOutlastsClean, i, e.set(), every})
		}
	}
	return all
}

// bladeWarnings gives all that the blade calculator has against the blade, in
// its order.
func bladeWarnings(judged blade.Ranked) (w found) {
	for _, r := range judged.Reasons {
		w.when(r.Kind.Against(), AgainstBlade, r, nil)
	}
	return w
}
