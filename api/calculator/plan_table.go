package calculator

import (
	"fmt"
	"strings"

	"resawd/calc/length"
)

// PlanRow is a row of the cut list: neighbouring leaves of a part in a billet, kits
// that each of the boards gives, or at the end a part or a kit that is unmet.
type PlanRow struct {
	Board      string         `json:"board,omitzero"`
	Copies     int            `json:"copies,omitzero"`
	Billet     string         `json:"billet,omitzero"`
	From       *length.Length `json:"from,omitzero"`
	Across     *length.Length `json:"across,omitzero"`
	Length     length.Length  `json:"length,omitzero"`
	Width      length.Length  `json:"width,omitzero"`
	Part       string         `json:"part,omitzero"`
	LeafCount  int            `json:"leaf_count,omitzero"`
	EndToEnd   int            `json:"end_to_end,omitzero"`
	SideBySide int            `json:"side_by_side,omitzero"`
	Count      int            `json:"count,omitzero"`
	Thickness  *length.Length `json:"thickness,omitzero"`
	TrimLength *length.Length `json:"trim_length,omitzero"`
	TrimWidth  *length.Length `json:"trim_width,omitzero"`
	Remainder  *length.Length `json:"remainder,omitzero"`
	Tight      *bool          `json:"tight,omitzero"`
	Kit        string         `json:"kit,omitzero"`
	Unmet      int            `json:"unmet,omitzero"`
	Reason     string         `json:"reason,omitzero"`
	Cure       string         `json:"cure,omitzero"`
}

// Table is the cut list.
func (a *PlanAnswer) Table() any {
	rows := []PlanRow{}
	for _, t := range a.Taken {
		for i := range t.Billets {
			b := &t.Billets[i]
			for j := range b.Leaves {
				l := &b.Leaves[j]
				rows = append(rows, PlanRow{
					Board: t.Board, Copies: t.Copies, Billet: b.Mark, From: &b.From, Across: &b.Across, Length: b.Length, Width: b.Width,
					Part: l.Part, LeafCount: l.LeafCount, EndToEnd: l.EndToEnd, SideBySide: l.SideBySide, Count: l.Count, Thickness: &l.Thickness, TrimLength: &l.TrimLength, TrimWidth: &l.TrimWidth,
					Remainder: &b.Remainder, Tight: &b.Tight,
				})
			}
		}
		for _, k := range t.Kits {
			rows = append(rows, PlanRow{Board: t.Board, Copies: t.Copies, Kit: k.Kit, Count: k.Count})
		}
	}
	for _, u := range a.Unmet {
		rows = append(rows, PlanRow{Part: u.Part, Kit: u.Kit, Unmet: u.Quantity, Reason: u.Reason, Cure: a.cureText(u.Cure)})
	}
	return rows
}

// cureText tells in a cell what would help, the cheapest first.
func (a *PlanAnswer) cureText(cures []PlanCure) string {
	texts := make([]string, len(cures))
	for i, c := range cures {
		texts[i] = fmt.Sprintf("%d more of %s", c.Quantity, c.Board)
		if c.Board == "" {
			texts[i] = "buy a board of at least " + a.sizeText(c.Thickness, c.Width, c.Length)
		}
	}
	return strings.Join(texts, ", or ")
}

// sizeText tells those sizes that there are.
func (a *PlanAnswer) sizeText(sizes ...length.Length) string {
	var texts []string
	for _, s := range sizes {
		if s > 0 {
			texts = append(texts, a.call.Show(s))
		}
	}
	return strings.Join(texts, " x ")
}
