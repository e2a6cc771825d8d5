package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"resawd/api/calculator"
	"resawd/calc/length"
)

// kitRow is what becomes of a kit.
type kitRow struct {
	Kit       string `json:"kit"`
	Wanted    int    `json:"wanted"`
	Delivered int    `json:"delivered"`
	Unmet     int    `json:"unmet"`
	Parts     string `json:"parts"`
}

// kitRows lists what becomes of each kit.
func kitRows(a *calculator.PlanAnswer) (rows []kitRow) {
	delivered, unmet := map[string]int{}, map[string]int{}
	for _, t := range a.Taken {
		for _, k := range t.Kits {
			delivered[k.Kit] += t.Copies * k.Count
		}
	}
	for _, u := range a.Unmet {
		unmet[u.Kit] += u.Quantity
	}
	for i := range a.Used.Kits {
		k := &a.Used.Kits[i]
		rows = append(rows, kitRow{*k.Name, *k.Quantity, delivered[*k.Name], unmet[*k.Name], kitParts(k)})
	}
	return rows
}

// kitParts tells what goes into a kit.
func kitParts(k *calculator.PlanKit) string {
	parts := make([]string, len(k.Parts))
	for i, p := range k.Parts {
		parts[i] = fmt.Sprintf("%d x %s", *p.Quantity, *p.Part)
	}
	return strings.Join(parts, ", ")
}

// kitLine is a kit that comes from a board, and which leaves go into it.
type kitLine struct{ Name, Leaves string }

// keptSet is leaves of a part that stay together, or one place in each of them.
type keptSet struct {
	keptPlace
	from, to int // ordinals of the leaves in their billet
}

// keptPlace is a place in neighbouring leaves of a billet.
type keptPlace struct {
	billet *calculator.PlanBillet
	stack  int // index of the leaves among those of the billet, or wholeBillet
	place  int // from 1, 0 where they are not divided
}

// wholeBillet stands for all leaves of a billet.
const wholeBillet = -1

// shareKits shares out the leaves of a board among its kits, in the order in which they
// come off. Any leaf of a part would do: the lines say which one, so that they are kept
// together.
func (b *breakdown) shareKits() {
	sets := b.setsByPart()
	b.owners = map[keptPlace][]string{}
	for _, k := range b.Kits {
		for n := range k.Count {
			if len(b.kitLines) == mostKits {
				return
			}
			line := kitLine{Name: k.Kit + " " + strconv.Itoa(n+1)}
			var words []string
			for _, p := range b.kits[k.Kit].Parts {
				take := min(*p.Quantity/b.sets[*p.Part], len(sets[*p.Part]))
				words = append(words, *p.Part+" "+b.keep(sets[*p.Part][:take], line.Name))
				sets[*p.Part] = sets[*p.Part][take:]
			}
			line.Leaves = strings.Join(words, ", ")
			b.kitLines = append(b.kitLines, line)
		}
	}
}

// keep notes which kit some sets go to, and names them.
func (b *breakdown) keep(sets []keptSet, owner string) string {
	names := make([]string, len(sets))
	for i, s := range sets {
		names[i] = b.setName(s)
		b.owners[s.keptPlace] = withName(b.owners[s.keptPlace], owner)
		whole := keptPlace{billet: s.billet, stack: wholeBillet}
		b.owners[whole] = withName(b.owners[whole], owner)
	}
	return strings.Join(names, " and ")
}

// withName adds a name to a list that does not end with it.
func withName(names []string, name string) []string {
	if n := len(names); n > 0 && names[n-1] == name {
		return names
	}
	return append(names, name)
}

// setName says where a set is found.
func (b *breakdown) setName(s keptSet) string {
	name := b.short(s.billet) + " no. " + strconv.Itoa(s.from)
	if s.to > s.from {
		name += " to " + strconv.Itoa(s.to)
	}
	if s.place > 0 {
		name += " place " + strconv.Itoa(s.place)
	}
	return name
}

// setsByPart lists the matched sets of each part that a board gives, as many as its kits
// take.
func (b *breakdown) setsByPart() map[string][]keptSet {
	wanted, out := b.setsWanted(), map[string][]keptSet{}
	for i := range b.Billets {
		bl, leaf := &b.Billets[i], 0
		for stack := range bl.Leaves {
			l := &bl.Leaves[stack]
			size, places := b.sets[l.Part], l.EndToEnd*l.SideBySide
			for from := leaf + 1; from+size <= leaf+l.LeafCount+1; from += size {
				for place := 1; place <= places && len(out[l.Part]) < wanted[l.Part]; place++ {
					at := keptPlace{bl, stack, place}
					if places == 1 {
						at.place = 0
					}
					out[l.Part] = append(out[l.Part], keptSet{at, from, from + size - 1})
				}
			}
			leaf += l.LeafCount
		}
	}
	return out
}

// setsWanted counts the matched sets of each part that the kits of a board take; of
// very many kits, those of the first.
func (b *breakdown) setsWanted() map[string]int {
	wanted, room := map[string]int{}, mostKits
	for _, k := range b.Kits {
		n := min(k.Count, room)
		room -= n
		for _, p := range b.kits[k.Kit].Parts {
			wanted[*p.Part] += n * (*p.Quantity / b.sets[*p.Part])
		}
	}
	return wanted
}

// leftRow is a piece to put back on the rack.
type leftRow struct {
	Board, What, Size, Value string
	Copies                   int
}

// leftRows lists what is left over.
func leftRows(a planned, unit length.Length) []leftRow {
	rows := make([]leftRow, len(a.LeftOver))
	for i := range a.LeftOver {
		l := &a.LeftOver[i]
		rows[i] = leftRow{Board: l.Board, What: leftWords[l.Kind], Size: sizeWords(unit, &l.Thickness, &l.Width, &l.Length), Copies: l.Copies, Value: a.worth(l)}
	}
	return rows
}

// worth is what a left-over piece is worth, to a hundredth, and whether it is not
// credited.
func (a planned) worth(l *calculator.PlanLeftOver) string {
	worth := "-"
	if l.Value > 0 {
		worth = a.cash((l.Value + 50) / 100 * 100)
	}
	if l.TooThin {
		worth += " (too thin for one more leaf)"
	}
	return worth
}

var leftWords = map[string]string{"offcut": "offcut", "remainder": "remainder of a billet, hold-back included"}

// leftLabels lists a label for every piece left over, as many as there is room for.
func leftLabels(a planned, unit length.Length, room int) (labels []billetLabel, rest int) {
	for _, l := range leftRows(a, unit) {
		take := max(0, min(l.Copies, room-len(labels)))
		rest += l.Copies - take
		for range take {
			labels = append(labels, billetLabel{Mark: l.Board, Size: l.Size, Leaves: "left over: " + l.What})
		}
	}
	return labels, rest
}
