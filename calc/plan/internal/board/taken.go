package board

import (
	"cmp"
	"slices"

	"resawd/calc/plan"
)

// Taken turns a cut into the boards of a plan.
func (p *Problem) Taken(c Use) plan.Taken {
	lay := c.compact().tighten(p).Settle(p)
	t := plan.Taken{Board: c.Kind, Copies: c.Copies}
	for _, s := range lay.Strips {
		var across nm
		for _, bl := range s.Billets {
			t.Billets = append(t.Billets, p.billet(c.Kind, s, bl, across))
			across += p.Wids[bl.W] + p.Order.RipKerf
		}
	}
	return t
}

// billet returns a billet of a plan, its leaves from the thickest to the
// thinnest.
func (p *Problem) billet(k int, s Strip, bl Billet, across nm) plan.Billet {
	o, board := p.Order, p.Order.Boards[k]
	b := plan.Billet{From: s.From, Across: across, Length: p.Lens[s.L], Width: p.Wids[bl.W]}
	long := b.Length
	if !p.Crosscuts() {
		long = board.Length
	}
	b.Skim = skimDepth(o, board, long)
	b.Remainder = board.Thickness - o.HoldBack - SkimLoss(o, board, long)
	for _, stack := range bl.Stacks {
		part, it := o.Parts[stack.Item], p.Items[stack.Item]
		x := plan.Leaves{Part: stack.Item, Count: stack.Count * part.SetSize(), EndToEnd: it.ends[s.L], SideBySide: it.sides[bl.W]}
		x.TrimLength = b.Length - grid(x.EndToEnd, part.Length, o.LeafKerf)
		x.TrimWidth = b.Width - grid(x.SideBySide, part.Width, o.LeafKerf)
		b.Leaves = append(b.Leaves, x)
		b.Remainder -= nm(x.Count) * (part.Thickness + o.Kerf)
	}
	slices.SortStableFunc(b.Leaves, func(x, y plan.Leaves) int {
		return cmp.Or(cmp.Compare(o.Parts[y.Part].Thickness, o.Parts[x.Part].Thickness), cmp.Compare(x.Part, y.Part))
	})
	b.Tight = b.Remainder < o.ThicknessMargin+nm(b.Passes())*o.KerfMargin
	return b
}
