package calculator

import (
	"fmt"
	"strconv"

	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/calc/run"
)

// entryPath is where an entry of the leaves stands in the request.
func entryPath(i int) string { return "leaves." + strconv.Itoa(i) + "." }

// setup lists what to do before the first cut, in order.
//
// Source: common practice.
func setup(c *endpoint.Call, q *RunRequest) []string {
	kerf := "This sheet counts a kerf of " + c.Show(*q.Kerf)
	if *q.KerfBasis == "nominal" {
		kerf += ", nominal: as the blade is sold, not measured. Put the measured kerf in and print the sheet again."
	} else {
		kerf += ", measured. Measure again when the blade was changed or sharpened."
	}
	return []string{
		"Measure the kerf: make two cuts in scrap of the same species and height; kerf = advance - leaf. " + kerf,
		"Blade clean, tensioned and tracked as the manual says.",
		"Guides and thrust bearing set as the manual says, above and below: usually just clear of the running blade, touching under feed.",
		"Guides and guard as low as the work allows.",
		"A close insert in the table, so that thin leaves find no gap to drop into.",
		"Fix the board to the fence along its whole length and height.",
		"Check that the carriage glides on the table without binding.",
		"Support long rails at both ends.",
		"Draw a slanting line across the edge of the board, so that the leaves can be put back in order.",
		fmt.Sprintf("Turn the dial back, then forward to %d: so the backlash is out.", *q.StartReading),
		"Saw unplugged: bring the board to the tip of a set tooth at its high spot.",
		"Lock the cross-slide; carriage free.",
	}
}

// perCut lists the routine of every cut, in order.
//
// Source: common practice.
func perCut(q *RunRequest) []string {
	routine := []string{
		"Carriage back, clear of the blade.",
		"Unlock the cross-slide.",
		"Turn the dial forward by the move. Overshot? Back by a whole turn, then forward again.",
		"Lock, and read the dial again.",
		"Cut, at an even feed.",
		"Catch, number, deburr and measure the leaf.",
	}
	if *q.Retract > 0 {
		return append(routine, "Turn the dial back by the retract, then return: the next move takes it up again.")
	}
	return append(routine, "Return without the blade scoring the fresh face.")
}

// markOf words what is written on a leaf.
func markOf(m run.Mark) string {
	if m.Leaf == 0 {
		return ""
	}
	text := fmt.Sprintf("%s no. %d, top up", m.Billet, m.Leaf)
	switch m.Book {
	case run.FenceFace:
		text += ", book face to the fence"
	case run.BladeFace:
		text += ", book face to the blade"
	case run.NoFace:
	}
	if m.With > 0 {
		text += fmt.Sprintf(", opens with no. %d", m.With)
	}
	return text
}

// runWarning words a warning of a run.
func runWarning(c *endpoint.Call, w run.Warning, q *RunRequest) string {
	value, limit := rule.Show(w.Value, c.Unit), rule.Show(w.Limit, c.Unit)
	switch w.Kind {
	case run.BelowSmallestLeaf:
		return fmt.Sprintf("%s is %s, below the smallest leaf this shop trusts itself to saw, %s", q.leafName(w.Entry), value, limit)
	case run.NearMetal:
		return fmt.Sprintf("the last cut comes within %s of metal in the board: keep %s off it", value, limit)
	case run.KerfUnsure:
		return fmt.Sprintf("the kerf is nominal and may be %s off, more than the tolerance of %s: measure it on two cuts in scrap", value, limit)
	case run.NoHoldBack:
		return "hold_back is 0: the last cut comes to the fence, so the fixing must let it"
	case run.DialOverrun:
		return fmt.Sprintf("rounding to the dial's divisions takes %s of the hold-back, within half a division", value)
	case run.NoLeafOfEntry:
		return fmt.Sprintf("%s gets none: the board is used up by the entries before it", q.leafName(w.Entry))
	case run.SetOutlastsClean:
		return fmt.Sprintf("a matched set of %s is %s cuts without a stop, more than the %s between cleanings", q.leafName(w.Entry), value, limit)
	case run.TeethTooFine:
		return fmt.Sprintf("%s teeth per inch are fine for this width of board: at most %s suit, or they clog", value, limit)
	case run.TeethTooCoarse:
	}
	return fmt.Sprintf("%s teeth per inch are coarse for this width of board: at least %s suit, or the face is rough", value, limit)
}

// leafName tells which leaves a warning is about.
func (q *RunRequest) leafName(entry int) string {
	if entry < len(q.Leaves) && q.Leaves[entry].Name != nil {
		return "leaf " + *q.Leaves[entry].Name
	}
	return "the leaf thickness of entry " + strconv.Itoa(entry+1)
}
