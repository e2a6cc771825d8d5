package trial

import (
	"cmp"
	"fmt"
	"iter"
	"slices"

	"resawd/calc/plan"
)

// Brute solves tiny orders by trying everything. It is written from the text
// of the model and shares no code with the search: a piece of a board at a
// time, every content of every billet with leaves divided in every way, every
// board, every choice of the kits that come from it.
type Brute struct {
	O    plan.Order
	Want []int // sets of each part
	Any  bool  // billets of every size in whole nanometres, not only those that some leaf fills

	memo map[string]gives
}

// NewBrute returns a brute force of an order.
func NewBrute(o plan.Order) *Brute {
	b := &Brute{O: o}
	for _, p := range o.Parts {
		b.Want = append(b.Want, p.SetCount())
	}
	return b
}

// gives is what a piece of a board can give: for every content, told by its
// number, the least that the work on it costs.
type gives map[int]int64

// add notes a content.
func (g gives) add(content int, cost int64) {
	if least, ok := g[content]; !ok || cost < least {
		g[content] = cost
	}
}

// digits numbers lists of counts, each up to its limit.
type digits []int

// number returns the number of counts.
func (d digits) number(counts []int) int {
	n := 0
	for i, limit := range d {
		n = n*(limit+1) + min(counts[i], limit)
	}
	return n
}

// counts returns the counts of a number.
func (d digits) counts(n int) []int {
	counts := make([]int, len(d))
	for i := len(d) - 1; i >= 0; i-- {
		counts[i] = n % (d[i] + 1)
		n /= d[i] + 1
	}
	return counts
}

// plus adds the counts of two numbers, each up to its limit.
func (d digits) plus(n, m int) int {
	sum, place := 0, 1
	for i := len(d) - 1; i >= 0; i-- {
		base := d[i] + 1
		sum += min(n%base+m%base, d[i]) * place
		n, m, place = n/base, m/base, place*base
	}
	return sum
}

// stack is matched sets of a part that are sawn from neighbouring leaves.
type stack struct {
	part   int
	sets   int // one for each place in a leaf
	leaves int
	size   nm // thickness, kerfs included
}

// stacks returns all stacks that a billet of a size can hold.
func (b *Brute) stacks(bd plan.Board, long, wide nm) []stack {
	var all []stack
	for i, p := range b.O.Parts {
		if p.Length > long || p.Width > wide || p.Species != "" && p.Species != bd.Species || p.Sawn != "" && p.Sawn != bd.Sawn {
			continue
		}
		n := max(1, p.Matched)
		for ends := 1; ends <= b.most(p, p.Length, long, b.Want[i]); ends++ {
			for sides := 1; sides <= b.most(p, p.Width, wide, b.Want[i]); sides++ {
				s := stack{i, min(ends*sides, max(1, b.Want[i])), n, nm(n) * (p.Thickness + b.O.Kerf)}
				if !slices.Contains(all, s) {
					all = append(all, s)
				}
			}
		}
	}
	return all
}

// most returns how many copies of a size of a part lie in a row in some room.
func (b *Brute) most(p plan.Part, size, room nm, want int) int {
	n := 1
	for p.Divide && size > 0 && n < want && nm(n+1)*size+nm(n)*b.O.LeafKerf <= room {
		n++
	}
	return n
}

// resaw returns all contents of a billet of a size.
func (b *Brute) resaw(bd plan.Board, long, wide nm) gives {
	all, d := gives{}, digits(b.Want)
	b.fill(bd, long, wide, func(sets []int, _ nm, passes int) { all.add(d.number(sets), b.work(passes, long)) })
	return all
}

// fill calls note with the sets of each part, the room left and the passes of all contents
// of a billet of a size; there are none where the saw does not take it.
func (b *Brute) fill(bd plan.Board, long, wide nm, note func(sets []int, rest nm, passes int)) {
	if s := b.O.Saw; s.CuttingHeight > 0 && wide > s.CuttingHeight || s.BilletLength > 0 && long > s.BilletLength {
		return
	}
	stacks := b.stacks(bd, long, wide)
	var further func(from int, have []int, room nm, passes int)
	further = func(from int, have []int, room nm, passes int) {
		for n := from; n < len(stacks); n++ {
			s := stacks[n]
			if have[s.part] >= b.Want[s.part] || s.size > room {
				continue
			}
			more := slices.Clone(have)
			more[s.part] = min(b.Want[s.part], more[s.part]+s.sets)
			note(more, room-s.size, passes+s.leaves)
			further(n, more, room-s.size, passes+s.leaves)
		}
	}
	room, passes := b.truing(bd, long)
	further(0, make([]int, len(b.Want)), room, passes)
}

