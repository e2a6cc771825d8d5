package board

import (
	"math"

	"resawd/calc/plan"
)

// labour is what work costs at least, in steps of value: a bound may count on it.
type labour struct {
	pass  [][]int64 // by set of items and length class: a pass
	mount [][]int64 // by group and length class: a billet mounted, with its truing pass
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
	q.labour = nil
	return &q
}

// Note notes what a search of the same problem without the cost of work has spent.
func (p *Problem) Note(q *Problem) { p.Spent, p.Full = q.Spent, p.Full || q.Full }

// Net returns what sets of the items are worth beyond what their passes cost, in
// boards that are neither crosscut nor ripped.
func (p *Problem) Net(value []int64) []int64 {
	net := make([]int64, len(value))
	for i, v := range value {
		net[i] = max(0, v-int64(p.Order.Parts[i].SetSize())*p.PassSteps(0, 0))
	}
	return net
}

// PassSteps returns what a pass through a billet of a length class costs at least, in
// steps of value, where the board may give a set of items.
func (p *Problem) PassSteps(set, l int) int64 {
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
			pass = append(pass, p.passSteps(p.passLong(s, l)))
		}
		p.labour.pass = append(p.labour.pass, pass)
	}
	for _, g := range p.Groups {
		var mount []int64
		for l := range p.Lens {
			mount = append(mount, p.mountSteps(g, p.passLong(g.Set, l)))
		}
		p.labour.mount = append(p.labour.mount, mount)
	}
}

// passLong returns how long a pass through a billet of a length class is.
func (p *Problem) passLong(set, l int) nm {
	if p.Crosscuts() {
		return p.Lens[l]
	}
	return p.Longs[set]
}

// passSteps returns what a pass of a length costs, in steps of value, rounded down.
func (p *Problem) passSteps(long nm) int64 {
	cost := float64(p.Order.PassPrice)
	if r := p.Order.PassLength; r.Price > 0 {
		cost += float64(r.Price) * float64(long) / float64(r.Per)
	}
	return int64(cost * p.Grain * (1 - 1e-12))
}

// mountSteps returns what it costs to mount a billet of a length. What passes cost is
// rounded once a billet, by half a unit at most.
func (p *Problem) mountSteps(g group, long nm) int64 {
	steps := p.Steps(p.Order.BilletPrice)
	if g.trued {
		steps += p.passSteps(long)
	}
	if r := p.Order.PassLength; r.Price > 0 && int64(long)*r.Price%int64(r.Per) != 0 {
		steps -= int64(math.Ceil(p.Grain / 2))
	}
	return steps
}

// trued tells whether billets of a board have a truing pass.
func trued(o plan.Order, b plan.Board) bool { return o.Skim > 0 || b.Bow > 0 }

// BilletWork returns what it costs to saw so many leaves from a billet of a length
// class of a kind of board, 0 where there are none.
func (p *Problem) BilletWork(k, l, leaves int) int64 {
	if leaves == 0 || p.labour == nil {
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

// LeavesOf returns how many leaves a billet is sawn into.
func (p *Problem) LeavesOf(b Billet) int {
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
			sum += p.BilletWork(lay.Kind, st.L, p.LeavesOf(b))
		}
	}
	return sum
}

// Passes returns how many leaves a layout is sawn into, and billets.
func (p *Problem) Passes(lay Layout) (leaves, billets int) {
	for _, st := range lay.Strips {
		for _, b := range st.Billets {
			leaves += p.LeavesOf(b)
			billets++
		}
	}
	return leaves, billets
}
