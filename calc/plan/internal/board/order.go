package board

import (
	"math"
	"math/big"
	"slices"
	"strings"

	"resawd/calc/plan"
)

// Problem is an order prepared for the search: parts as items counted in
// matched sets, their distinct lengths and widths as classes, and what each
// kind of board has room for.
type Problem struct {
	Order   plan.Order
	Items   []Item
	Lens    []nm // distinct lengths of billets, rising; one 0 when nothing is crosscut
	Wids    []nm // distinct widths of billets, rising; one 0 when nothing is ripped
	Kinds   []Kind
	kits    [][]int  // by kit and item: sets of the item in one kit
	makings [][]Sets // the same, by kit
	Groups  []group
	Sets    [][]int // of items that a board may give, each rising
	Longs   []nm    // by set: the boards' length, where they are not crosscut and a pass costs by its length
	labour  *labour // nil where work costs nothing
	Spent   int64   // steps of work of the greedy method
	Grain   float64 // steps of value for a unit of price
	Full    bool    // something was left out of a search for want of memory, at some time

	divides bool     // leaves
	coarse  bool     // sizes of billets, as suits a bound
	within  int      // so many classes of lengths and of widths, where that is so
	classes int      // of sizes of billets for bounds, where plans make do with fewer sizes; 0 where they do not
	bounds  *Problem // with these, once it is asked for; of a problem for bounds, that with more of them
}

// Item is a matched set of a part.
type Item struct {
	Size     nm  // thickness it takes, kerfs included
	Need     int // sets wanted
	Len, Wid int // classes: it fits these and all larger ones

	// Places for it in a leaf: end to end by length class, side by side by width class.
	ends, sides []int
	long, wide  float64 // what a copy takes of a board at least, along and across, kerf included
}

// Kind is a board on the rack.
type Kind struct {
	Group int
	Rip   nm // width + rip kerf
	Segs  []Segment
}

// Segment is a stretch of a board between defects; a piece may end at its end.
type Segment struct {
	From, To nm
	Most     int // the longest class of lengths that may lie in it
}

// group gathers boards that give the same billets, whatever their face.
type group struct {
	Set  int  // index into problem.sets
	Room []nm // thickness for leaves of a billet, per length class; -1: no such billet
	rip  nm   // the widest board's width + rip kerf

	trued bool // billets have a truing pass; false where that costs nothing
}

// Prepare turns a valid order into a problem. Where leaves can be divided in very many
// ways, plans make do with some sizes of billets, and bounds with classes of sizes.
func Prepare(o plan.Order) *Problem {
	long, wide := ways(o)
	lens, wids := long.sizes(), wide.sizes()
	if len(lens)*len(wids) <= mostSizes || !slices.Contains(divisible(long, wide), true) {
		return prepare(o, exactly(lens), exactly(wids))
	}
	return thin(o, fewSizes, fewClasses)
}

// thin is Prepare with few sizes for plans, and few classes for bounds.
func thin(o plan.Order, sizes, classes int) *Problem {
	long, wide := ways(o)
	p := prepare(o, exactly(long.few(sizes)), exactly(wide.few(sizes)))
	p.classes = classes
	return p
}

// Up to how many lengths times widths of billets all are considered, and otherwise how
// many lengths and widths for plans, if that is more than one for each part, and how many
// classes of them for bounds.
const (
	mostSizes  = 1500
	fewSizes   = 30
	fewClasses = 14

	mostBillets = 150_000 // lengths, widths and groups of boards, where bounds have more classes
)

// Bounds returns the problem for bounds: it allows all plans, and where it is not the
// same, more than that.
func (p *Problem) Bounds() *Problem {
	if !p.Thinned() {
		return p
	}
	if p.bounds == nil {
		p.bounds = p.inClasses(p.classes)
	}
	return p.bounds
}

// inClasses returns the problem with so many classes of lengths and of widths of billets
// at most.
func (p *Problem) inClasses(n int) *Problem {
	long, wide := ways(p.Order)
	lens, wids := long.sizes(), wide.sizes()
	q := prepare(p.Order, joined(lens, n), joined(wids, n))
	q.within, q.coarse = n, n < max(len(lens), len(wids))
	return q
}

// Finer returns a problem for bounds with twice as many classes of sizes of billets, nil
// where there are no more or they would be too many.
func (p *Problem) Finer() *Problem {
	if !p.coarse {
		return nil
	}
	q := p.inClasses(2 * p.within)
	if len(q.Lens)*len(q.Wids)*len(q.Groups) > mostBillets {
		return nil
	}
	p.bounds = q
	return q
}

