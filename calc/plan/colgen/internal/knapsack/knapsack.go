package knapsack

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
	Capacity []int64 // divided by what the sizes have in common
	Size     []int64
	Order    []int // items, largest first
	table    table
}

// NewKnapsack returns the knapsack of boards of some capacities and items of
// some sizes, all in one unit.
func NewKnapsack(capacity, size []int64) *Knapsack {
	var common int64
	for _, s := range size {
		common = Gcd(common, s)
	}
	n := &Knapsack{Capacity: divided(capacity, common), Size: divided(size, common)}
	n.Order = make([]int, len(size))
	for i := range n.Order {
		n.Order[i] = i
	}
	sort.SliceStable(n.Order, func(a, b int) bool { return n.Size[n.Order[a]] > n.Size[n.Order[b]] })
	return n
}

// Gcd is the greatest common divisor; gcd(0, b) is b.
func Gcd(a, b int64) int64 {
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
	return n.Tight(ctx, q, Rules{Waste: n.widest(q.Floor)})
}

// Clone copies the sizes, so that items can be added.
func (n *Knapsack) Clone() *Knapsack {
	return &Knapsack{
		Capacity: n.Capacity,
		Size:     append([]int64(nil), n.Size...),
		Order:    append([]int(nil), n.Order...),
	}
}

// Add adds an item and returns its number.
func (n *Knapsack) Add(size int64) int {
	i := len(n.Size)
	n.Size = append(n.Size, size)
	at := sort.Search(len(n.Order), func(x int) bool { return n.Size[n.Order[x]] < size })
	n.Order = append(n.Order, 0)
	copy(n.Order[at+1:], n.Order[at:])
	n.Order[at] = i
	return i
}

// Tight is Price by rules. Values may be negative.
func (n *Knapsack) Tight(ctx context.Context, q Query, r Rules) ([]Answer, int64, error) {
	t := &n.table
	t.fill(n, q.Value, q.Limit, n.widest(q.Floor), r.Waste)
	t.keepApart(r.Apart)
	answers, err := t.answers(ctx, n.Capacity, q.Floor, q.Many, q.Exact)
	return answers, t.work, err
}

// widest is the largest capacity of the kinds wanted.
func (n *Knapsack) widest(floor []int64) int64 {
	var most int64
	for k, c := range n.Capacity {
		if floor[k] != NotWanted {
			most = max(most, c)
		}
	}
	return most
}
