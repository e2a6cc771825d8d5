package calculator

import (
	"fmt"
	"strconv"
	"strings"

	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/calc/blade"
	"resawd/calc/feed"
	"resawd/calc/run"
)

// entryPath is the path of an entry of the leaves in the request.
func entryPath(i int) string { return "leaves." + strconv.Itoa(i) + "." }

// markOf is what to write on the leaf of a cut.
func (q *RunRequest) markOf(c *run.Cut) string {
	m := c.Mark
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
	return text + q.divisionMark(c.Entry)
}

// runWords are the words of a run's warnings.
var runWords = map[run.Kind]string{
	run.BelowSmallestLeaf: "the {leaf} is {value} thick, thinner than this shop trusts itself to saw: its smallest leaf is {limit}",
	run.ShortBillet:       "the board is {value} long, and this shop saws nothing shorter than {limit}",
	run.LowBillet:         "the board is {value} wide, and this shop saws nothing narrower than {limit}",
	run.NearMetal:         "the last cut comes within {value} of the fixing's metal, and this shop keeps {limit} clear of it",
	run.KerfUnsure:        "the kerf may come {value} wider than counted, more than the tolerance of {limit}: measure it on two cuts in scrap",
	run.DialCoarse:        "the dial cannot be set finely enough: rounded to its divisions, leaves come up to {value} off, more than the tolerance of {limit}",
	run.NoHoldBack:        "nothing is held back: the last cut runs along the fence itself, and the fixing must allow that",
	run.DialOverrun:       "rounding to whole divisions of the dial takes {value} out of the hold-back, half a division at most",
	run.RetractLost:       "the retract of {value} is lost in the backlash of {limit}: the board does not move off the blade",
	run.BoardThick:        "the board is {value} thick and {limit} wide: is that right? Resawing uses up the thickness, and the width stands in the blade",
	run.KerfThin:          "the kerf of {value} is thinner than the body of the blade {blade}, {limit}: is that right?",
	run.KerfWide:          "the kerf of {value} is wider than any blade for resawing cuts, {limit} at most: is that right?",
	run.FeedFast:          "no hand feeds at {value}, {limit} at most: is that right?",
	run.MuchLeft:          "{value} of the board's {limit} stay on the fence, more than half: is the number of leaves right?",
	run.RestThick:         "the last leaf, which is the rest, comes {value} thick instead of {limit}: another leaf could be sawn off it",
	run.NoLeafOfEntry:     "there is no {leaf}: the leaves listed before use the board up",
	run.SetOutlastsClean:  "a matched set of the {leaf} takes {value} cuts without a stop; cleaning would be due after {limit}",
	run.LeavesLost:        "{value} of the {limit} leaves do not come off any more, by where the dial stands and the kerf as measured",
	run.AgainstBlade:      "the blade {blade}: {value}",
}

// runWarning words a warning of a run.
func runWarning(c *endpoint.Call, w run.Warning, q *RunRequest) string {
	leaf := ""
	if w.Entry >= 0 {
		leaf = q.leafName(w.Entry)
	}
	return strings.NewReplacer("{value}", show(c, w.Value), "{limit}", show(c, w.Limit), "{leaf}", leaf, "{blade}", *q.Blade).Replace(runWords[w.Kind])
}

// show writes a value of a warning; a speed is that of the board.
func show(c *endpoint.Call, value any) string {
	switch v := value.(type) {
	case feed.Speed:
		return endpoint.Feed(v).Tell(c.Unit)
	case blade.Reason:
		return reasonWords(c, v)
	}
	return rule.Show(value, c.Unit)
}

// leafName says which leaves a warning is about.
func (q *RunRequest) leafName(entry int) string {
	switch {
	case q.LeafThickness != nil:
		return "leaf"
	case q.Leaves[entry].Name != nil:
		return "leaf " + *q.Leaves[entry].Name
	}
	return "leaf of entry " + strconv.Itoa(entry+1)
}