// Thinned tells whether plans make do with some sizes of billets.
func (p *Problem) Thinned() bool { return p.classes > 0 }

// Filled tells whether something was left out of a search for want of memory.
func (p *Problem) Filled() bool { return p.Full || p.bounds != nil && p.bounds.Filled() }

// Coarse tells whether a problem for bounds has classes of sizes of billets that are not
// the same.
func (p *Problem) Coarse() bool { return p.coarse }

// Undivided returns the problem without divided leaves.
func (p *Problem) Undivided() *Problem {
	o := p.Order
	o.Parts = slices.Clone(o.Parts)
	for i := range o.Parts {
		o.Parts[i].Divide = false
	}
	return Prepare(o)
}

// Adopted returns cuts of the undivided problem as those of this one.
func (p *Problem) Adopted(u *Problem, cuts []Use) []Use {
	var out []Use
	for _, c := range cuts {
		c.Layout = p.adopt(u, c.Layout)
		out = append(out, c)
	}
	return out
}

// Plain returns cuts of the divided problem as those of this one, false where they divide
// leaves.
func (p *Problem) Plain(d *Problem, cuts []Use) ([]Use, bool) {
	for _, c := range cuts {
		for s := range c.Stacks() {
			if s.Places > 1 {
				return nil, false
			}
		}
	}
	return p.Adopted(d, cuts), true
}

// adopt returns a layout of the undivided problem as one of this one.
func (p *Problem) adopt(u *Problem, lay Layout) Layout {
	lay = lay.Clone()
	for s := range lay.Strips {
		st := &lay.Strips[s]
		st.L, _ = slices.BinarySearch(p.Lens, u.Lens[st.L])
		for b := range st.Billets {
			bl := &st.Billets[b]
			bl.W, _ = slices.BinarySearch(p.Wids, u.Wids[bl.W])
			for i := range bl.Stacks {
				bl.Stacks[i].Places = p.Places(bl.Stacks[i].Item, st.L, bl.W)
			}
		}
	}
	return lay
}

// prepare is Prepare for classes of lengths and widths of billets.
func prepare(o plan.Order, lens, wids []class) *Problem {
	p := &Problem{Order: o}
	for _, c := range lens {
		p.Lens = append(p.Lens, c.size)
	}
	for _, c := range wids {
		p.Wids = append(p.Wids, c.size)
	}
	long, wide := ways(o)
	for i, part := range o.Parts {
		it := Item{Size: nm(part.SetSize()) * (part.Thickness + o.Kerf), Need: part.SetCount()}
		it.Len, it.ends = long.places(i, lens)
		it.Wid, it.sides = wide.places(i, wids)
		it.long, it.wide = long.takes(i), wide.takes(i)
		p.Items = append(p.Items, it)
		p.divides = p.divides || slices.Max(it.ends) > 1 || slices.Max(it.sides) > 1
	}
	p.addKinds()
	p.addKits()
	p.Grain = p.stepsOfValue()
	p.addLabour()
	return p
}

// allWorth is what all that is wanted is worth at most, in steps of value: no
// number of boards that can be taken is worth more than 64 bits hold.
const allWorth = 1 << 40

// stepsOfValue returns how many steps of value make a unit of price: no set is worth
// more than a board and the work on a billet for it alone.
func (p *Problem) stepsOfValue() float64 {
	dearest, sets, leaves := int64(1), 1, 1
	for i, it := range p.Items {
		sets += it.Need
		leaves = max(leaves, 1+p.Order.Parts[i].SetSize())
	}
	for _, b := range p.Order.Boards {
		dearest = max(dearest, b.Price+p.Order.BilletCost(leaves, b.Length))
	}
	return allWorth / (float64(dearest) * float64(sets))
}

// Crosscuts says whether boards are crosscut at all.
func (p *Problem) Crosscuts() bool { return p.Lens[0] > 0 }

// Rips says whether they are ripped.
func (p *Problem) Rips() bool { return p.Wids[0] > 0 }

