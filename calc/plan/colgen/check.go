package colgen

import "fmt"

// CheckPattern returns an error when a pattern cannot be cut or is malformed.
//
// Source: definition.
// Valid: a problem that [Problem.Validate] accepts.
func (p *Problem) CheckPattern(t Pattern) error {
	if t.Kind < 0 || t.Kind >= len(p.Kinds) {
		return fmt.Errorf("pattern of unknown kind %d", t.Kind)
	}
	last := -1
	for _, pc := range t.Pieces {
		if pc.Item <= last || pc.Item >= len(p.Demand) {
			return fmt.Errorf("item %d out of order or unknown", pc.Item)
		}
		if pc.Count < 1 {
			return fmt.Errorf("item %d occurs %d times", pc.Item, pc.Count)
		}
		last = pc.Item
	}
	return p.checkSizes(t)
}

// checkSizes returns an error when the sizes of a pattern do not fit the
// capacity.
func (p *Problem) checkSizes(t Pattern) error {
	left := p.Capacity[t.Kind]
	for _, pc := range t.Pieces {
		if int64(pc.Count) > left/p.Size[pc.Item] {
			return fmt.Errorf("the pieces are longer than a board of kind %d", t.Kind)
		}
		left -= int64(pc.Count) * p.Size[pc.Item]
	}
	return nil
}

// CheckPlan returns the cost of a plan, or an error when the plan is not one:
// a pattern that cannot be cut, more boards than there are, or a demand that
// is not covered. It shares nothing with the search but the problem itself.
//
// Source: definition.
// Valid: a problem that [Problem.Validate] accepts.
func (p *Problem) CheckPlan(plan []Use) (int64, error) {
	var cost int64
	boards := make([]int, len(p.Kinds))
	cut := make([]int, len(p.Demand))
	for _, u := range plan {
		if err := p.CheckPattern(u.Pattern); err != nil {
			return 0, err
		}
		if u.Copies < 1 {
			return 0, fmt.Errorf("a pattern is used %d times", u.Copies)
		}
		boards[u.Kind] += u.Copies
		cost += int64(u.Copies) * p.Kinds[u.Kind].Cost
		for _, pc := range u.Pieces {
			cut[pc.Item] += pc.Count * u.Copies
		}
	}
	for k, n := range boards {
		if q := p.Kinds[k].Quantity; q != Unlimited && n > q {
			return 0, fmt.Errorf("%d boards of kind %d are used, %d are there", n, k, q)
		}
	}
	for i, n := range cut {
		if n < p.Demand[i] {
			return 0, fmt.Errorf("%d copies of item %d are cut, %d are wanted", n, i, p.Demand[i])
		}
	}
	return cost, nil
}
