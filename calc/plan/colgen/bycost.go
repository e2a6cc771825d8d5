package colgen

import "math"

// most pieces, patterns and nodes of the question for a plan of one cost
const (
	costPieces  = 500
	costPattern = 100_000
	costSteps   = 20_000_000
	costNodes   = 200
)

// byCost closes the gap from below as long as it can tell whether there is a
// plan that costs what the bound says, whatever its numbers of boards.
func (s *search) byCost() error {
	for s.bound < s.cutoff() {
		p := s.ofCost(s.bound)
		if p == nil {
			return nil
		}
		none, err := p.solve()
		if err != nil || !none {
			return err
		}
		if err := s.raise(s.bound + 1); err != nil {
			return err
		}
	}
	return nil
}

// ofCost turns the question for a plan of exactly that cost into a partition,
// where its patterns are few: the cost is demanded like an item, and a pattern
// holds as many copies of it as its board costs. It is nil when the question is
// not that simple: quantities that may run out, boards that cost nothing.
func (s *search) ofCost(target int64) *partition {
	n, ok := s.p.Pricer.(*Knapsack)
	g := s.root
	if !ok || len(s.kinds) < 2 || total(g.demand) > costPieces || target < 1 || target > math.MaxUint16 {
		return nil
	}
	least := target
	for k, kind := range s.kinds {
		if kind.Cost == 0 || g.high[k] != Unlimited && int64(g.high[k]) < target/kind.Cost {
			return nil
		}
		least = min(least, kind.Cost)
	}
	q := &tight{s: s, target: int(target / least), demand: append(append([]int(nil), g.demand...), int(target)), glue: newGlue(len(g.demand))}
	list := s.listCost(n, target, q.target)
	if list == nil {
		return nil
	}
	p := newPartition(q, list)
	p.items[len(p.items)-1] = noItem
	p.most = costNodes
	return p
}

// listCost lists the patterns that a plan of the target can hold. By the prices
// of the root its boards cost more than they are worth by the slack together,
// and none costs less than it is worth by more than the gift.
func (s *search) listCost(n *Knapsack, target int64, boards int) []Pattern {
	g := s.root
	slack, gift := target*g.proof.scale, int64(0)
	for i, v := range g.proof.value {
		slack -= v * int64(g.demand[i])
	}
	for k, kind := range s.kinds {
		gift = max(gift, g.most[k]-kind.Cost*g.proof.scale)
	}
	waste, ok := s.wasteOf(n, target)
	if !ok || gift > math.MaxInt64/4/int64(boards) {
		return nil
	}
	var list []Pattern
	for k, kind := range s.kinds {
		worth := kind.Cost*g.proof.scale - slack - int64(boards-1)*gift
		found, work, ok := n.enumerate(n.capacity[k], g.proof.value, g.demand, nil, worth, waste, costPattern-len(list), costSteps)
		s.spend(work)
		if !ok {
			return nil
		}
		for _, p := range found {
			list = append(list, Pattern{k, append(p, Piece{len(g.demand), int(kind.Cost)})})
		}
	}
	return list
}

// wasteOf is the most that the boards of a plan of a cost can leave.
func (s *search) wasteOf(n *Knapsack, target int64) (int64, bool) {
	waste := int64(0)
	for k, kind := range s.kinds {
		if n.capacity[k] > math.MaxInt64/target {
			return 0, false
		}
		waste = max(waste, n.capacity[k]*target/kind.Cost)
	}
	for i, d := range s.p.Demand {
		waste -= n.size[i] * int64(d)
	}
	return waste, waste >= 0
}