// addKinds fills in the kinds of board and their groups.
func (p *Problem) addKinds() {
	for _, b := range p.Order.Boards {
		set := p.setOf(b)
		rooms := p.rooms(b)
		trued := p.Priced() && trued(p.Order, b)
		g := slices.IndexFunc(p.Groups, func(g group) bool {
			return g.Set == set && g.trued == trued && slices.Equal(g.Room, rooms)
		})
		if g < 0 {
			g = len(p.Groups)
			p.Groups = append(p.Groups, group{Set: set, Room: rooms, trued: trued})
		}
		k := Kind{Group: g, Rip: b.Width + p.Order.RipKerf, Segs: p.segments(b)}
		p.Groups[g].rip = max(p.Groups[g].rip, k.Rip)
		p.Kinds = append(p.Kinds, k)
	}
}

// setOf returns the index of the set of items that a board may give.
func (p *Problem) setOf(b plan.Board) int {
	var set []int
	for i, part := range p.Order.Parts {
		if Suits(b, part) {
			set = append(set, i)
		}
	}
	var long nm
	if !p.Crosscuts() && p.Order.PassLength.Price > 0 {
		long = b.Length
	}
	for s := range p.Sets {
		if p.Longs[s] == long && slices.Equal(p.Sets[s], set) {
			return s
		}
	}
	p.Sets, p.Longs = append(p.Sets, set), append(p.Longs, long)
	return len(p.Sets) - 1
}

// Suits tells whether a board is of the species and sawn as a part asks.
func Suits(b plan.Board, p plan.Part) bool {
	return (p.Species == "" || strings.EqualFold(p.Species, b.Species)) &&
		(p.Sawn == "" || strings.EqualFold(p.Sawn, b.Sawn))
}

// rooms returns the thickness that billets of a board have for leaves, per
// length class, or -1 where the board or the saw does not allow the billet.
func (p *Problem) rooms(b plan.Board) []nm {
	rooms := make([]nm, len(p.Lens))
	height, carry := p.Order.Saw.CuttingHeight, p.Order.Saw.BilletLength
	for l, long := range p.Lens {
		if !p.Crosscuts() {
			long = b.Length
		}
		tooHigh := !p.Rips() && height > 0 && b.Width > height
		if tooHigh || long > b.Length || carry > 0 && long > carry {
			rooms[l] = -1
			continue
		}
		rooms[l] = max(-1, b.Thickness-p.Order.HoldBack-SkimLoss(p.Order, b, long))
	}
	return rooms
}

// Highest returns the number of width classes that stand in the saw.
func (p *Problem) Highest() int {
	height := p.Order.Saw.CuttingHeight
	if height == 0 || !p.Rips() {
		return len(p.Wids)
	}
	n, found := slices.BinarySearch(p.Wids, height)
	if found {
		n++
	}
	return n
}

// skimDepth returns how deep the truing cut of a billet of a length goes: the
// skim and what is left of the bow, which falls with the square of the length,
// but no less than can be set.
func skimDepth(o plan.Order, b plan.Board, long nm) nm {
	depth := o.Skim + bowOver(b, long)
	if depth == 0 {
		return 0
	}
	return max(depth, o.LeastSkim)
}

// bowOver returns what a billet of a length has of the bow of its board.
func bowOver(b plan.Board, long nm) nm {
	if b.Bow == 0 || b.Length == 0 {
		return b.Bow
	}
	square := func(s nm) *big.Int { return new(big.Int).Mul(big.NewInt(int64(s)), big.NewInt(int64(s))) }
	bow, whole := square(long), square(b.Length)
	bow.Mul(bow, big.NewInt(int64(b.Bow)))
	bow.Add(bow, whole).Sub(bow, big.NewInt(1))
	return nm(bow.Div(bow, whole).Int64())
}

// SkimLoss returns the thickness that the truing cut takes, kerf included.
func SkimLoss(o plan.Order, b plan.Board, long nm) nm {
	depth := skimDepth(o, b, long)
	if depth == 0 {
		return 0
	}
	return depth + o.Kerf
}

// segments returns the stretches of a board that billets may lie in.
func (p *Problem) segments(b plan.Board) []Segment {
	if !p.Crosscuts() {
		return nil
	}
	segs := Sound(p.Order, b)
	for i := range segs {
		segs[i].Most = len(p.Lens) - 1
	}
	return segs
}

// Sound returns the stretches of a board that are free of defects, between the
// trimmed ends.
func Sound(o plan.Order, b plan.Board) []Segment {
	defects := slices.Clone(b.Defects)
	slices.SortFunc(defects, func(x, y plan.Defect) int { return int(min(1, max(-1, x.From-y.From))) })
	var segs []Segment
	from, end := o.EndTrim, b.Length-o.EndTrim
	for _, d := range defects {
		if to := min(d.From, end); to > from {
			segs = append(segs, Segment{From: from, To: to})
		}
		from = max(from, d.To)
	}
	if end > from {
		segs = append(segs, Segment{From: from, To: end})
	}
	return segs
}

