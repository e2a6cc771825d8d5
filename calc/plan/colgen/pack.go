package colgen

import "sort"

// packer cuts all that is demanded from given numbers of boards of each kind,
// board by board, each filled as well as a short search can.
//
// Source: minimum bin slack, Gupta and Ho, Production Planning and Control 10
// (1999) 598-603; accepting a slack above zero as in Fleszar and Hindi,
// Computers and Operations Research 29 (2002) 821-839 (from memory).
type packer struct {
	stack // of no capacity
	n     *Knapsack
	left  []int
	rest  []int64 // size of all that is left from here on
	take  []int
	found []int
	slack int64 // of found
	allow int64 // slack good enough to stop
	nodes int
	work  int64
	cuts  []packed
	takes []int // of the cuts, one after the other

	orders [][]int // of kinds to fill
}

// packed is some boards cut alike.
type packed struct{ kind, copies int }

// newPacker makes ready to cut a demand.
func newPacker(n *Knapsack, demand []int) *packer {
	f := &packer{n: n, orders: n.orders()}
	for _, i := range n.order {
		if i < len(demand) && demand[i] > 0 {
			f.item = append(f.item, i)
			f.size = append(f.size, n.size[i])
			f.count = append(f.count, demand[i])
		}
	}
	f.left = make([]int, len(f.item))
	f.take, f.found = make([]int, len(f.item)), make([]int, len(f.item))
	f.rest = make([]int64, len(f.item)+1)
	return f
}

// run fills the boards of a mix, kind after kind in the order given. Each board
// may leave share times its part of what all of them leave. It reports whether
// all that is demanded is cut.
func (f *packer) run(mix, order []int, share float64, nodes int) bool {
	copy(f.left, f.count)
	f.cuts, f.takes = f.cuts[:0], f.takes[:0]
	spare, boards := f.spare(mix), total(mix)
	for _, k := range order {
		for todo := mix[k]; todo > 0 && spare >= 0; {
			f.allow = int64(share * float64(spare/int64(boards)))
			if !f.fill(f.n.capacity[k], nodes) {
				return true
			}
			copies := f.cut(todo)
			f.cuts = append(f.cuts, packed{k, copies})
			f.takes = append(f.takes, f.found...)
			todo, boards = todo-copies, boards-copies
			spare -= int64(copies) * f.slack
		}
	}
	return f.done()
}

// plan is what run cut.
func (f *packer) plan() []Use {
	var plan []Use
	for x, c := range f.cuts {
		count := map[int]int{}
		for i, n := range f.takes[x*len(f.item) : (x+1)*len(f.item)] {
			count[f.item[i]] = n
		}
		plan = append(plan, Use{Pattern{c.kind, sortedPieces(count)}, c.copies})
	}
	return plan
}

// spare is what the boards of a mix hold beyond the demand.
func (f *packer) spare(mix []int) int64 {
	spare := int64(0)
	for k, n := range mix {
		spare += int64(n) * f.n.capacity[k]
	}
	for x, c := range f.count {
		spare -= int64(c) * f.size[x]
	}
	return spare
}

// done reports whether nothing is left.
func (f *packer) done() bool {
	for _, c := range f.left {
		if c > 0 {
			return false
		}
	}
	return true
}

// fill searches for the best filling of a board. It reports false when nothing
// is left to cut.
func (f *packer) fill(capacity int64, nodes int) bool {
	for x := len(f.size) - 1; x >= 0; x-- {
		f.rest[x] = f.rest[x+1] + int64(f.left[x])*f.size[x]
	}
	f.slack, f.nodes = capacity+1, nodes
	clear(f.take)
	f.descend(0, capacity)
	f.work += int64(nodes-f.nodes) + int64(2*len(f.size))
	return f.rest[0] > 0
}

// descend tries items from x on in what is left of the board.
func (f *packer) descend(x int, capacity int64) {
	if capacity < f.slack {
		f.slack = capacity
		copy(f.found, f.take)
	}
	x += sort.Search(len(f.size)-x, func(d int) bool { return f.size[x+d] <= capacity })
	for ; x < len(f.size); x++ {
		if f.left[x] == 0 {
			f.work++
			continue
		}
		if f.nodes--; f.nodes < 0 || f.slack <= f.allow || capacity-f.rest[x] >= f.slack {
			return
		}
		for c := int(min(int64(f.left[x]), capacity/f.size[x])); c > 0 && f.slack > f.allow; c-- {
			f.take[x] = c
			f.descend(x+1, capacity-int64(c)*f.size[x])
		}
		f.take[x] = 0
	}
}

// cut takes the filling found away, up to most times and as often as the items
// last.
func (f *packer) cut(most int) int {
	for x, c := range f.found {
		if c > 0 {
			most = min(most, f.left[x]/c)
		}
	}
	for x, c := range f.found {
		f.left[x] -= c * most
	}
	return most
}

// orders are the kinds by rising and by falling capacity.
func (n *Knapsack) orders() [][]int {
	var up, down []int
	for k := range n.capacity {
		up, down = append(up, k), append(down, k)
	}
	sort.SliceStable(up, func(a, b int) bool { return n.capacity[up[a]] < n.capacity[up[b]] })
	sort.SliceStable(down, func(a, b int) bool { return n.capacity[down[a]] > n.capacity[down[b]] })
	return [][]int{up, down}
}
