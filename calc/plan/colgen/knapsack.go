package colgen

import (
	"context"
	"sort"
)

// Knapsack finds patterns of one dimension: the sizes of the pieces of a
// board add up to at most its capacity. A kerf k is taken up by the sizes:
// size + k against capacity + k.
//
// Source: Gilmore and Gomory, Operations Research 9 (1961) 849-859.
type Knapsack struct {
	capacity []int64 // divided by what the sizes have in common
	size     []int64
	order    []int // items, largest first
	table    table
}

// newKnapsack returns the knapsack of boards of some capacities and items of
// some sizes, all in one unit.
func newKnapsack(capacity, size []int64) *Knapsack {
	var common int64
	for _, s := range size {
		common = gcd(common, s)
	}
	n := &Knapsack{capacity: divided(capacity, common), size: divided(size, common)}
	n.order = make([]int, len(size))
	for i := range n.order {
		n.order[i] = i
	}
	sort.SliceStable(n.order, func(a, b int) bool { return n.size[n.order[a]] > n.size[n.order[b]] })
	return n
}

// gcd is the greatest common divisor; gcd(0, b) is b.
func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// divided returns the values divided by d, rounded down: a capacity serves no
// sum of sizes between two multiples of what they have in common.
func divided(values []int64, d int64) []int64 {
	out := make([]int64, len(values))
	for i, v := range values {
		out[i] = v / max(d, 1)
	}
	return out
}

// Price answers a query with an Answer for each kind, in order, and the steps of
// work it took: by a table of upper bounds over a grid of capacities, then for
// each kind a search that the table guides. The same query gives the same answer
// each time. The answers' slices belong to the caller. It is used by one
// goroutine at a time.
//
// Source: the bounded knapsack problem, Martello and Toth, Knapsack Problems
// (Wiley 1990), ch. 3; from memory.
func (n *Knapsack) Price(ctx context.Context, q Query) ([]Answer, int64, error) {
	most := n.widest(q.Floor)
	n.table.fill(n, q.Value, q.Limit, most, most)
	n.table.keepApart(nil)
	answers, err := n.table.answers(ctx, n.capacity, q.Floor, q.Many, q.Exact)
	return answers, n.table.work, err
}

// clone copies the sizes, so that items can be added.
func (n *Knapsack) clone() *Knapsack {
	return &Knapsack{
		capacity: n.capacity,
		size:     append([]int64(nil), n.size...),
		order:    append([]int(nil), n.order...),
	}
}

// add adds an item and returns its number.
func (n *Knapsack) add(size int64) int {
	i := len(n.size)
	n.size = append(n.size, size)
	at := sort.Search(len(n.order), func(x int) bool { return n.size[n.order[x]] < size })
	n.order = append(n.order, 0)
	copy(n.order[at+1:], n.order[at:])
	n.order[at] = i
	return i
}

// tight prices patterns that leave at most waste and hold no pair of items that
// is kept apart, of the kinds whose floor is wanted. Values may be negative.
func (n *Knapsack) tight(ctx context.Context, value []int64, limit []int, apart [][2]int, waste int64, floor []int64, many int, exact bool) ([]Answer, int64, error) {
	t := &n.table
	t.fill(n, value, limit, n.widest(floor), waste)
	t.keepApart(apart)
	answers, err := t.answers(ctx, n.capacity, floor, many, exact)
	return answers, t.work, err
}

// widest is the largest capacity of the kinds wanted.
func (n *Knapsack) widest(floor []int64) int64 {
	var most int64
	for k, c := range n.capacity {
		if floor[k] != NotWanted {
			most = max(most, c)
		}
	}
	return most
}
