package solver

import (
	"slices"
	"strings"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
)

// barrier is a reason why a board does not give a part, and what a board that gives it
// must meet.
type barrier struct {
	reason plan.Reason
	met    func(o plan.Order, b plan.Board, p plan.Part) bool
}

// barriers stand in the order in which they are told: only what meets one comes to
// the next.
var barriers = []barrier{
	{plan.OtherSpecies, func(_ plan.Order, b plan.Board, p plan.Part) bool {
		return p.Species == "" || strings.EqualFold(p.Species, b.Species)
	}},
	{plan.OtherSawn, func(_ plan.Order, b plan.Board, p plan.Part) bool {
		return p.Sawn == "" || strings.EqualFold(p.Sawn, b.Sawn)
	}},
	{plan.TooLong, func(o plan.Order, b plan.Board, p plan.Part) bool {
		return p.Length == 0 || leastLength(o, p)+2*o.EndTrim <= b.Length
	}},
	{plan.TooWide, func(o plan.Order, b plan.Board, p plan.Part) bool { return p.Width == 0 || leastWidth(o, p) <= b.Width }},
	{plan.TooThick, func(o plan.Order, b plan.Board, p plan.Part) bool { return leastThickness(o, b, p) <= b.Thickness }},
	{plan.BeyondSaw, sawTakes},
	{plan.AtDefect, func(o plan.Order, b plan.Board, p plan.Part) bool {
		return p.Length == 0 || slices.ContainsFunc(board.Sound(o, b), func(s board.Segment) bool { return s.To-s.From >= leastLength(o, p) })
	}},
}

// reason returns why no board gives all of some parts, as far as one of them alone
// says; else that what fits is used up.
func reason(o plan.Order, parts []plan.Part) plan.Reason {
	boards := slices.Clone(o.Boards)
	for _, x := range barriers {
		boards = slices.DeleteFunc(boards, func(b plan.Board) bool {
			return slices.ContainsFunc(parts, func(p plan.Part) bool { return !x.met(o, b, p) })
		})
		if len(boards) == 0 {
			return x.reason
		}
	}
	return plan.StockUsed
}

// leastLength returns how long a billet for a part is at least.
func leastLength(o plan.Order, p plan.Part) nm { return max(p.Length, o.Smallest.Length) }

// leastWidth returns how wide it is at least.
func leastWidth(o plan.Order, p plan.Part) nm { return max(p.Width, o.Smallest.Width) }

// leastThickness returns how thick a board must be to give a matched set of a part.
func leastThickness(o plan.Order, b plan.Board, p plan.Part) nm {
	long := leastLength(o, p)
	if p.Length == 0 {
		long = b.Length
	}
	return o.HoldBack + board.SkimLoss(o, b, long) + nm(p.SetSize())*(p.Thickness+o.Kerf)
}

// sawTakes tells whether the saw takes the smallest billet for a part from a board.
func sawTakes(o plan.Order, b plan.Board, p plan.Part) bool {
	long, wide := leastLength(o, p), leastWidth(o, p)
	if p.Length == 0 {
		long = b.Length
	}
	if p.Width == 0 {
		wide = b.Width
	}
	return (o.Saw.BilletLength == 0 || long <= o.Saw.BilletLength) && (o.Saw.CuttingHeight == 0 || wide <= o.Saw.CuttingHeight)
}

// reason returns why a thing is unmet: a barrier that rules every board out, or for a
// kit that no board is large enough for all of it.
func (a *asker) reason(t thing) plan.Reason {
	parts := a.partsOf(t)
	r := reason(a.o, parts)
	if r != plan.StockUsed || !t.kit || a.whole(parts, true) {
		return r
	}
	switch {
	case a.left <= 0 || a.ctx.Err() != nil:
		return r // nothing more is known
	case a.whole(parts, false):
		return plan.AtDefect
	case parts[0].Length > 0:
		return plan.TooLong
	case parts[0].Width > 0:
		return plan.TooWide
	}
	return plan.TooThick
}

// whole tells whether a board on the rack gives all of some parts, with its defects or
// without them.
func (a *asker) whole(parts []plan.Part, defects bool) bool {
	o := a.o
	for _, b := range a.o.Boards {
		if !defects {
			b.Defects = nil
		}
		o.Boards = []plan.Board{b}
		if reason(o, parts) == plan.StockUsed && a.gives(b, parts) {
			return true
		}
	}
	return false
}
