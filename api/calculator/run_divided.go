package calculator

import (
	"errors"
	"fmt"
	"slices"
	"strconv"

	"resawd/api/endpoint"
	"resawd/calc/fault"
	"resawd/calc/length"
	"resawd/calc/run"
)

// RunDivided is how a leaf is divided into copies of a part when it is off.
type RunDivided struct {
	// Copies along the length; 1 by default
	EndToEnd *int `json:"end_to_end,omitzero" validate:"omitempty,gte=1,lte=10000"`
	// Copies across the width; 1 by default
	SideBySide *int `json:"side_by_side,omitzero" validate:"omitempty,gte=1,lte=10000"`
	// Length of a copy
	Length *length.Length `json:"length,omitzero" validate:"omitempty,gt=0,within=..30m"`
	// Width of a copy
	Width *length.Length `json:"width,omitzero" validate:"omitempty,gt=0,within=..3m"`
	// Kerf between copies; the kerf of the run by default
	Kerf *length.Length `json:"kerf,omitzero" validate:"omitempty,gte=0,within=..1m"`
}

// divided reports whether a leaf is divided.
func (l *RunLeaf) divided() bool { return l.Divided != RunDivided{} }

// Division is how a leaf is divided, the zero value if it is not.
func (l *RunLeaf) Division() run.Division {
	d := &l.Divided
	if !l.divided() {
		return run.Division{}
	}
	return run.Division{EndToEnd: *d.EndToEnd, SideBySide: *d.SideBySide, Length: *d.Length, Width: *d.Width, Kerf: *d.Kerf}
}

// Places is the number of copies that a leaf gives, 1 if it is not divided.
func (l *RunLeaf) Places() int {
	if !l.divided() {
		return 1
	}
	return *l.Divided.EndToEnd * *l.Divided.SideBySide
}

// checkDivided fills in how leaves are divided, and refuses what does not fit in a
// leaf.
func (q *RunRequest) checkDivided(c *endpoint.Call) {
	for i := range q.Leaves {
		l := &q.Leaves[i]
		if !l.divided() {
			continue
		}
		d, at := &l.Divided, entryPath(i)+"divided."
		orDefault(&d.EndToEnd, 1)
		orDefault(&d.SideBySide, 1)
		if d.Kerf == nil {
			d.Kerf = q.Kerf
		}
		if d.Length == nil {
			c.Refuse(at+"length", "required", "is missing: how long a copy is")
		}
		if d.Width == nil {
			c.Refuse(at+"width", "required", "is missing: how wide a copy is")
		}
		if c.Checked() != nil {
			return
		}
		var out *fault.OutOfRange
		if errors.As(l.Division().Fits(*q.Board.Length, *q.Board.Width), &out) {
			c.RefuseRange(at+wired.Replace(out.Quantity), out)
		}
	}
}

// divisionMark is what a mark says about how a leaf is divided, empty if it is not.
func (q *RunRequest) divisionMark(entry int) string {
	if entry < 0 || entry >= len(q.Leaves) || !q.Leaves[entry].divided() {
		return ""
	}
	l := &q.Leaves[entry]
	text := fmt.Sprintf(", divide into %d", l.Places())
	if l.Name != nil {
		text += " x " + *l.Name
	}
	text += fmt.Sprintf(": %d end to end, %d side by side", *l.Divided.EndToEnd, *l.Divided.SideBySide)
	if *l.Matched > 1 {
		text += ", matched place by place"
	}
	return text
}

// cautions are those of the run and of the work on its leaves.
func (q *RunRequest) cautions() []string {
	own := resawCautions
	if slices.ContainsFunc(q.Leaves, func(l RunLeaf) bool { return l.divided() }) {
		own = slices.Concat(resawCautions, dividingCautions)
	}
	return cautions(own, woodOf(q.Board.Species))
}

// LeavesOf returns the first and the last leaf of an entry, counted over all cuts, also
// those made before; 0 if none comes off.
func (a *RunAnswer) LeavesOf(entry int) (first, last int) {
	return a.spans[entry].first, a.spans[entry].last
}

// dividing says how to divide the leaves of each entry.
//
// Source: common practice.
func (b bench) dividing(spans []span) (steps []string) {
	for i := range b.Leaves {
		l := &b.Leaves[i]
		if !l.divided() || spans[i].first == 0 {
			continue
		}
		d := l.Division()
		words := fmt.Sprintf("Then divide %s%s, each into %d: %d end to end, %s long, and %d side by side, %s wide, with a kerf of %s between. "+
			"Place 1 lies at the top edge of the end that was sawn first; count along the length, then the next row down. Write the leaf's number and the place on every copy before it is cut off.",
			spans[i].words(), l.called(), l.Places(), d.EndToEnd, b.rounded(d.Length), d.SideBySide, b.rounded(d.Width), b.rounded(d.Kerf))
		if *l.Matched > 1 {
			words += fmt.Sprintf(" A matched set is the same place of %d leaves that follow each other: keep them together, place by place.", *l.Matched)
		}
		steps = append(steps, words)
	}
	return steps
}

// called is what the leaves are for, in brackets, empty if the request does not say.
func (l *RunLeaf) called() string {
	if l.Name == nil {
		return ""
	}
	return " (" + *l.Name + ")"
}

// span is the first and the last leaf of an entry, 0 if none comes off.
type span struct{ first, last int }

// spans lists the leaves of each entry in the cuts of a run.
func (q *RunRequest) spans(cuts ...[]run.Cut) []span {
	list := make([]span, len(q.Leaves))
	for _, c := range slices.Concat(cuts...) {
		if c.Leaf == 0 || c.Entry >= len(list) {
			continue
		}
		if s := &list[c.Entry]; s.first == 0 {
			s.first = c.Leaf
		}
		list[c.Entry].last = c.Leaf
	}
	return list
}

// words says which leaves these are.
func (s span) words() string {
	if s.first == s.last {
		return "leaf " + strconv.Itoa(s.first)
	}
	return fmt.Sprintf("leaves %d to %d", s.first, s.last)
}
