package board

import (
	"math"
	"slices"

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