// truing returns the room for leaves in a billet of a length, and the passes before the
// first of them.
func (b *Brute) truing(bd plan.Board, long nm) (room nm, passes int) {
	skim := b.O.Skim
	if bd.Bow > 0 { // rounded up: small numbers, no overflow in the tests
		sq := max(1, bd.Length*bd.Length)
		long := max(1, long)
		skim += (bd.Bow*long*long + sq - 1) / sq
	}
	if room = bd.Thickness - b.O.HoldBack; skim > 0 {
		return room - max(skim, b.O.LeastSkim) - b.O.Kerf, 1
	}
	return room, 0
}

// work returns what a billet and so many passes through it cost: those by length
// rounded to the nearest, halves up. Small numbers, as above.
func (b *Brute) work(passes int, long nm) int64 {
	per := 2 * int64(max(1, b.O.PassLength.Per))
	byLength := (2*int64(passes)*int64(long)*b.O.PassLength.Price + per/2) / per
	return b.O.BilletPrice + int64(passes)*b.O.PassPrice + byLength
}

// sizes returns the sizes of billets that are tried, none below the smallest: those
// that some part fills, so many copies of it in a row.
func (b *Brute) sizes(smallest, room nm, of func(plan.Part) nm) []nm {
	var out []nm
	for x := max(1, smallest); b.Any && x <= room; x++ {
		out = append(out, x)
	}
	if b.Any {
		return out
	}
	for i, p := range b.O.Parts {
		for n := nm(1); n <= nm(b.most(p, of(p), room, b.Want[i])); n++ {
			if x := max(smallest, n*of(p)+(n-1)*b.O.LeafKerf); !slices.Contains(out, x) {
				out = append(out, x)
			}
		}
	}
	return out
}

// rip returns all that a length gives beyond a position across.
func (b *Brute) rip(bd plan.Board, long, at nm) gives {
	if b.O.Parts[0].Width == 0 { // not ripped: one billet as wide as the board
		all := gives{0: 0}
		all.join(digits(b.Want), b.resaw(bd, long, bd.Width), gives{0: 0})
		return all
	}
	key := fmt.Sprint(bd, long, at)
	if all, ok := b.memo[key]; ok {
		return all
	}
	all := gives{0: 0}
	for _, wide := range b.sizes(b.O.Smallest.Width, bd.Width, func(p plan.Part) nm { return p.Width }) {
		if at+wide <= bd.Width {
			all.join(digits(b.Want), b.resaw(bd, long, wide), b.rip(bd, long, at+wide+b.O.RipKerf))
		}
	}
	b.memo[key] = all
	return all
}

// join notes all that two pieces give together.
func (g gives) join(d digits, x, y gives) {
	for n, work := range x {
		for m, more := range y {
			g.add(d.plus(n, m), work+more)
		}
	}
}

// crosscut returns all that a board gives beyond a position along.
func (b *Brute) crosscut(bd plan.Board, at nm) gives {
	if b.O.Parts[0].Length == 0 { // not crosscut
		return b.rip(bd, bd.Length, 0)
	}
	key := fmt.Sprint(bd, at)
	if all, ok := b.memo[key]; ok {
		return all
	}
	all := gives{0: 0}
	for _, long := range b.sizes(b.O.Smallest.Length, bd.Length, func(p plan.Part) nm { return p.Length }) {
		if from := clearOf(bd, at, long); from+long <= bd.Length-b.O.EndTrim {
			all.join(digits(b.Want), b.rip(bd, long, 0), b.crosscut(bd, from+long+b.O.CrosscutKerf))
		}
	}
	b.memo[key] = all
	return all
}

