package board

import (
	"math"
	"slices"

	"resawd/calc/plan"
)

// labour is what work costs at least, in steps of value: a bound may count on it.
type labour struct {
	pass  [][]int64 // by set of items and length class: a pass
	mount [][]int64 // by group and length class: a billet mounted, with its truing pass

	leaves []sawings // the leaves of an item
	least  []float64 // the price of the leaves for a set of an item
	paying []int64   // the same in steps of value, rounded up
}

// Priced tells whether work costs anything beside the boards.
func (p *Problem) Priced() bool {
	o := p.Order
	return o.PassPrice > 0 || o.BilletPrice > 0 || o.PassLength.Price > 0
}

// Gross returns the problem with work that costs nothing, to ask what boards can
// give at all.
func (p *Problem) Gross() *Problem {
	if !p.Priced() {
		return p
	}
	q := *p
	q.Order.PassPrice, q.Order.BilletPrice, q.Order.PassLength = 0, 0, plan.Rate{}
	q.labour, q.bounds = nil, nil
	return &q
}

// Note notes what a search of the same problem without the cost of work has spent.
func (p *Problem) Note(q *Problem) { p.Spent, p.Full = q.Spent, p.Full || q.Full }

// Net returns what sets of the items are worth beyond what their passes cost, in
// boards that are neither crosscut nor ripped.
func (p *Problem) Net(value []int64) []int64 {
	net := make([]int64, len(value))
	for i, v := range value {
		net[i] = max(0, v-int64(p.Order.Parts[i].SetSize())*p.passSteps(0, 0))
	}
	return net
}

// passSteps returns what a pass through a billet of a length class costs at least, in
// steps of value, where the board may give a set of items.
func (p *Problem) passSteps(set, l int) int64 {
	if p.labour == nil {
		return 0
	}
	return p.labour.pass[set][l]
}

// MountSteps returns what it costs at least to mount a billet of a group and a length
// class, in steps of value, and the truing pass where there is one.
func (p *Problem) MountSteps(g, l int) int64 {
	if p.labour == nil {
		return 0
	}
	return p.labour.mount[g][l]
}

// SetSteps returns what the leaves of a set of an item cost at least that are sawn from
// a billet of a length class, in steps of value, where the board may give a set of items.
func (p *Problem) SetSteps(set, i, l int) int64 {
	if p.labour == nil {
		return 0
	}
	return int64(p.Order.Parts[i].SetSize()) * p.labour.pass[set][l]
}

// Alike tells whether the leaves of a set of an item cost the same from every billet.
func (p *Problem) Alike(i int) bool {
	o := p.Order
	return o.PassLength.Price == 0 && (o.PassPrice == 0 || slices.Max(p.Items[i].ends)*slices.Max(p.Items[i].sides) == 1)
}

// AlikeSteps returns what the leaves of a set cost, in steps of value rounded down, where
// they cost the same from every billet, and else 0.
func (p *Problem) AlikeSteps(i int) int64 {
	if !p.Priced() || !p.Alike(i) {
		return 0
	}
	return int64(p.Order.Parts[i].SetSize()) * p.passStepsAt(0)
}

// AlikeWork returns what the leaves of a need cost that cost the same from every billet.
func (p *Problem) AlikeWork(need []int) int64 {
	var sum int64
	for i, n := range need {
		if p.Alike(i) {
			sum += int64(n*p.Order.Parts[i].SetSize()) * p.Order.PassPrice
		}
	}
	return sum
}

// billetSteps returns what the work on a billet of a group and a length class is at
// least, in steps of value.
func (p *Problem) billetSteps(g, l int, stacks []Stack) int64 {
	if p.labour == nil || len(stacks) == 0 {
		return 0
	}
	sum := p.MountSteps(g, l)
	for _, s := range stacks {
		sum += int64(s.Count) * p.SetSteps(p.Groups[g].Set, s.Item, l)
	}
	return sum
}

// NetWorth returns what a layout is worth beyond the work on it: what is beyond a limit,
// nothing.
func (p *Problem) NetWorth(lay Layout, value []int64, limit []int) int64 {
	worth := Worth(lay.Pieces(), value, limit)
	if p.labour == nil {
		return worth
	}
	for _, st := range lay.Strips {
		for _, bl := range st.Billets {
			worth -= p.billetSteps(p.Kinds[lay.Kind].Group, st.L, bl.Stacks)
		}
	}
	return worth
}

// Steps returns a price in steps of value, rounded down.
func (p *Problem) Steps(price int64) int64 { return int64(float64(price) * p.Grain * (1 - 1e-12)) }

// addLabour says what work costs at least.
func (p *Problem) addLabour() {
	if !p.Priced() {
		return
	}
	p.labour = &labour{}
	for s := range p.Sets {
		var pass []int64
		for l := range p.Lens {
			pass = append(pass, p.passStepsAt(p.passLong(s, l)))
		}
		p.labour.pass = append(p.labour.pass, pass)
	}
	for _, g := range p.Groups {
		var mount []int64
		for l := range p.Lens {
			mount = append(mount, p.mountStepsAt(g, p.passLong(g.Set, l)))
		}
		p.labour.mount = append(p.labour.mount, mount)
	}
	for i := range p.Items {
		leaves := p.sawings(i)
		least := leaves.each()
		p.labour.leaves = append(p.labour.leaves, leaves)
		p.labour.least = append(p.labour.least, least)
		p.labour.paying = append(p.labour.paying, 1+int64(math.Ceil(least*p.Grain)))
	}
}

