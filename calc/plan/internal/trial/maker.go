package trial

import (
	"fmt"
	"math/rand/v2"

	"resawd/calc/plan"
)

// Inch is an inch.
const Inch = nm(25_400_000)

// MakerOrder makes up an order as a maker of stringed instruments has it: four
// models of backs, sides, necks, bindings and the like, 400 leaves of 30 parts
// in all, half of them of any species; boards of 4/4 to 16/4 in usual widths
// and lengths, priced by the board foot, many of them as many as one likes.
func MakerOrder(seed uint64) plan.Order {
	r := rand.New(rand.NewPCG(seed, 13))
	species := []string{"walnut", "maple", "cherry"}
	o := plan.Order{Kerf: Inch / 20, Skim: Inch / 20, HoldBack: Inch / 2, RipKerf: Inch / 8, CrosscutKerf: Inch / 8, EndTrim: Inch}
	left := 400
	for i := range 30 {
		p := makerPart(r, i)
		if r.IntN(2) == 0 {
			p.Species = species[r.IntN(len(species))]
		}
		p.Quantity = p.Matched * min(1+r.IntN(26/p.Matched), (left-2*(29-i))/p.Matched)
		if i == 29 {
			p.Quantity = left / p.Matched * p.Matched
		}
		left -= p.Quantity
		o.Parts = append(o.Parts, p)
	}
	for i := range 25 {
		o.Boards = append(o.Boards, makerBoard(r, i, species))
	}
	return o
}

// makerPart makes up a part of an instrument.
func makerPart(r *rand.Rand, i int) plan.Part {
	kinds := []struct {
		name                string
		thick, width, long  int // in 1/100, 1/8 and 1/2 in
		spreadW, spreadL, n int
	}{
		{"back", 14, 62, 34, 12, 8, 2}, {"side", 10, 34, 60, 10, 8, 2}, {"neck", 90, 26, 48, 6, 10, 1},
		{"binding", 7, 12, 62, 6, 4, 1}, {"head plate", 10, 28, 15, 5, 4, 1}, {"fingerboard", 28, 20, 38, 6, 6, 1},
		{"bridge", 40, 12, 14, 4, 3, 1}, {"top", 13, 62, 36, 10, 6, 2},
	}
	k := kinds[i%len(kinds)]
	return plan.Part{Name: fmt.Sprintf("%s %d", k.name, i), Matched: k.n, Thickness: nm(k.thick) * Inch / 100,
		Width: nm(k.width+r.IntN(k.spreadW)) * Inch / 8, Length: nm(k.long+r.IntN(k.spreadL)) * Inch / 2}
}

// makerBoard makes up a board.
func makerBoard(r *rand.Rand, i int, species []string) plan.Board {
	s := r.IntN(len(species))
	quarters := []int{4, 5, 6, 8, 8, 10, 12, 16}[r.IntN(8)]
	wide, feet := 5+r.IntN(8), []int{4, 5, 6, 7, 8, 8, 10, 12}[r.IntN(8)]
	b := plan.Board{Name: fmt.Sprintf("board %d", i), Species: species[s], Thickness: nm(quarters) * Inch / 4,
		Width: nm(wide) * Inch, Length: nm(12*feet) * Inch, Quantity: []int{plan.Unlimited, 4 + r.IntN(16), 1 + r.IntN(3)}[r.IntN(3)]}
	boardFeet := float64(quarters) / 4 * float64(wide*feet) / 12
	rate := []float64{9.5, 6, 7.25}[s] * (1 + 0.04*float64(quarters-4)) * (0.9 + 0.2*r.Float64())
	b.Price = int64(boardFeet*rate*100) * 100
	return b
}
