package plan

import (
	"cmp"
	"math"
	"math/big"
	"slices"

	"resawd/calc/length"
)

// LeftOver returns what stays of the boards that a plan takes: offcuts of their
// faces, as the cuts leave them, and the remainders on the fence. A stretch is
// sound wood, between defects and within the trimmed ends, and nothing is told
// that is shorter or narrower than the smallest billet. Pieces of one size come
// together; they are in the order of the boards, offcuts first, the largest first.
//
// Source: definition.
// Valid: orders without faults, plans that pass Check.
// Accuracy: values are rounded to the nearest unit of Board.Price, halves up.
func (o Order) LeftOver(taken []Taken) []LeftOver {
	out, at := []LeftOver{}, map[LeftOver]int{}
	for _, t := range taken {
		for _, l := range o.leftOf(t) {
			size := l.LeftOver
			size.Copies = 0
			i, met := at[size]
			if !met {
				i = len(out)
				at[size], out = i, append(out, size)
			}
			out[i].Copies += l.Copies
		}
	}
	slices.SortStableFunc(out, func(x, y LeftOver) int {
		return cmp.Or(cmp.Compare(x.Board, y.Board), cmp.Compare(x.Kind, y.Kind), y.volume().Cmp(x.volume()))
	})
	return out
}

// lying is a piece left over, and where it lies on the face.
type lying struct {
	LeftOver
	from, across nm
}

// leftOf returns what stays of a board: of the stretches between its lengths, of
// the strips beside its billets, and on the fence.
func (o Order) leftOf(t Taken) []lying {
	b, least := o.Boards[t.Board], o.leastUse()
	var out []lying
	add := func(kind LeftKind, thick nm, x, y Stretch) {
		wide, long := y.To-y.From, x.To-x.From
		small := b.Length > 0 && long < o.Smallest.Length || b.Width > 0 && wide < o.Smallest.Width
		if thick <= 0 || small {
			return
		}
		piece := LeftOver{Board: t.Board, Copies: t.Copies, Kind: kind, Thickness: thick, Width: wide, Length: long,
			Value: b.Share(thick, wide, long), TooThin: thick < least}
		out = append(out, lying{piece, x.From, y.From})
	}
	lengths := lengthsOf(b, t.Billets)
	for _, gap := range gaps(lengths, b.Length, o.CrosscutKerf) {
		for _, x := range o.sound(b, gap) {
			add(Offcut, b.Thickness, x, Stretch{0, b.Width})
		}
	}
	for _, x := range lengths {
		var widths []Stretch
		for _, bl := range t.Billets {
			if bl.Length > 0 && bl.From != x.From {
				continue
			}
			y := widthOf(b, bl)
			widths = append(widths, y)
			add(Remainder, o.HoldBack+bl.Remainder, x, y)
		}
		slices.SortFunc(widths, byFrom)
		for _, y := range gaps(widths, b.Width, o.RipKerf) {
			add(Offcut, b.Thickness, x, y)
		}
	}
	return out
}

// leastUse is the least thickness of which one more leaf comes, as thick as the thinnest
// part.
func (o Order) leastUse() nm {
	least := o.HoldBack + o.Kerf
	if o.Skim > 0 {
		least += o.Skim + o.Kerf
	}
	if len(o.Parts) == 0 {
		return least
	}
	return least + slices.MinFunc(o.Parts, func(x, y Part) int { return cmp.Compare(x.Thickness, y.Thickness) }).Thickness
}

// lengthsOf returns the lengths that a board is crosscut into, in order; the whole
// board where it is not.
func lengthsOf(b Board, billets []Billet) []Stretch {
	var out []Stretch
	for _, bl := range billets {
		x := Stretch{bl.From, bl.From + bl.Length}
		if bl.Length == 0 {
			x.To = b.Length
		}
		out = append(out, x)
	}
	slices.SortFunc(out, byFrom)
	return slices.Compact(out)
}

// widthOf returns where a billet lies across its board.
func widthOf(b Board, bl Billet) Stretch {
	if bl.Width == 0 {
		return Stretch{0, b.Width}
	}
	return Stretch{bl.Across, bl.Across + bl.Width}
}

// byFrom orders stretches.
func byFrom(x, y Stretch) int { return cmp.Compare(x.From, y.From) }

// gaps returns the stretches of a room that are neither pieces, which stand in
// order, nor dust of the cuts that free them.
func gaps(pieces []Stretch, room, kerf nm) []Stretch {
	lines, err := Lines(pieces, room, kerf)
	if err != nil { // no room, as in one dimension
		return nil
	}
	used := slices.Clone(pieces)
	for _, l := range lines {
		used = append(used, l.Kerf)
	}
	slices.SortFunc(used, byFrom)
	var out []Stretch
	var free nm
	for _, u := range append(used, Stretch{room, room}) {
		if u.From > free {
			out = append(out, Stretch{free, u.From})
		}
		free = max(free, u.To)
	}
	return out
}

// sound returns the stretches of a gap between the defects and the trimmed ends of
// a board. Between two of them a crosscut is made, which may be wider than the defect.
func (o Order) sound(b Board, gap Stretch) []Stretch {
	from, end := max(gap.From, o.EndTrim), min(gap.To, b.Length-o.EndTrim)
	defects := slices.Clone(b.Defects)
	slices.SortFunc(defects, func(x, y Defect) int { return cmp.Compare(x.From, y.From) })
	var out []Stretch
	for _, d := range defects {
		if d.From >= end {
			break
		}
		if d.From > from {
			out = append(out, Stretch{from, d.From})
			from = d.From + o.CrosscutKerf
		}
		from = max(from, d.To)
	}
	if end > from {
		out = append(out, Stretch{from, end})
	}
	return out
}

// volume returns the volume of a piece; a size that no board has counts as 1.
func (l LeftOver) volume() *big.Int { return volume(l.Thickness, l.Width, l.Length) }

// volume multiplies sizes.
func volume(thick, wide, long nm) *big.Int {
	v := big.NewInt(int64(thick))
	v.Mul(v, big.NewInt(int64(max(1, wide))))
	return v.Mul(v, big.NewInt(int64(max(1, long))))
}

// Share returns the price of so much wood of a board, by its share of the board's volume;
// a size that the board does not have is 0. What is beyond all numbers is the largest.
//
// Source: definition.
// Valid: boards of an order without faults, sizes from 0.
// Accuracy: rounded to the nearest unit of Price, halves up.
func (b Board) Share(thick, wide, long length.Length) int64 {
	whole := volume(b.Thickness, b.Width, b.Length)
	v := volume(thick, wide, long)
	v.Mul(v, big.NewInt(2*b.Price)).Add(v, whole)
	if v.Quo(v, whole.Lsh(whole, 1)); !v.IsInt64() {
		return math.MaxInt64
	}
	return v.Int64()
}