// passLong returns how long a pass through a billet of a length class is.
func (p *Problem) passLong(set, l int) nm {
	if p.Crosscuts() {
		return p.Lens[l]
	}
	return p.Longs[set]
}

// passStepsAt returns what a pass of a length costs, in steps of value. What passes cost is
// rounded once a billet, but in whole prices of a pass, rounded down, they cost no less.
func (p *Problem) passStepsAt(long nm) int64 { return p.Steps(p.wholePass(long)) }

// mountStepsAt returns what it costs to mount a billet of a length.
func (p *Problem) mountStepsAt(g group, long nm) int64 {
	steps := p.Steps(p.Order.BilletPrice)
	if g.trued {
		steps += p.passStepsAt(long)
	}
	return steps
}

// WorkGrain returns how many steps of value a unit of price is that is spent on work, 0
// where work costs nothing.
func (p *Problem) WorkGrain() float64 {
	if !p.Priced() {
		return 0
	}
	return p.Grain
}

// WorkSteps returns how many steps of value work of a price makes up for, rounded up.
func (p *Problem) WorkSteps(price int64) int64 {
	return int64(math.Ceil(float64(price) * p.WorkGrain() * (1 + 1e-12)))
}

// wholePass returns what a pass of a length costs, rounded down.
func (p *Problem) wholePass(long nm) int64 {
	r := p.Order.PassLength
	return p.Order.PassPrice + int64(long)*r.Price/max(1, int64(r.Per))
}

// shortest returns how long the passes are at least that boards of a kind take, in
// billets of a length class or longer ones.
func (p *Problem) shortest(k, l int) nm {
	if p.Crosscuts() {
		return p.Lens[l]
	}
	return p.Order.Boards[k].Length
}

// LeastMount returns what it costs at least to mount a billet of a kind of board.
func (p *Problem) LeastMount(k int) int64 {
	if !p.Priced() {
		return 0
	}
	sum := p.Order.BilletPrice
	if trued(p.Order, p.Order.Boards[k]) {
		sum += p.wholePass(p.shortest(k, 0))
	}
	return sum
}

// trued tells whether billets of a board have a truing pass.
func trued(o plan.Order, b plan.Board) bool { return o.Skim > 0 || b.Bow > 0 }

// BilletWork returns what it costs to saw so many leaves from a billet of a length
// class of a kind of board, 0 where there are none.
func (p *Problem) BilletWork(k, l, leaves int) int64 {
	if leaves == 0 {
		return 0
	}
	return p.Mounted(k, l, leaves)
}

// Mounted is BilletWork for a billet that is mounted though there are no leaves to count.
func (p *Problem) Mounted(k, l, leaves int) int64 {
	if p.labour == nil {
		return 0
	}
	b := p.Order.Boards[k]
	if trued(p.Order, b) {
		leaves++
	}
	long := b.Length
	if p.Crosscuts() {
		long = p.Lens[l]
	}
	return p.Order.BilletCost(leaves, long)
}

// Evenly returns what every leaf of a set of an item costs, and what a board of each
// kind costs with its one billet mounted, where boards are neither crosscut nor ripped
// and a leaf costs the same from each: false where it does not.
func (p *Problem) Evenly() (leaf int64, boards []int64, ok bool) {
	for k, b := range p.Order.Boards {
		one := p.BilletWork(k, 0, 1)
		next := p.BilletWork(k, 0, 2) - one
		r := p.Order.PassLength
		if k > 0 && next != leaf || r.Price > 0 && int64(b.Length)*r.Price%int64(r.Per) != 0 {
			return 0, nil, false
		}
		leaf = next
		boards = append(boards, b.Price+one-next)
	}
	return leaf, boards, true
}

// leavesOf returns how many leaves a billet is sawn into.
func (p *Problem) leavesOf(b Billet) int {
	n := 0
	for _, s := range b.Stacks {
		n += s.Count * p.Order.Parts[s.Item].SetSize()
	}
	return n
}

// Work returns what the passes and the billets of a layout cost.
func (p *Problem) Work(lay Layout) int64 {
	if p.labour == nil {
		return 0
	}
	var sum int64
	for _, st := range lay.Strips {
		for _, b := range st.Billets {
			sum += p.BilletWork(lay.Kind, st.L, p.leavesOf(b))
		}
	}
	return sum
}

// PassesOf returns how many passes the boards of a plan take.
func (p *Problem) PassesOf(plan []Layout) int {
	n := 0
	for _, lay := range plan {
		for _, st := range lay.Strips {
			for _, b := range st.Billets {
				n += p.leavesOf(b)
				if trued(p.Order, p.Order.Boards[lay.Kind]) {
					n++
				}
			}
		}
	}
	return n
}

// Paying returns values at which no set is worth less than its leaves cost at least. It
// raises those that are lower.
func (p *Problem) Paying(value []int64) []int64 {
	if p.labour == nil {
		return value
	}
	for i, least := range p.labour.paying {
		value[i] = max(value[i], least)
	}
	return value
}

// Worthy returns values at which a billet is worth its mounting for a single set. It
// raises those that are given, by no more than that costs.
func (p *Problem) Worthy(value []int64) []int64 {
	if !p.Priced() {
		return value
	}
	for i, it := range p.Items {
		var most int64
		for _, g := range p.Groups {
			if slices.Contains(p.Sets[g.Set], i) && g.Room[it.Len] >= 0 {
				most = max(most, p.mountStepsAt(g, p.passLong(g.Set, it.Len))+int64(p.Order.Parts[i].SetSize())*p.passSteps(g.Set, it.Len))
			}
		}
		value[i] += most
	}
	return value
}
