package plan

import (
	"math"
	"math/big"
	"slices"
	"strings"
)

// problem is an order prepared for the search: parts as items counted in
// matched sets, their distinct lengths and widths as classes, and what each
// kind of board has room for.
type problem struct {
	order  Order
	items  []item
	lens   []nm // distinct lengths of parts, rising; one 0 when nothing is crosscut
	wids   []nm // distinct widths of parts, rising; one 0 when nothing is ripped
	kinds  []kind
	groups []group
	sets   [][]int // of items that a board may give, each rising
	spent  int64   // steps of work of the greedy method
	fine   float64 // steps of value for a unit of price
}

// item is a matched set of a part.
type item struct {
	size     nm  // thickness it takes, kerfs included
	need     int // sets wanted
	len, wid int // classes: it fits these and all larger ones
}

// kind is a board on the rack.
type kind struct {
	group int
	rip   nm // width + rip kerf
	segs  []segment
}

// segment is a stretch of a board between defects; a piece may end at its end.
type segment struct {
	from, to nm
	most     int // the longest class of lengths that may lie in it
}

// group gathers boards that give the same billets, whatever their face.
type group struct {
	set  int  // index into problem.sets
	room []nm // thickness for leaves of a billet, per length class; -1: no such billet
	rip  nm   // the widest board's width + rip kerf
}

// prepare turns a valid order into a problem.
func prepare(o Order) *problem {
	p := &problem{order: o}
	for _, part := range o.Parts {
		p.lens, p.wids = append(p.lens, part.Length), append(p.wids, part.Width)
	}
	p.lens, p.wids = distinct(p.lens), distinct(p.wids)
	for _, part := range o.Parts {
		l, _ := slices.BinarySearch(p.lens, part.Length)
		w, _ := slices.BinarySearch(p.wids, part.Width)
		p.items = append(p.items, item{nm(part.set()) * (part.Thickness + o.Kerf), part.sets(), l, w})
	}
	p.addKinds()
	p.fine = p.grain()
	return p
}

// allWorth is what all that is wanted is worth at most, in steps of value: no
// number of boards that can be taken is worth more than 64 bits hold.
const allWorth = 1 << 40

// grain returns how many steps of value make a unit of price.
func (p *problem) grain() float64 {
	dearest, sets := int64(1), 1
	for _, b := range p.order.Boards {
		dearest = max(dearest, b.Price)
	}
	for _, it := range p.items {
		sets += it.need
	}
	return allWorth / (float64(dearest) * float64(sets))
}

// distinct returns the distinct values of a list, rising.
func distinct(list []nm) []nm {
	slices.Sort(list)
	return slices.Compact(list)
}

// crosscuts and rips say whether boards are crosscut and ripped at all.
func (p *problem) crosscuts() bool { return p.lens[0] > 0 }
func (p *problem) rips() bool      { return p.wids[0] > 0 }

// addKinds fills in the kinds of board and their groups.
func (p *problem) addKinds() {
	for _, b := range p.order.Boards {
		set := p.setOf(b)
		rooms := p.rooms(b)
		g := slices.IndexFunc(p.groups, func(g group) bool { return g.set == set && slices.Equal(g.room, rooms) })
		if g < 0 {
			g = len(p.groups)
			p.groups = append(p.groups, group{set: set, room: rooms})
		}
		k := kind{group: g, rip: b.Width + p.order.RipKerf, segs: p.segments(b)}
		p.groups[g].rip = max(p.groups[g].rip, k.rip)
		p.kinds = append(p.kinds, k)
	}
}

// setOf returns the index of the set of items that a board may give.
func (p *problem) setOf(b Board) int {
	var set []int
	for i, part := range p.order.Parts {
		if suits(b, part) {
			set = append(set, i)
		}
	}
	for s := range p.sets {
		if slices.Equal(p.sets[s], set) {
			return s
		}
	}
	p.sets = append(p.sets, set)
	return len(p.sets) - 1
}

// suits tells whether a board is of the species and sawn as a part asks.
func suits(b Board, p Part) bool {
	return (p.Species == "" || strings.EqualFold(p.Species, b.Species)) &&
		(p.Sawn == "" || strings.EqualFold(p.Sawn, b.Sawn))
}

// rooms returns the thickness that billets of a board have for leaves, per
// length class, or -1 where the board or the saw does not allow the billet.
func (p *problem) rooms(b Board) []nm {
	rooms := make([]nm, len(p.lens))
	height, carry := p.order.Saw.CuttingHeight, p.order.Saw.BilletLength
	for l, long := range p.lens {
		if !p.crosscuts() {
			long = b.Length
		}
		tooHigh := !p.rips() && height > 0 && b.Width > height
		if tooHigh || long > b.Length || carry > 0 && long > carry {
			rooms[l] = -1
			continue
		}
		rooms[l] = max(-1, b.Thickness-p.order.HoldBack-skimLoss(p.order, b, long))
	}
	return rooms
}

// highest returns the number of width classes that stand in the saw.
func (p *problem) highest() int {
	height := p.order.Saw.CuttingHeight
	if height == 0 || !p.rips() {
		return len(p.wids)
	}
	n, found := slices.BinarySearch(p.wids, height)
	if found {
		n++
	}
	return n
}

