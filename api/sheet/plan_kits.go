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

// kitRows tells what becomes of each kit.
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
		parts := make([]string, len(k.Parts))
		for j, p := range k.Parts {
			parts[j] = fmt.Sprintf("%d x %s", *p.Quantity, *p.Part)
		}
		rows = append(rows, kitRow{*k.Name, *k.Quantity, delivered[*k.Name], unmet[*k.Name], strings.Join(parts, ", ")})
	}
	return rows
}

// kitLine is a kit that comes from a board, and which leaves go into it.
type kitLine struct{ Name, Leaves string }

// kitLines shares the leaves of a board out among its kits, in the order in which they
// come off. Any leaf of a part would do: the lines say which, so that they are kept together.
func (b *breakdown) kitLines() (lines []kitLine) {
	sets := b.setsByPart()
	for _, k := range b.Kits {
		for n := range k.Count {
			if len(lines) == mostKits {
				return lines
			}
			var words []string
			for _, p := range b.kits[k.Kit].Parts {
				size := b.sets[*p.Part]
				take := min(*p.Quantity/size, len(sets[*p.Part]))
				words = append(words, *p.Part+" "+strings.Join(sets[*p.Part][:take], " and "))
				sets[*p.Part] = sets[*p.Part][take:]
			}
			lines = append(lines, kitLine{k.Kit + " " + strconv.Itoa(n+1), strings.Join(words, ", ")})
		}
	}
	return lines
}

// setsByPart names the matched sets of each part that a board gives: their leaves, and
// the place in them where they are divided.
func (b *breakdown) setsByPart() map[string][]string {
	out := map[string][]string{}
	for i := range b.Billets {
		bl, leaf := &b.Billets[i], 0
		for _, l := range bl.Leaves {
			size := b.sets[l.Part]
			for from := leaf + 1; from+size <= leaf+l.LeafCount+1 && len(out[l.Part]) < mostKits; from += size {
				for place := range l.EndToEnd * l.SideBySide {
					name := b.short(bl) + " no. " + strconv.Itoa(from)
					if size > 1 {
						name += " to " + strconv.Itoa(from+size-1)
					}
					if l.EndToEnd*l.SideBySide > 1 {
						name += " place " + strconv.Itoa(place+1)
					}
					out[l.Part] = append(out[l.Part], name)
				}
			}
			leaf += l.LeafCount
		}
	}
	return out
}

// leftRow is a piece to put back on the rack.
type leftRow struct {
	Board, What, Size, Value string
	Copies                   int
}

// leftRows tells what is left over.
func leftRows(a planned, unit length.Length) []leftRow {
	rows := make([]leftRow, len(a.LeftOver))
	for i, l := range a.LeftOver {
		rows[i] = leftRow{Board: l.Board, What: leftWords[l.Kind], Size: sizeWords(unit, &l.Thickness, &l.Width, &l.Length), Copies: l.Copies}
		if l.Value > 0 {
			rows[i].Value = a.cash((l.Value + 50) / 100 * 100)
		}
	}
	return rows
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
