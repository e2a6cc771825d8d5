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

// markOf words what is written on a leaf.
func markOf(m run.Mark) string {
	if m.Leaf == 0 {
		return ""
	}
	text := fmt.Sprintf("%s no. %d, top edge up", m.Billet, m.Leaf)
	switch m.Book {
	case run.FenceFace:
		text += ", book face to the fence"
	case run.BladeFace:
		text += ", book face to the blade"
	case run.NoFace:
	}
	if m.With > 0 {
		text += fmt.Sprintf(", bookmatch with no. %d", m.With)
	}
	return text
}

// runWarning words a warning of a run.
func runWarning(c *endpoint.Call, w run.Warning, q *RunRequest) string {
	value, limit := rule.Show(w.Value, c.Unit), rule.Show(w.Limit, c.Unit)
	switch w.Kind {
	case run.BelowSmallestLeaf:
		return fmt.Sprintf("the %s is %s thick, thinner than this shop trusts itself to saw: its smallest leaf is %s", q.leafName(w.Entry), value, limit)
	case run.NearMetal:
		return fmt.Sprintf("the last cut comes within %s of the fixing's metal, and this shop keeps %s clear of it", value, limit)
	case run.KerfUnsure:
		return fmt.Sprintf("the kerf is nominal and may be %s off, more than the tolerance of %s: measure it on two cuts in scrap", value, limit)
	case run.NoHoldBack:
		return "nothing is held back: the last cut runs along the fence itself, and the fixing must allow that"
	case run.DialOverrun:
		return fmt.Sprintf("rounding to whole divisions of the dial takes %s out of the hold-back, half a division at most", value)
	case run.NoLeafOfEntry:
		return fmt.Sprintf("there is no %s: the leaves listed before use the board up", q.leafName(w.Entry))
	case run.SetOutlastsClean:
		return fmt.Sprintf("a matched set of the %s takes %s cuts without a stop; cleaning would be due after %s", q.leafName(w.Entry), value, limit)
	case run.TeethTooFine:
		return fmt.Sprintf("%s teeth per inch are too fine for a board this wide, and clog: at most %s suit", value, limit)
	case run.TeethTooCoarse:
	}
	return fmt.Sprintf("%s teeth per inch are coarse for this width of board: at least %s suit, or the face is rough", value, limit)
}

// leafName tells which leaves a warning is about.
func (q *RunRequest) leafName(entry int) string {
	switch {
	case q.LeafThickness != nil:
		return "leaf"
	case q.Leaves[entry].Name != nil:
		return "leaf " + *q.Leaves[entry].Name
	}
	return "leaf of entry " + strconv.Itoa(entry+1)
}
