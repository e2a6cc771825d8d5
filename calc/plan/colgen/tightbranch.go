package colgen

import (
	"errors"
	"sort"
)

// offer offers a plan in the items of the problem.
func (t *tight) offer(plan []Use) error {
	loose := make([]Use, len(plan))
	for x, u := range plan {
		loose[x] = t.loose(u)
	}
	return t.s.offer(loose)
}

// loose is a use in the items of the problem, of the kind that its pieces name.
func (t *tight) loose(u Use) Use {
	out := Use{Pattern{Kind: u.Kind}, u.Copies}
	for _, pc := range t.glue.loosen(u.Pieces) {
		if t.isKind(pc.Item) {
			out.Kind = pc.Item - len(t.s.p.Demand)
		} else {
			out.Pieces = append(out.Pieces, pc)
		}
	}
	return out
}

// branch searches the tree of a tight problem: either some board holds both
// items of a pair, and a copy of each is stuck together to a new item, or no
// board does. It returns nil when it has shown that there is no plan, errEnd
// when it found one, errNumeric when it had to leave a node open.
//
// Source: Ryan and Foster 1981; Vance, Computational Optimization and
// Applications 9 (1998) 211-228 (from memory).
func (t *tight) branch() error {
	t.s.stats.Nodes++
	if t.nodes++; t.nodes > t.limit {
		return errNodes
	}
	none, err := t.solve()
	if err != nil || none {
		return err
	}
	if part := t.list(t.lp.y, nodeListed, nodeSteps); part != nil {
		part.most = nodeNodes
		if none, err := part.solve(); none || err != nil {
			return err
		}
	}
	a, b, ok := t.pair()
	if !ok {
		return t.whole()
	}
	back := t.save()
	t.together(a, b)
	if err := t.branch(); err != nil {
		return err
	}
	t.restore(back)
	t.apart = append(t.apart[:len(t.apart):len(t.apart)], [2]int{a, b})
	t.settle()
	return t.branch()
}

// most patterns of a node to search exactly, and most steps to list them
const (
	nodeListed = 20_000
	nodeSteps  = 3_000_000
	nodeNodes  = 1_000
)

// whole offers a point without fractions.
func (t *tight) whole() error {
	plan := append([]Use(nil), t.fixed...)
	for r, c := range t.lp.basis {
		if n := int(t.lp.x[r] + 0.5); n > 0 {
			if c < 0 || fraction(t.lp.x[r]) > 1e-5 {
				return errNumeric // fractions, but of no pair
			}
			plan = append(plan, Use{t.pool.patterns[t.ids[c]], n})
		}
	}
	return t.offer(plan)
}

// pair picks, of the pairs of items whose boards together come to a fraction,
// the largest pair: it has the fewest ways to be cut.
//
// Source: common practice in branch and price for bin packing.
func (t *tight) pair() (a, b int, ok bool) {
	sum := map[[2]int]float64{}
	for r, c := range t.lp.basis {
		if c < 0 || t.lp.x[r] < 1e-7 {
			continue
		}
		pieces := t.pool.patterns[t.ids[c]].Pieces
		for x, p := range pieces {
			if t.isKind(p.Item) {
				continue
			}
			if p.Count > 1 {
				sum[[2]int{p.Item, p.Item}] += t.lp.x[r]
			}
			for _, q := range pieces[x+1:] {
				if t.isKind(q.Item) {
					continue
				}
				sum[[2]int{p.Item, q.Item}] += t.lp.x[r]
			}
		}
	}
	keys := make([][2]int, 0, len(sum))
	for k := range sum {
		keys = append(keys, k)
	}
	sort.Slice(keys, func(x, y int) bool {
		return keys[x][0] < keys[y][0] || keys[x][0] == keys[y][0] && keys[x][1] < keys[y][1]
	})
	best := int64(0)
	for _, k := range keys {
		if size := t.n.size[k[0]] + t.n.size[k[1]]; size > best && fraction(sum[k]) > 1e-4 {
			best, a, b, ok = size, k[0], k[1], true
		}
	}
	return a, b, ok
}

// together sticks a copy of each of two items to one new item.
func (t *tight) together(a, b int) {
	i := t.glue.stick(t.n, a, b)
	for len(t.demand) <= i {
		t.demand = append(t.demand, 0)
	}
	t.demand[a]--
	t.demand[b]--
	t.demand[i]++
	likely := t.basic()
	for _, id := range t.ids {
		if p := t.pool.patterns[id]; holdsBoth(p.Pieces, a, b) {
			t.pool.add(p.Kind, glued(p.Pieces, a, b, i))
		}
	}
	for x, id := range likely {
		if p := t.pool.patterns[id]; holdsBoth(p.Pieces, a, b) {
			likely[x] = t.pool.add(p.Kind, glued(p.Pieces, a, b, i))
		}
	}
	t.open(likely)
}

// holdsBoth reports whether pieces hold both items; for an item and itself,
// two copies.
func holdsBoth(pieces []Piece, a, b int) bool {
	if a == b {
		return countOf(pieces, a) > 1
	}
	return countOf(pieces, a) > 0 && countOf(pieces, b) > 0
}

// glued is the pieces with one copy of a and b stuck together to item i.
func glued(pieces []Piece, a, b, i int) []Piece {
	count := map[int]int{}
	for _, pc := range pieces {
		count[pc.Item] += pc.Count
	}
	count[a]--
	count[b]--
	count[i]++
	return sortedPieces(count)
}

// prove searches the whole tree, up to its limit of nodes.
func (t *tight) prove() (none bool, err error) {
	t.nodes = 0
	err = t.branch()
	if errors.Is(err, errNumeric) || errors.Is(err, errNodes) {
		return false, nil
	}
	return err == nil, err
}