// Volumes returns a value for each item in proportion to the wood its sets
// take up, kerfs included, scaled so that everything wanted is worth about 2^40.
func (p *Problem) Volumes(need []int) []int64 {
	total := 0.0
	for i := range p.Items {
		total += p.Volume(i) * float64(need[i])
	}
	value := make([]int64, len(p.Items))
	for i := range value {
		value[i] = 1 + int64(math.Round(p.Volume(i)/max(total, 1)*(1<<40)))
	}
	return value
}

// Volume returns the wood that a set of an item takes up at least, kerfs included.
func (p *Problem) Volume(i int) float64 {
	it := p.Items[i]
	v := float64(it.Size)
	if p.Crosscuts() {
		v *= it.long
	}
	if p.Rips() {
		v *= it.wide
	}
	return v
}

// Possible returns how many sets of each item are wanted, none of items that
// fit no board on the rack.
func (p *Problem) Possible() []int {
	need := make([]int, len(p.Items))
	for k, kd := range p.Kinds {
		if p.Order.Boards[k].Quantity == 0 {
			continue
		}
		for _, i := range p.Sets[p.Groups[kd.Group].Set] {
			if p.Fits(kd, i) {
				need[i] = p.Items[i].Need
			}
		}
	}
	return need
}

// Fits tells whether a set of an item can be cut from a kind of board.
func (p *Problem) Fits(kd Kind, i int) bool {
	it := p.Items[i]
	_, placed := kd.Place(0, p.Lens[it.Len])
	return (placed || !p.Crosscuts()) && it.Wid < p.Highest() && it.Size <= p.Groups[kd.Group].Room[it.Len] &&
		(!p.Rips() || p.Wids[it.Wid]+p.Order.RipKerf <= kd.Rip)
}

// Still returns what is still wanted of what is left: nothing of an item that has been
// given beyond the need.
func Still(left []int) []int {
	if !slices.ContainsFunc(left, func(n int) bool { return n < 0 }) {
		return left
	}
	left = slices.Clone(left)
	for i, n := range left {
		left[i] = max(0, n)
	}
	return left
}

// None tells whether there is nothing left.
func None(left []int) bool { return !slices.ContainsFunc(left, func(n int) bool { return n > 0 }) }

// Price returns what a board costs.
func (p *Problem) Price(k int) int64 { return p.Order.Boards[k].Price }

// Most returns how many boards of a kind a plan of at most a cost can have.
func (p *Problem) Most(k int, cost int64) int64 {
	n := int64(plan.MaxQuantity)
	b := p.Order.Boards[k]
	if b.Quantity != plan.Unlimited {
		n = int64(b.Quantity)
	}
	if b.Price > 0 {
		n = min(n, cost/b.Price)
	}
	return n
}

// Values returns prices of items as whole numbers.
func (p *Problem) Values(price []float64) []int64 {
	v := make([]int64, len(price))
	for i, x := range price {
		v[i] = int64(x * p.Grain)
	}
	return v
}

// Stock returns how many boards of each kind there are.
func (p *Problem) Stock() []int {
	stock := make([]int, len(p.Kinds))
	for k, b := range p.Order.Boards {
		if stock[k] = b.Quantity; b.Quantity == plan.Unlimited {
			stock[k] = math.MaxInt32
		}
	}
	return stock
}

// Place returns the first place from at on where a piece keeps clear of
// defects.
func (kd Kind) Place(at, long nm) (nm, bool) {
	for _, s := range kd.Segs {
		if from := max(at, s.From); from+long <= s.To {
			return from, true
		}
	}
	return 0, false
}

// Total returns what a need is worth.
func Total(v []int64, need []int) int64 {
	var sum int64
	for i, n := range need {
		sum += v[i] * int64(n)
	}
	return sum
}

// Covers tells whether there is as much of everything.
func Covers(has, want []int) bool {
	for i := range want {
		if has[i] < want[i] {
			return false
		}
	}
	return true
}

// Face returns the size of a board as a price, so that no board is better than
// another but by how well it is used.
func (p *Problem) Face(k int) int64 {
	b := p.Order.Boards[k]
	return 1 + int64(float64(b.Thickness)*float64(max(1, b.Width))*float64(max(1, b.Length))/1e15)
}
