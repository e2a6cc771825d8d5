package exactly

import (
	"errors"
	"sort"

	"resawd/calc/lp"
	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/internal/knapsack"
)

// offer offers a plan in the items of the problem.
func (t *tight) offer(plan []colgen.Use) error {
	loose := make([]colgen.Use, len(plan))
	for x, u := range plan {
		loose[x] = t.loose(u)
	}
	return t.s.Offer(loose)
}

// loose is a use in the items of the problem, of the kind that its pieces name.
func (t *tight) loose(u colgen.Use) colgen.Use {
	out := colgen.Use{Pattern: colgen.Pattern{Kind: u.Kind}, Copies: u.Copies}
	for _, pc := range t.glue.loosen(u.Pieces) {
		if t.isKind(pc.Item) {
			out.Kind = pc.Item - len(t.s.P.Demand)
		} else {
			out.Pieces = append(out.Pieces, pc)
		}
	}
	return out
}

// branch searches the tree of a tight problem: either some board holds both
// items of a pair, and a copy of each is stuck together to a new item, or no
// board does. It returns nil when it has shown that there is no plan, relax.ErrEnd
// when it found one, lp.ErrNumeric when it had to leave a node open.
//
// Source: Ryan and Foster 1981; Vance, Computational Optimization and
// Applications 9 (1998) 211-228 (from memory).
func (t *tight) branch() error {
	if t.nodes++; t.nodes > t.limit {
		return ErrNodes
	}
	none, err := t.solve()
	if err != nil || none {
		return err
	}
	if part, _ := t.list(t.lp.Y, nodeListed, nodeSteps); part != nil {
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
	t.Apart = append(t.Apart[:len(t.Apart):len(t.Apart)], [2]int{a, b})
	t.settle()
	return t.branch()
}

// What a node may search exactly.
const (
	nodeListed = 20_000    // patterns
	nodeSteps  = 3_000_000 // to list them
	nodeNodes  = 1_000     // of the partition into them
)

// whole offers a point without fractions.
func (t *tight) whole() error {
	plan := append([]colgen.Use(nil), t.fixed...)
	for r, c := range t.lp.Basis {
		if n := int(t.lp.X[r] + 0.5); n > 0 {
			if c < 0 || Fraction(t.lp.X[r]) > 1e-5 {
				return lp.ErrNumeric // fractions, but of no pair
			}
			plan = append(plan, colgen.Use{Pattern: t.pool.Patterns[t.ids[c]], Copies: n})
		}
	}
	return t.offer(plan)
}

// pair picks a pair of items whose boards together come to a fraction. It
// prefers a pair far from whole of an item that few patterns hold: what has the
// fewest ways left fails first.
//
// Source: Haralick and Elliott, Artificial Intelligence 14 (1980) 263-313 (from
// memory).
func (t *tight) pair() (a, b int, ok bool) {
	sum := map[[2]int]float64{}
	for r, c := range t.lp.Basis {
		if c < 0 || t.lp.X[r] < 1e-7 {
			continue
		}
		pieces := t.pool.Patterns[t.ids[c]].Pieces
		for x, p := range pieces {
			if t.isKind(p.Item) {
				continue
			}
			if p.Count > 1 {
				sum[[2]int{p.Item, p.Item}] += t.lp.X[r]
			}
			for _, q := range pieces[x+1:] {
				if t.isKind(q.Item) {
					continue
				}
				sum[[2]int{p.Item, q.Item}] += t.lp.X[r]
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
	ways, best := map[int]int{}, 0.0
	for _, k := range keys {
		f := Fraction(sum[k])
		if f < 1e-4 {
			continue
		}
		if s := (0.1 + f) / float64(1+min(t.ways(ways, k[0]), t.ways(ways, k[1]))); s > best {
			best, a, b, ok = s, k[0], k[1], true
		}
	}
	return a, b, ok
}

// What may be counted for an item.
const (
	mostWays  = 25     // patterns
	waysSteps = 20_000 // to count them
)

// ways counts the patterns that hold an item and that the last prices do not
// rule out. It keeps what it counted in known.
func (t *tight) ways(known map[int]int, item int) int {
	if w, ok := known[item]; ok {
		return w
	}
	for k := range t.s.Kinds {
		if n, _ := t.boards(k); n > 0 {
			known[item] += t.holding(k, item)
		}
	}
	return known[item]
}

// holding counts the patterns of a kind that hold an item: one copy is set, and
// the rest is enumerated.
func (t *tight) holding(kind, item int) int {
	limit := append([]int(nil), t.demand...)
	limit[item]--
	var apart [][2]int
	for _, p := range t.Apart {
		switch item {
		case p[0]:
			limit[p[1]] = 0
		case p[1]:
			limit[p[0]] = 0
		default:
			apart = append(apart, p)
		}
	}
	room, least := t.n.Capacity[kind]-t.n.Size[item], t.most[kind]-t.short-t.value[item]
	if room < 0 {
		return 0
	}
	list, work, _ := t.n.Enumerate(knapsack.Listing{Capacity: room, Value: t.value, Limit: limit, Rules: knapsack.Rules{Apart: apart, Waste: t.Waste}, Least: least, Most: mostWays, Steps: waysSteps})
	t.s.Spend(work)
	return len(list)
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
		if p := t.pool.Patterns[id]; holdsBoth(p.Pieces, a, b) {
			t.pool.Add(p.Kind, glued(p.Pieces, a, b, i))
		}
	}
	for x, id := range likely {
		if p := t.pool.Patterns[id]; holdsBoth(p.Pieces, a, b) {
			likely[x] = t.pool.Add(p.Kind, glued(p.Pieces, a, b, i))
		}
	}
	t.open(likely)
}

// holdsBoth reports whether pieces hold both items; for an item and itself,
// two copies.
func holdsBoth(pieces []colgen.Piece, a, b int) bool {
	if a == b {
		return countOf(pieces, a) > 1
	}
	return countOf(pieces, a) > 0 && countOf(pieces, b) > 0
}

// glued is the pieces with one copy of a and b stuck together to item i.
func glued(pieces []colgen.Piece, a, b, i int) []colgen.Piece {
	count := map[int]int{}
	for _, pc := range pieces {
		count[pc.Item] += pc.Count
	}
	count[a]--
	count[b]--
	count[i]++
	return knapsack.SortedPieces(count)
}

// prove searches the whole tree, up to its limit of nodes.
func (t *tight) prove() (none bool, err error) {
	t.nodes = 0
	err = t.branch()
	if errors.Is(err, lp.ErrNumeric) || errors.Is(err, ErrNodes) {
		return false, nil
	}
	return err == nil, err
}
