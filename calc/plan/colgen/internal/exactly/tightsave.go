package exactly

import (
	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/knapsack"
)

// saved is what a node of a search needs to come back to: far less than its
// linear program.
type saved struct {
	target int
	demand []int
	rules  knapsack.Rules
	fixed  []colgen.Use
	basis  []int32 // patterns
}

// save keeps a node to come back to.
func (t *tight) save() saved {
	return saved{t.target, append([]int(nil), t.demand...), t.Rules, t.fixed[:len(t.fixed):len(t.fixed)], t.basic()}
}

// restore goes back to a node.
func (t *tight) restore(b saved) {
	t.target, t.Rules, t.fixed = b.target, b.rules, b.fixed
	t.demand = append(t.demand[:0], b.demand...)
	t.open(b.basis)
}

// basic lists the patterns of the basis.
func (t *tight) basic() []int32 {
	var out []int32
	for _, c := range t.lp.Basis {
		if c >= 0 {
			out = append(out, t.ids[c])
		}
	}
	return out
}
