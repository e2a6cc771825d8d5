package pack

import (
	"sort"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/knapsack"
	"resawd/calc/plan/colgen/internal/relax"
)

// Packer cuts all that is demanded from given numbers of boards of each kind,
// board by board, each filled as well as a short search can.
//
// Source: minimum bin slack, Gupta and Ho, Production Planning and Control 10
// (1999) 598-603; accepting a slack above zero as in Fleszar and Hindi,
// Computers and Operations Research 29 (2002) 821-839 (from memory).
type Packer struct {
	Sizes // of no capacity
	N     *knapsack.Knapsack
	left  []int
	rest  []int64 // size of all that is left from here on
	take  []int
	found []int
	slack int64 // of found
	allow int64 // slack good enough to stop
	nodes int
	Work  int64
	cuts  []packed
	takes []int // of the cuts, one after the other

	Orders [][]int // of kinds to fill
}

// packed is some boards cut alike.
type packed struct{ kind, copies int }

// NewPacker makes ready to cut a demand.
func NewPacker(n *knapsack.Knapsack, demand []int) *Packer {
	f := &Packer{N: n, Orders: orders(n)}
	for _, i := range n.Order {
		if i < len(demand) && demand[i] > 0 {
			f.item = append(f.item, i)
			f.size = append(f.size, n.Size[i])
			f.Count = append(f.Count, demand[i])
		}
	}
	f.left = make([]int, len(f.item))
	f.take, f.found = make([]int, len(f.item)), make([]int, len(f.item))
	f.rest = make([]int64, len(f.item)+1)
	return f
}

// Run fills the boards of a mix, kind after kind in the order given. Each board
// may leave share times its part of what all of them leave. It reports whether
// all that is demanded is cut.
func (f *Packer) Run(mix, order []int, share float64, nodes int) bool {
	copy(f.left, f.Count)
	f.cuts, f.takes = f.cuts[:0], f.takes[:0]
	spare, boards := f.Spare(mix), relax.Total(mix)
	for _, k := range order {
		for todo := mix[k]; todo > 0 && spare >= 0; {
			f.allow = int64(share * float64(spare/int64(boards)))
			if !f.fill(f.N.Capacity[k], nodes) {
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

// Plan is what run cut.
func (f *Packer) Plan() []colgen.Use {
	var plan []colgen.Use
	for x, c := range f.cuts {
		count := map[int]int{}
		for i, n := range f.takes[x*len(f.item) : (x+1)*len(f.item)] {
			count[f.item[i]] = n
		}
		plan = append(plan, colgen.Use{Pattern: colgen.Pattern{Kind: c.kind, Pieces: knapsack.SortedPieces(count)}, Copies: c.copies})
	}
	return plan
}

// Spare is what the boards of a mix hold beyond the demand.
func (f *Packer) Spare(mix []int) int64 {
	spare := int64(0)
	for k, n := range mix {
		spare += int64(n) * f.N.Capacity[k]
	}
	for x, c := range f.Count {
		spare -= int64(c) * f.size[x]
	}
	return spare
}

// done reports whether nothing is left.
func (f *Packer) done() bool {
	for _, c := range f.left {
		if c > 0 {
			return false
		}
	}
	return true
}

// fill searches for the best filling of a board. It reports false when nothing
// is left to cut.
func (f *Packer) fill(capacity int64, nodes int) bool {
	for x := len(f.size) - 1; x >= 0; x-- {
		f.rest[x] = f.rest[x+1] + int64(f.left[x])*f.size[x]
	}
	f.slack, f.nodes = capacity+1, nodes
	clear(f.take)
	f.descend(0, capacity)
	f.Work += int64(nodes-f.nodes) + int64(2*len(f.size))
	return f.rest[0] > 0
}

// descend tries items from x on in what is left of the board.
func (f *Packer) descend(x int, capacity int64) {
	if capacity < f.slack {
		f.slack = capacity
		copy(f.found, f.take)
	}
	x += sort.Search(len(f.size)-x, func(d int) bool { return f.size[x+d] <= capacity })
	for ; x < len(f.size); x++ {
		if f.left[x] == 0 {
			f.Work++
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
func (f *Packer) cut(most int) int {
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
func orders(n *knapsack.Knapsack) [][]int {
	var up, down []int
	for k := range n.Capacity {
		up, down = append(up, k), append(down, k)
	}
	sort.SliceStable(up, func(a, b int) bool { return n.Capacity[up[a]] < n.Capacity[up[b]] })
	sort.SliceStable(down, func(a, b int) bool { return n.Capacity[down[a]] > n.Capacity[down[b]] })
	return [][]int{up, down}
}
