package trial

import (
	"math/rand/v2"
	"strconv"

	"resawd/calc/plan"
)

// ApartOrder makes up an order by cutting ten boards apart into 30 or so parts,
// with nothing left but kerfs and hold-back, and returns what the boards cost:
// the least cost, because all boards are priced by the wood in them, kerfs at
// the ends included, and others are dearer.
func ApartOrder(seed uint64) (plan.Order, int64) { return apartOrder(seed, false) }

// ApartKits is ApartOrder with kits of what comes from one board, half of it: the least
// cost is the same.
func ApartKits(seed uint64) (plan.Order, int64) { return apartOrder(seed, true) }

func apartOrder(seed uint64, kits bool) (plan.Order, int64) {
	r := rand.New(rand.NewPCG(seed, 17))
	o := plan.Order{Kerf: MM, HoldBack: 12 * MM, RipKerf: 3 * MM, CrosscutKerf: 3 * MM}
	var cost int64
	for i := range 25 {
		b := plan.Board{Name: strconv.Itoa(i), Thickness: 12*MM + 12*MM*nm(1+r.IntN(5)), Width: nm(150+5*r.IntN(36)) * MM,
			Length: nm(900+50*r.IntN(40)) * MM, Quantity: 1 + r.IntN(4)}
		wood := int64((b.Thickness - o.HoldBack) / MM * (b.Width + o.RipKerf) / MM * (b.Length + o.CrosscutKerf) / MM)
		b.Price = wood / 10 * 10
		if i < 10 {
			cost += b.Price
			from := len(o.Parts)
			o.Parts = append(o.Parts, apart(r, b, o)...)
			if kits {
				o.Kits = append(o.Kits, halfOf(o.Parts, from))
			}
		} else {
			b.Price += b.Price * int64(5+r.IntN(30)) / 100
		}
		o.Boards = append(o.Boards, b)
	}
	r.Shuffle(len(o.Boards), func(i, j int) { o.Boards[i], o.Boards[j] = o.Boards[j], o.Boards[i] })
	return o, cost
}

// halfOf returns a kit of half of every part from some on.
func halfOf(parts []plan.Part, from int) plan.Kit {
	k := plan.Kit{Quantity: 1}
	for i := from; i < len(parts); i++ {
		k.Parts = append(k.Parts, plan.KitPart{Part: i, Quantity: parts[i].Quantity / 2})
	}
	return k
}

// apart cuts a board apart into parts, without a rest.
func apart(r *rand.Rand, b plan.Board, o plan.Order) []plan.Part {
	var parts []plan.Part
	for _, long := range divide(r, b.Length, o.CrosscutKerf, 1+r.IntN(3)) {
		for _, wide := range divide(r, b.Width, o.RipKerf, 1+r.IntN(2)) {
			n := []int{4, 6, 8, 12}[r.IntN(4)]
			if (b.Thickness-o.HoldBack)/nm(n) < 3*MM {
				n = 4
			}
			parts = append(parts, plan.Part{Thickness: (b.Thickness-o.HoldBack)/nm(n) - o.Kerf, Width: wide, Length: long, Quantity: n})
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
		x -= x % MM
		out = append(out, x)
		size -= x + kerf
	}
	return append(out, size)
}