// skimDepth returns how deep the truing cut of a billet of a length goes: the
// skim and what is left of the bow, which falls with the square of the length,
// but no less than can be set.
func skimDepth(o Order, b Board, long nm) nm {
	depth := o.Skim + bowOver(b, long)
	if depth == 0 {
		return 0
	}
	return max(depth, o.LeastSkim)
}

// bowOver returns what a billet of a length has of the bow of its board.
func bowOver(b Board, long nm) nm {
	if b.Bow == 0 || b.Length == 0 {
		return b.Bow
	}
	square := func(s nm) *big.Int { return new(big.Int).Mul(big.NewInt(int64(s)), big.NewInt(int64(s))) }
	bow, whole := square(long), square(b.Length)
	bow.Mul(bow, big.NewInt(int64(b.Bow)))
	bow.Add(bow, whole).Sub(bow, big.NewInt(1))
	return nm(bow.Div(bow, whole).Int64())
}

// skimLoss returns the thickness that the truing cut takes, kerf included.
func skimLoss(o Order, b Board, long nm) nm {
	depth := skimDepth(o, b, long)
	if depth == 0 {
		return 0
	}
	return depth + o.Kerf
}

// segments returns the stretches of a board that are free of defects, between
// the trimmed ends.
func (p *problem) segments(b Board) []segment {
	if !p.crosscuts() {
		return nil
	}
	defects := slices.Clone(b.Defects)
	slices.SortFunc(defects, func(x, y Defect) int { return int(min(1, max(-1, x.From-y.From))) })
	var segs []segment
	from, end := p.order.EndTrim, b.Length-p.order.EndTrim
	for _, d := range defects {
		if to := min(d.From, end); to > from {
			segs = append(segs, segment{from, to, len(p.lens) - 1})
		}
		from = max(from, d.To)
	}
	if end > from {
		segs = append(segs, segment{from, end, len(p.lens) - 1})
	}
	return segs
}

// volumes returns a value for each item in proportion to the wood its sets
// take up, kerfs included, scaled so that everything wanted is worth about 2^40.
func (p *problem) volumes(need []int) []int64 {
	total := 0.0
	for i := range p.items {
		total += p.volume(i) * float64(need[i])
	}
	value := make([]int64, len(p.items))
	for i := range value {
		value[i] = 1 + int64(math.Round(p.volume(i)/max(total, 1)*(1<<40)))
	}
	return value
}

// volume returns the wood that a set of an item takes up, kerfs included.
func (p *problem) volume(i int) float64 {
	it := p.items[i]
	v := float64(it.size)
	if p.crosscuts() {
		v *= float64(p.lens[it.len] + p.order.CrosscutKerf)
	}
	if p.rips() {
		v *= float64(p.wids[it.wid] + p.order.RipKerf)
	}
	return v
}

// possible returns how many sets of each item are wanted, none of items that
// fit no board on the rack.
func (p *problem) possible() []int {
	need := make([]int, len(p.items))
	for k, kd := range p.kinds {
		if p.order.Boards[k].Quantity == 0 {
			continue
		}
		for _, i := range p.sets[p.groups[kd.group].set] {
			if p.fits(kd, i) {
				need[i] = p.items[i].need
			}
		}
	}
	return need
}

// fits tells whether a set of an item can be cut from a kind of board.
func (p *problem) fits(kd kind, i int) bool {
	it := p.items[i]
	_, placed := kd.place(0, p.lens[it.len])
	return (placed || !p.crosscuts()) && it.wid < p.highest() && it.size <= p.groups[kd.group].room[it.len] &&
		(!p.rips() || p.wids[it.wid]+p.order.RipKerf <= kd.rip)
}

// none tells whether there is nothing left.
func none(left []int) bool { return !slices.ContainsFunc(left, func(n int) bool { return n > 0 }) }

// price returns what a board costs.
func (p *problem) price(k int) int64 { return p.order.Boards[k].Price }

// most returns how many boards of a kind a plan of at most a cost can have.
func (p *problem) most(k int, cost int64) int64 {
	n := int64(MaxQuantity)
	b := p.order.Boards[k]
	if b.Quantity != Unlimited {
		n = int64(b.Quantity)
	}
	if b.Price > 0 {
		n = min(n, cost/b.Price)
	}
	return n
}

// values returns prices of items as whole numbers.
func (p *problem) values(price []float64) []int64 {
	v := make([]int64, len(price))
	for i, x := range price {
		v[i] = int64(x * p.fine)
	}
	return v
}

// stock returns how many boards of each kind there are.
func (p *problem) stock() []int {
	stock := make([]int, len(p.kinds))
	for k, b := range p.order.Boards {
		if stock[k] = b.Quantity; b.Quantity == Unlimited {
			stock[k] = math.MaxInt32
		}
	}
	return stock
}

// place returns the first place from at on where a piece keeps clear of
// defects.
func (kd kind) place(at, long nm) (nm, bool) {
	for _, s := range kd.segs {
		if from := max(at, s.from); from+long <= s.to {
			return from, true
		}
	}
	return 0, false
}

// total returns what a need is worth.
func total(v []int64, need []int) int64 {
	var sum int64
	for i, n := range need {
		sum += v[i] * int64(n)
	}
	return sum
}

// covers tells whether there is as much of everything.
func covers(has, want []int) bool {
	for i := range want {
		if has[i] < want[i] {
			return false
		}
	}
	return true
}
