package trial

import (
	"fmt"
	"math/rand/v2"

	"resawd/calc/plan"
)

// ShopOrder makes up an order as a small shop has it: 30 parts, 400 leaves,
// half of the parts in matched pairs, but of a few products, so that sizes and
// thicknesses come again and again; and 25 kinds of board of the stock
// thicknesses, whose price is by volume, grade and thickness.
func ShopOrder(seed uint64) plan.Order {
	r := rand.New(rand.NewPCG(seed, 11))
	o := plan.Order{Kerf: 1143_000, Skim: 1500_000, HoldBack: 12 * MM, RipKerf: 3175_000, CrosscutKerf: 3175_000, EndTrim: 20 * MM}
	type face struct{ width, length nm }
	var faces []face
	for range 6 {
		faces = append(faces, face{nm(60+10*r.IntN(15)) * MM, nm(300+50*r.IntN(11)) * MM})
	}
	species := func() string { return []string{"walnut", "walnut", "maple"}[r.IntN(3)] }
	left := 400
	for i := range 30 {
		f := faces[r.IntN(len(faces))]
		p := plan.Part{Name: fmt.Sprintf("part %d", i), Species: species(), Matched: 1 + i%2,
			Thickness: []nm{25, 32, 40}[r.IntN(3)] * MM / 10, Width: f.width, Length: f.length}
		p.Quantity = max(p.Matched, min(left-2*(29-i), 2*(2+r.IntN(10))))
		if i == 29 {
			p.Quantity = left / 2 * 2
		}
		left -= p.Quantity
		o.Parts = append(o.Parts, p)
	}
	for i := range 25 {
		o.Boards = append(o.Boards, shopBoard(r, i, species()))
	}
	return o
}

// shopBoard makes up a board: the better grades are clear, the others have a
// defect and are cheaper, and thick wood is dearer by volume.
func shopBoard(r *rand.Rand, i int, species string) plan.Board {
	quarters := []int{4, 5, 6, 8, 10, 12}[r.IntN(6)]
	b := plan.Board{Name: fmt.Sprintf("board %d", i), Species: species, Quantity: 2 + r.IntN(6),
		Thickness: nm(quarters) * 6350_000, Width: nm(150+10*r.IntN(18)) * MM, Length: nm(1200+300*r.IntN(7)) * MM}
	rate := 3500.0 + 150*float64(quarters) // for a cubic metre
	if r.IntN(3) == 0 {
		rate *= 0.7
		at := nm(r.IntN(int(b.Length/MM)-60)) * MM
		b.Defects = []plan.Defect{{From: at, To: at + 60*MM}}
	}
	b.Price = int64(float64(b.Thickness)*float64(b.Width)*float64(b.Length)/1e27*rate) * 10000
	return b
}
