package trial

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"resawd/calc/plan"
)

// Brute solves tiny orders by trying everything. It is written from the text
// of the model and shares no code with the search: a piece of a board at a
// time, every content of every billet, every board.
type Brute struct {
	O    plan.Order
	Want []int // sets
	Memo map[string][][]int
}

// vector adds y to x, up to what is wanted.
func (b *Brute) plus(x, y []int) []int {
	z := slices.Clone(x)
	for i := range z {
		z[i] = min(b.Want[i], z[i]+y[i])
	}
	return z
}

// unique drops repeated vectors.
func unique(all [][]int) [][]int {
	seen, out := map[string]bool{}, [][]int{}
	for _, v := range all {
		if k := fmt.Sprint(v); !seen[k] {
			seen[k] = true
			out = append(out, v)
		}
	}
	return out
}

// resaw returns all contents of a billet of a size.
func (b *Brute) resaw(bd plan.Board, long, wide nm) [][]int {
	if s := b.O.Saw; s.CuttingHeight > 0 && wide > s.CuttingHeight || s.BilletLength > 0 && long > s.BilletLength {
		return nil
	}
	skim := b.O.Skim
	if bd.Bow > 0 { // rounded up: small numbers, no overflow in the tests
		sq := max(1, bd.Length*bd.Length)
		long := max(1, long)
		skim += (bd.Bow*long*long + sq - 1) / sq
	}
	room := bd.Thickness - b.O.HoldBack
	if skim > 0 {
		room -= skim + b.O.Kerf
	}
	out := [][]int{make([]int, len(b.Want))}
	rooms := []nm{room}
	for n := 0; n < len(out); n++ { // grows while it is walked
		for i, p := range b.O.Parts {
			if p.Length > long || p.Width > wide || p.Species != "" && p.Species != bd.Species || p.Sawn != "" && p.Sawn != bd.Sawn {
				continue
			}
			take := nm(max(1, p.Matched)) * (p.Thickness + b.O.Kerf)
			if last := lastOf(out[n]); i >= last && out[n][i] < b.Want[i] && take <= rooms[n] {
				v := slices.Clone(out[n])
				v[i]++
				out, rooms = append(out, v), append(rooms, rooms[n]-take)
			}
		}
	}
	return out
}

// lastOf returns the last part a vector has any of.
func lastOf(v []int) int {
	for i := len(v) - 1; i >= 0; i-- {
		if v[i] > 0 {
			return i
		}
	}
	return 0
}

// sizes returns the distinct sizes of the parts.
func (b *Brute) sizes(of func(plan.Part) nm) []nm {
	var out []nm
	for _, p := range b.O.Parts {
		if !slices.Contains(out, of(p)) {
			out = append(out, of(p))
		}
	}
	return out
}

// rip returns all that a length gives beyond a position across.
func (b *Brute) rip(bd plan.Board, long, at nm) [][]int {
	if b.O.Parts[0].Width == 0 { // not ripped: one billet as wide as the board
		return b.resaw(bd, long, bd.Width)
	}
	key := fmt.Sprint(bd, long, at)
	if m, ok := b.Memo[key]; ok {
		return m
	}
	all := [][]int{make([]int, len(b.Want))}
	for _, wide := range b.sizes(func(p plan.Part) nm { return p.Width }) {
		if at+wide > bd.Width {
			continue
		}
		rest := b.rip(bd, long, at+wide+b.O.RipKerf)
		for _, c := range b.resaw(bd, long, wide) {
			for _, r := range rest {
				all = append(all, b.plus(c, r))
			}
		}
		all = unique(all)
	}
	b.Memo[key] = all
	return all
}

// Crosscut returns all that a board gives beyond a position along.
func (b *Brute) Crosscut(bd plan.Board, at nm) [][]int {
	if b.O.Parts[0].Length == 0 { // not crosscut
		return b.rip(bd, bd.Length, 0)
	}
	all := [][]int{make([]int, len(b.Want))}
	for _, long := range b.sizes(func(p plan.Part) nm { return p.Length }) {
		from := at
		for moved := true; moved; {
			moved = false
			for _, d := range bd.Defects {
				if from < d.To && from+long > d.From {
					from, moved = d.To, true
				}
			}
		}
		if from+long > bd.Length-b.O.EndTrim {
			continue
		}
		rest := b.Crosscut(bd, from+long+b.O.CrosscutKerf)
		for _, c := range b.rip(bd, long, 0) {
			for _, r := range rest {
				all = append(all, b.plus(c, r))
			}
		}
		all = unique(all)
	}
	return all
}

// Solve returns the least unmet, by the order of parts, its least cost and the
// fewest boards of that cost.
func (b *Brute) Solve() ([]int, int64, int) {
	b.Memo = map[string][][]int{}
	for _, p := range b.O.Parts {
		b.Want = append(b.Want, (p.Quantity+p.Spare)/max(1, p.Matched))
	}
	type state struct {
		got  []int
		cost int64 // prices times 1000, and a unit for each board
	}
	states := map[string]state{fmt.Sprint(make([]int, len(b.Want))): {make([]int, len(b.Want)), 0}}
	for _, bd := range b.O.Boards {
		opts := b.Crosscut(bd, b.O.EndTrim)
		for range bd.Quantity {
			next := map[string]state{}
			for k, s := range states {
				if t, ok := next[k]; !ok || s.cost < t.cost {
					next[k] = s
				}
				for _, v := range opts {
					g := state{b.plus(s.got, v), s.cost + bd.Price*1000 + 1}
					if t, ok := next[fmt.Sprint(g.got)]; !ok || g.cost < t.cost {
						next[fmt.Sprint(g.got)] = g
					}
				}
			}
			states = next
		}
	}
	best := state{got: make([]int, len(b.Want))}
	for _, s := range states {
		if c := slices.Compare(s.got, best.got); c > 0 || c == 0 && s.cost < best.cost {
			best = s
		}
	}
	return best.got, best.cost / 1000, int(best.cost % 1000)
}

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

// CheckBoard returns an error when a board of an order cannot be cut so.
func CheckBoard(o plan.Order, taken plan.Taken) error {
	o.Parts, o.Boards = slices.Clone(o.Parts), slices.Clone(o.Boards)
	for i := range o.Parts {
		o.Parts[i].Quantity, o.Parts[i].Spare = 0, 0
	}
	for _, b := range taken.Billets {
		for _, l := range b.Leaves {
			o.Parts[l.Part].Quantity += l.Copies()
		}
	}
	o.Boards[taken.Board].Quantity = 1
	price := o.Boards[taken.Board].Price
	return plan.Check(o, &plan.Plan{Status: plan.Optimal, Cost: price, LowerBound: price, Taken: []plan.Taken{taken}})
}