// clearOf returns the first place from a position on where a piece keeps clear of
// defects.
func clearOf(bd plan.Board, from, long nm) nm {
	for moved := true; moved; {
		moved = false
		for _, d := range bd.Defects {
			if from < d.To && from+long > d.From {
				from, moved = d.To, true
			}
		}
	}
	return from
}

// Board returns all that a board can give, in sets of each part, and the least
// that the work on it costs.
func (b *Brute) Board(bd plan.Board) iter.Seq2[[]int, int64] {
	if b.memo == nil {
		b.memo = map[string]gives{}
	}
	return func(yield func([]int, int64) bool) {
		for n, work := range b.crosscut(bd, b.O.EndTrim) {
			if !yield(digits(b.Want).counts(n), work) {
				return
			}
		}
	}
}

// Answer is what is given at best, and what it costs at least.
type Answer struct {
	Kits   []int // given, of each kind
	Sets   []int // given of each part
	Cost   int64
	Boards int // the fewest at that cost
}

// compare orders answers, the best first: what comes first in the order is given
// first, then cost, then boards count.
func (a Answer) compare(c Answer) int {
	return cmp.Or(slices.Compare(c.Kits, a.Kits), slices.Compare(c.Sets, a.Sets), cmp.Compare(a.Cost, c.Cost), cmp.Compare(a.Boards, c.Boards))
}

// Solve returns the best answer.
func (b *Brute) Solve() Answer {
	d := append(b.kits(), b.Want...)
	states := map[int]Answer{0: {}}
	for _, bd := range b.O.Boards {
		options := b.options(bd, d)
		for n := 0; n != bd.Quantity; n++ {
			if !b.further(states, options, d, bd.Price) {
				break
			}
		}
	}
	var best Answer
	for n, s := range states {
		s.Kits, s.Sets = b.given(d.counts(n))
		if best.Sets == nil || s.compare(best) < 0 {
			best = s
		}
	}
	return best
}

// kits returns how many are wanted of each kit.
func (b *Brute) kits() digits {
	var d digits
	for _, k := range b.O.Kits {
		d = append(d, k.Quantity)
	}
	return d
}

// options returns all that a board can give: kits, and sets of each part, those in
// kits among them.
func (b *Brute) options(bd plan.Board, d digits) gives {
	all := gives{}
	for sets, work := range b.Board(bd) {
		for kits := range b.choices(sets, nil) {
			all.add(d.number(append(kits, sets...)), work)
		}
	}
	delete(all, 0)
	return all
}

// choices returns all numbers of further kits that some sets of one board make.
func (b *Brute) choices(sets, kits []int) iter.Seq[[]int] {
	return func(yield func([]int) bool) {
		if len(kits) == len(b.O.Kits) {
			yield(slices.Clone(kits))
			return
		}
		k, left := b.O.Kits[len(kits)], slices.Clone(sets)
		for n := 0; n <= k.Quantity && slices.Min(left) >= 0; n++ {
			for choice := range b.choices(left, append(kits, n)) {
				if !yield(choice) {
					return
				}
			}
			for _, kp := range k.Parts {
				left[kp.Part] -= kp.Quantity / b.O.Parts[kp.Part].SetSize()
			}
		}
	}
}

// further reaches states with one board more and tells whether that helps.
func (b *Brute) further(states map[int]Answer, options gives, d digits, price int64) bool {
	before, better := make(map[int]Answer, len(states)), false
	for n, s := range states {
		before[n] = s
	}
	for n, s := range before {
		for m, work := range options {
			to, next := d.plus(n, m), Answer{Cost: s.Cost + price + work, Boards: s.Boards + 1}
			if old, ok := states[to]; !ok || next.compare(old) < 0 {
				states[to], better = next, true
			}
		}
	}
	return better
}

// given returns what counts of a state: the parts of a kit that is unmet are unmet.
func (b *Brute) given(counts []int) (kits, sets []int) {
	kits, sets = counts[:len(b.O.Kits)], counts[len(b.O.Kits):]
	most := slices.Clone(b.Want)
	for k, n := range kits {
		for _, kp := range b.O.Kits[k].Parts {
			most[kp.Part] -= (b.O.Kits[k].Quantity - n) * kp.Quantity / b.O.Parts[kp.Part].SetSize()
		}
	}
	for i := range sets {
		sets[i] = min(sets[i], most[i])
	}
	return kits, sets
}
