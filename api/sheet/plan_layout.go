package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/calc/length"
	"resawd/calc/plan"
)

// breakdown is how boards of one kind are cut alike: crosscut into lengths,
// each ripped into billets.
type breakdown struct {
	*calculator.PlanTaken
	board      *calculator.PlanBoard
	used       *calculator.PlanRequest
	parts      map[string]*calculator.PlanPart
	sets       map[string]int // sizes of the matched sets of each part
	kits       map[string]*calculator.PlanKit
	long, wide length.Length // of the board, 0 where the order has none
	cross      []plan.Line   // the crosscuts; Piece is the index of a length
	lengths    []cutLength
	kitLines   []kitLine              // the kits that come from each board
	owners     map[keptPlace][]string // the kits that leaves go to
}

// cutLength is a piece between crosscuts, and the rips that divide it.
type cutLength struct {
	plan.Stretch
	billets []*calculator.PlanBillet
	rips    []plan.Line // Piece is the index of a billet
}

// breakdowns lays out every board of a plan.
func breakdowns(a *calculator.PlanAnswer) ([]breakdown, error) {
	boards := make(map[string]*calculator.PlanBoard, len(a.Used.Boards))
	for i := range a.Used.Boards {
		boards[*a.Used.Boards[i].Name] = &a.Used.Boards[i]
	}
	sets, parts := make(map[string]int, len(a.Used.Parts)), make(map[string]*calculator.PlanPart, len(a.Used.Parts))
	for i := range a.Used.Parts {
		parts[*a.Used.Parts[i].Name] = &a.Used.Parts[i]
		sets[*a.Used.Parts[i].Name] = *a.Used.Parts[i].Matched
	}
	kits := make(map[string]*calculator.PlanKit, len(a.Used.Kits))
	for i := range a.Used.Kits {
		kits[*a.Used.Kits[i].Name] = &a.Used.Kits[i]
	}
	list := make([]breakdown, len(a.Taken))
	for i := range a.Taken {
		board := boards[a.Taken[i].Board]
		list[i] = breakdown{PlanTaken: &a.Taken[i], board: board, used: a.Used, parts: parts, sets: sets, kits: kits, long: endpoint.ValueOr(board.Length, 0), wide: endpoint.ValueOr(board.Width, 0)}
		if err := list[i].layOut(); err != nil {
			return nil, err
		}
		list[i].shareKits()
	}
	return list, nil
}

// layOut finds the lengths and the cuts between them.
func (b *breakdown) layOut() (err error) {
	billets := make([]*calculator.PlanBillet, len(b.Billets))
	for i := range b.Billets {
		billets[i] = &b.Billets[i]
	}
	slices.SortStableFunc(billets, func(x, y *calculator.PlanBillet) int {
		return cmp.Or(cmp.Compare(x.From, y.From), cmp.Compare(x.Across, y.Across))
	})
	for _, bl := range billets {
		if n := len(b.lengths); n == 0 || b.lengths[n-1].From != bl.From {
			b.lengths = append(b.lengths, cutLength{Stretch: b.along(bl)})
		}
		last := &b.lengths[len(b.lengths)-1]
		last.billets = append(last.billets, bl)
	}
	for i := range b.lengths {
		l := &b.lengths[i]
		if l.rips, err = cutsBetween(l.billets, b.across, b.wide, *b.used.RipKerf); err != nil {
			return err
		}
	}
	b.cross, err = cutsBetween(b.lengths, func(l cutLength) plan.Stretch { return l.Stretch }, b.long, *b.used.CrosscutKerf)
	return err
}

// cutsBetween are the cuts between pieces, none if the board has no size in that
// direction.
func cutsBetween[T any](pieces []T, lies func(T) plan.Stretch, room, kerf length.Length) ([]plan.Line, error) {
	if room == 0 {
		return nil, nil
	}
	stretches := make([]plan.Stretch, len(pieces))
	for i, p := range pieces {
		stretches[i] = lies(p)
	}
	return plan.Lines(stretches, room, kerf)
}

// along is where a billet lies along the length of its board.
func (b *breakdown) along(bl *calculator.PlanBillet) plan.Stretch {
	return lies(bl.From, bl.Length, b.long)
}

// across is where a billet lies across the width of its board.
func (b *breakdown) across(bl *calculator.PlanBillet) plan.Stretch {
	return lies(bl.Across, bl.Width, b.wide)
}

// lies is where a piece lies in a room; it fills the room if nothing is cut in that
// direction.
func lies(from, size, room length.Length) plan.Stretch {
	if size == 0 {
		return plan.Stretch{To: room}
	}
	return plan.Stretch{From: from, To: from + size}
}

// hasFace reports whether the size of the face is known.
func (b *breakdown) hasFace() bool { return b.long > 0 && b.wide > 0 }

// crosscut reports whether the board is crosscut at all.
func (b *breakdown) crosscut() bool { return b.Billets[0].Length > 0 }

// way names the boards: the mark of their billets without the number.
func (b *breakdown) way() string {
	return strings.TrimRight(b.Billets[0].Mark, "0123456789")
}

// short is a billet's mark without the name of its board.
func (b *breakdown) short(bl *calculator.PlanBillet) string {
	return strings.TrimPrefix(bl.Mark, b.Board+" ")
}

// shorts lists the short marks of billets, or the first of many.
func (b *breakdown) shorts(billets []*calculator.PlanBillet) string {
	marks := make([]string, len(billets))
	for i, bl := range billets {
		marks[i] = b.short(bl)
	}
	return rule.FirstOf(marks)
}

// alike groups the billets that are resawn alike, in the order of the first of each
// group.
func (b *breakdown) alike() (groups [][]*calculator.PlanBillet) {
	known := map[string]int{}
	for i := range b.Billets {
		bl := &b.Billets[i]
		key := fmt.Sprint(bl.Skim, bl.Leaves)
		at, ok := known[key]
		if !ok {
			at = len(groups)
			known[key], groups = at, append(groups, nil)
		}
		groups[at] = append(groups[at], bl)
	}
	return groups
}

// section is the end view of a billet; ok is false if it has more leaves than a run.
func (b *breakdown) section(bl *calculator.PlanBillet) (s section, ok bool) {
	s = section{board: *b.board.Thickness, skim: bl.Skim, kerf: *b.used.Kerf, holdBack: *b.used.HoldBack}
	take := func(leaf int, thickness length.Length) {
		s.cuts = append(s.cuts, sectionCut{leaf, thickness, s.lastPosition() + thickness + s.kerf})
	}
	if bl.Skim > 0 {
		take(0, bl.Skim)
	}
	for _, l := range bl.Leaves {
		if l.LeafCount > calculator.MaxRunLeaves-s.leaves {
			return s, false
		}
		for range l.LeafCount {
			s.leaves++
			take(s.leaves, l.Thickness)
		}
	}
	return s, true
}
