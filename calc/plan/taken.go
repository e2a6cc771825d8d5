package plan

import (
	"cmp"
	"slices"
)

// taken turns a cut into the boards of a plan.
func (p *problem) taken(c cut) Taken {
	lay := c.compact().tighten(p).settle(p)
	t := Taken{Board: c.kind, Copies: c.copies}
	for _, s := range lay.strips {
		var across nm
		for _, bl := range s.billets {
			t.Billets = append(t.Billets, p.billet(c.kind, s, bl, across))
			across += p.wids[bl.w] + p.order.RipKerf
		}
	}
	return t
}

// passes returns how many passes the saw makes through a billet.
func passes(b Billet) int {
	n := 0
	if b.Skim > 0 {
		n++
	}
	for _, l := range b.Leaves {
		n += l.Count
	}
	return n
}

// billet returns a billet of a plan, its leaves from the thickest to the
// thinnest.
func (p *problem) billet(k int, s strip, bl billet, across nm) Billet {
	o, board := p.order, p.order.Boards[k]
	b := Billet{From: s.from, Across: across, Length: p.lens[s.l], Width: p.wids[bl.w]}
	long := b.Length
	if !p.crosscuts() {
		long = board.Length
	}
	b.Skim = skimDepth(o, board, long)
	b.Remainder = board.Thickness - o.HoldBack - skimLoss(o, board, long)
	for _, set := range bl.sets {
		part := o.Parts[set.Item]
		n := set.Count * part.set()
		b.Leaves = append(b.Leaves, Leaves{set.Item, n, b.Length - part.Length, b.Width - part.Width})
		b.Remainder -= nm(n) * (part.Thickness + o.Kerf)
	}
	slices.SortStableFunc(b.Leaves, func(x, y Leaves) int {
		return cmp.Or(cmp.Compare(o.Parts[y.Part].Thickness, o.Parts[x.Part].Thickness), cmp.Compare(x.Part, y.Part))
	})
	b.Tight = b.Remainder < o.ThicknessMargin+nm(passes(b))*o.KerfMargin
	return b
}
