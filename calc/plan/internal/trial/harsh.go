package trial

import (
	"fmt"
	"math/rand/v2"

	"resawd/calc/plan"
)

// MM is a millimetre.
const MM = nm(1_000_000)

// RealOrder makes up an order of the size of a real one: 30 parts, 400 leaves,
// half of them in matched pairs, and 25 kinds of board with widths and lengths.
func RealOrder(seed uint64) plan.Order {
	r := rand.New(rand.NewPCG(seed, 7))
	pick := func(of ...int) int { return of[r.IntN(len(of))] }
	species := func() string { return []string{"walnut", "walnut", "maple"}[r.IntN(3)] }
	o := plan.Order{Kerf: 1143_000, Skim: 1500_000, HoldBack: 12 * MM, RipKerf: 3175_000, CrosscutKerf: 3175_000, EndTrim: 20 * MM}
	left := 400
	for i := range 30 {
		p := plan.Part{Name: fmt.Sprintf("part %d", i), Species: species(), Matched: 1 + i%2,
			Thickness: nm(pick(20, 22, 25, 30, 32, 35, 40, 45)) * MM / 10,
			Width:     nm(40+5*r.IntN(36)) * MM, Length: nm(200+10*r.IntN(70)) * MM}
		p.Quantity = max(p.Matched, min(left-2*(29-i), 2*(1+r.IntN(12))))
		if i == 29 {
			p.Quantity = left / 2 * 2
		}
		left -= p.Quantity
		o.Parts = append(o.Parts, p)
	}
	for i := range 25 {
		b := plan.Board{Name: fmt.Sprintf("board %d", i), Species: species(), Quantity: 1 + r.IntN(6),
			Thickness: nm(pick(254, 318, 381, 508, 635, 762)) * MM / 10,
			Width:     nm(150+5*r.IntN(36)) * MM, Length: nm(900+50*r.IntN(40)) * MM}
		volume := float64(b.Thickness) * float64(b.Width) * float64(b.Length) / 1e27 // m3
		b.Price = int64(volume * (4000 + 3000*r.Float64()) * 1e4)
		if i%5 == 0 {
			b.Bow = 4 * MM
		}
		if i%4 == 0 {
			at := nm(r.IntN(int(b.Length/MM))) * MM
			b.Defects = []plan.Defect{{From: at, To: at + 60*MM}}
		}
		o.Boards = append(o.Boards, b)
	}
	return o
}

// RandomOrder returns a tiny or a larger order, with some features.
func RandomOrder(r *rand.Rand, large bool) plan.Order {
	o := TinyWith(r, Feature(r.IntN(16)))
	if large {
		fewest := 40
		for i := range o.Parts {
			n := 1 + r.IntN(40)
			o.Parts[i].Quantity *= n
			fewest = min(fewest, n)
		}
		for k := range o.Kits {
			o.Kits[k].Quantity *= fewest
		}
		for i := range o.Boards {
			o.Boards[i].Quantity *= r.IntN(40)
		}
	}
	return o
}

// FewParts returns an order of the first parts and boards, any board for any part.
func FewParts(o plan.Order, parts int) plan.Order {
	if parts >= len(o.Parts) {
		return o
	}
	o.Parts, o.Boards = o.Parts[:parts], o.Boards[:parts+2]
	for i := range o.Parts {
		o.Parts[i].Species = ""
	}
	return o
}
