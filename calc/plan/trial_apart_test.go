package plan

import (
	"math/rand/v2"
	"strconv"
)

// apartOrder makes up an order by cutting ten boards apart into 30 or so parts,
// with nothing left but kerfs and hold-back, and returns what the boards cost:
// the least cost, because all boards are priced by the wood in them, kerfs at
// the ends included, and others are dearer.
func apartOrder(seed uint64) (Order, int64) {
	r := rand.New(rand.NewPCG(seed, 17))
	o := Order{Kerf: mm, HoldBack: 12 * mm, RipKerf: 3 * mm, CrosscutKerf: 3 * mm}
	var cost int64
	for i := range 25 {
		b := Board{Name: strconv.Itoa(i), Thickness: 12*mm + 12*mm*nm(1+r.IntN(5)), Width: nm(150+5*r.IntN(36)) * mm,
			Length: nm(900+50*r.IntN(40)) * mm, Quantity: 1 + r.IntN(4)}
		wood := int64((b.Thickness - o.HoldBack) / mm * (b.Width + o.RipKerf) / mm * (b.Length + o.CrosscutKerf) / mm)
		b.Price = wood / 10 * 10
		if i < 10 {
			cost += b.Price
			o.Parts = append(o.Parts, apart(r, b, o)...)
		} else {
			b.Price += b.Price * int64(5+r.IntN(30)) / 100
		}
		o.Boards = append(o.Boards, b)
	}
	r.Shuffle(len(o.Boards), func(i, j int) { o.Boards[i], o.Boards[j] = o.Boards[j], o.Boards[i] })
	return o, cost
}

// apart cuts a board apart into parts, without a rest.
func apart(r *rand.Rand, b Board, o Order) []Part {
	var parts []Part
	for _, long := range divide(r, b.Length, o.CrosscutKerf, 1+r.IntN(3)) {
		for _, wide := range divide(r, b.Width, o.RipKerf, 1+r.IntN(2)) {
			n := []int{4, 6, 8, 12}[r.IntN(4)]
			if (b.Thickness-o.HoldBack)/nm(n) < 3*mm {
				n = 4
			}
			parts = append(parts, Part{Thickness: (b.Thickness-o.HoldBack)/nm(n) - o.Kerf, Width: wide, Length: long, Quantity: n})
		}
	}
	return parts
}

// divide divides a size into n random sizes of at least a quarter each of an
// even share, with a kerf between.
func divide(r *rand.Rand, size, kerf nm, n int) []nm {
	var out []nm
	for ; n > 1; n-- {
		share := (size - nm(n-1)*kerf) / nm(n)
		x := share/4 + nm(r.Int64N(int64(share*3/2)))
		x -= x % mm
		out = append(out, x)
		size -= x + kerf
	}
	return append(out, size)
}
