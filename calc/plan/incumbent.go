package plan

import "slices"

// incumbent is the best plan so far that delivers everything.
type incumbent struct {
	p     *problem
	pool  *pool // of what plans were met
	clock func() int64
	plan  []layout // a board each
	cost  int64
	found int64 // work on plans when it was
	seen  int   // plans that delivered everything
}

// meetEvery is how many plans there are for one that goes into the pool.
const meetEvery = 20

// see notes a plan that delivers everything.
func (b *incumbent) see(plan []layout) {
	if b.seen++; b.seen%meetEvery == 0 {
		b.meet(plan)
	}
	b.offer(plan)
}

// offer keeps a plan that delivers everything if it is the cheapest.
func (b *incumbent) offer(plan []layout) {
	plan = slices.DeleteFunc(slices.Clone(plan), func(lay layout) bool { return len(lay.strips) == 0 })
	cost := b.p.costOf(plan)
	if cost < b.cost || cost == b.cost && len(plan) < len(b.plan) {
		b.plan, b.cost, b.found = plan, cost, b.clock()
		b.meet(plan)
	}
}

// meet puts the boards of a plan into the pool.
func (b *incumbent) meet(plan []layout) {
	for _, lay := range plan {
		b.pool.add(lay)
	}
}
