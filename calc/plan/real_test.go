package plan

import (
	"fmt"
	"math/rand/v2"
)

// mm is a millimetre.
const mm = nm(1_000_000)

// RealOrder makes up an order of the size of a real one: 30 parts, 400 leaves,
// half of them in matched pairs, and 25 kinds of board with widths and lengths.
func RealOrder(seed uint64) Order {
	r := rand.New(rand.NewPCG(seed, 7))
	pick := func(of ...int) int { return of[r.IntN(len(of))] }
	species := func() string { return []string{"walnut", "walnut", "maple"}[r.IntN(3)] }
	o := Order{Kerf: 1143_000, Skim: 1500_000, HoldBack: 12 * mm, RipKerf: 3175_000, CrosscutKerf: 3175_000, EndTrim: 20 * mm}
	left := 400
	for i := range 30 {
		p := Part{Name: fmt.Sprintf("part %d", i), Species: species(), Matched: 1 + i%2,
			Thickness: nm(pick(20, 22, 25, 30, 32, 35, 40, 45)) * mm / 10,
			Width:     nm(40+5*r.IntN(36)) * mm, Length: nm(200+10*r.IntN(70)) * mm}
		p.Quantity = max(p.Matched, min(left-2*(29-i), 2*(1+r.IntN(12))))
		if i == 29 {
			p.Quantity = left / 2 * 2
		}
		left -= p.Quantity
		o.Parts = append(o.Parts, p)
	}
	for i := range 25 {
		b := Board{Name: fmt.Sprintf("board %d", i), Species: species(), Quantity: 1 + r.IntN(6),
			Thickness: nm(pick(254, 318, 381, 508, 635, 762)) * mm / 10,
			Width:     nm(150+5*r.IntN(36)) * mm, Length: nm(900+50*r.IntN(40)) * mm}
		volume := float64(b.Thickness) * float64(b.Width) * float64(b.Length) / 1e27 // m3
		b.Price = int64(volume * (4000 + 3000*r.Float64()) * 1e4)
		if i%5 == 0 {
			b.Bow = 4 * mm
		}
		if i%4 == 0 {
			at := nm(r.IntN(int(b.Length/mm))) * mm
			b.Defects = []Defect{{at, at + 60*mm}}
		}
		o.Boards = append(o.Boards, b)
	}
	return o
}

// RandomOrder returns a tiny or a larger order.
func RandomOrder(r *rand.Rand, large bool) Order {
	o := tiny(r)
	if large {
		for i := range o.Parts {
			o.Parts[i].Quantity *= 1 + r.IntN(40)
		}
		for i := range o.Boards {
			o.Boards[i].Quantity *= r.IntN(40)
		}
	}
	return o
}

// FewParts returns an order of the first parts and boards, any board for any part.
func FewParts(o Order, parts int) Order {
	if parts >= len(o.Parts) {
		return o
	}
	o.Parts, o.Boards = o.Parts[:parts], o.Boards[:parts+2]
	for i := range o.Parts {
		o.Parts[i].Species = ""
	}
	return o
}
