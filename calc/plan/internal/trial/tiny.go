package trial

import (
	"math/rand/v2"

	"resawd/calc/plan"
)

// Tiny makes up an order that brute can solve.
func Tiny(r *rand.Rand) plan.Order {
	o := plan.Order{Kerf: nm(r.IntN(3)), Skim: nm(r.IntN(2)), HoldBack: nm(r.IntN(4)), RipKerf: nm(r.IntN(3)),
		CrosscutKerf: nm(r.IntN(4)), EndTrim: nm(r.IntN(2) * r.IntN(3))}
	if r.IntN(4) == 0 {
		o.Saw = plan.Saw{CuttingHeight: nm(5 + r.IntN(4)), BilletLength: nm(8 + r.IntN(6))}
	}
	kinds := []string{"", "a", "b"}
	for range 1 + r.IntN(3) {
		p := plan.Part{Thickness: nm(1 + r.IntN(5)), Width: nm(2 + r.IntN(6)), Length: nm(3 + r.IntN(9)),
			Species: kinds[r.IntN(2)], Sawn: kinds[r.IntN(8)/7], Matched: 1 + r.IntN(2)}
		p.Quantity, p.Spare = p.Matched*(1+r.IntN(4)), p.Matched*r.IntN(2)
		o.Parts = append(o.Parts, p)
	}
	for range 1 + r.IntN(3) {
		b := plan.Board{Thickness: nm(8 + r.IntN(12)), Width: nm(6 + r.IntN(9)), Length: nm(9 + r.IntN(16)),
			Species: kinds[1+r.IntN(8)/7], Sawn: kinds[1+r.IntN(4)/3], Quantity: r.IntN(4), Price: int64(r.IntN(9))}
		if r.IntN(3) == 0 {
			b.Bow = nm(r.IntN(5))
		}
		for range r.IntN(3) {
			from := nm(r.IntN(int(b.Length)))
			b.Defects = append(b.Defects, plan.Defect{From: from, To: from + nm(r.IntN(4))})
		}
		o.Boards = append(o.Boards, b)
	}
	switch r.IntN(6) {
	case 0: // not ripped
		for i := range o.Parts {
			o.Parts[i].Width = 0
		}
	case 1: // one-dimensional
		for i := range o.Parts {
			o.Parts[i].Width, o.Parts[i].Length = 0, 0
		}
		for i := range o.Boards {
			o.Boards[i].Width, o.Boards[i].Length, o.Boards[i].Defects = 0, 0, nil
		}
	}
	return o
}

// Feature is what an order can have beside boards, parts and kerfs.
type Feature int

// The features.
const (
	Grids    Feature = 1 << iota // leaves may be divided
	Kits                         // kits are wanted
	Work                         // passes and billets have a price
	Smallest                     // billets have a smallest size

	Everything = Grids | Kits | Work | Smallest
)

// TinyWith makes up an order with features that brute can solve.
func TinyWith(r *rand.Rand, f Feature) plan.Order {
	o := Tiny(r)
	if f&Grids != 0 {
		o.LeafKerf, o.RipKerf, o.CrosscutKerf = nm(r.IntN(2)), o.RipKerf+nm(r.IntN(3)), o.CrosscutKerf+nm(r.IntN(3))
		for i := range o.Parts {
			p := &o.Parts[i]
			p.Divide, p.Quantity = r.IntN(4) > 0, p.Quantity*(1+r.IntN(2))
			p.Length, p.Width = p.Length/2+min(p.Length, 1), p.Width/2+min(p.Width, 1)
		}
	}
	if f&Kits != 0 {
		addKits(r, &o)
	}
	if f&Work != 0 {
		o.PassPrice, o.BilletPrice = int64(r.IntN(3)), int64(r.IntN(3))
		if r.IntN(2) == 0 {
			o.PassLength = plan.Rate{Price: int64(r.IntN(4)), Per: nm(1 + r.IntN(9))}
		}
	}
	if f&Smallest != 0 {
		o.Smallest = plan.Face{Length: nm(r.IntN(12)), Width: nm(r.IntN(9))}
		o.LeastSkim = nm(r.IntN(3))
	}
	return o
}

// addKits makes up one or two kits of what is wanted anyway.
func addKits(r *rand.Rand, o *plan.Order) {
	left := make([]int, len(o.Parts)) // sets
	for i, p := range o.Parts {
		left[i] = p.Quantity / p.SetSize()
	}
	for range 1 + r.IntN(2) {
		k := plan.Kit{Quantity: 1 + r.IntN(2)}
		for i, p := range o.Parts {
			if n := left[i] / k.Quantity; n > 0 && r.IntN(3) > 0 {
				n = 1 + r.IntN(min(2, n))
				left[i] -= n * k.Quantity
				k.Parts = append(k.Parts, plan.KitPart{Part: i, Quantity: n * p.SetSize()})
			}
		}
		if len(k.Parts) > 0 {
			o.Kits = append(o.Kits, k)
		}
	}
}
