package colgen

import (
	"errors"
	"math/rand/v2"
	"sort"
)

// limits of what a dive may list and search exactly on its way
const (
	diveListed = 3_000
	diveSteps  = 300_000
	diveNodes  = 30
)

// tightDive fixes patterns of a tight problem, largest fraction first, and
// turns from the first choice at most so many times on the way down. What is
// left near the end is searched exactly.
//
// Source: limited discrepancy search, Harvey and Ginsberg, IJCAI 1995,
// 607-613 (from memory); diving as in Sadykov and others 2019.
type tightDive struct {
	s     *search
	rng   *rand.Rand
	noise float64
}

// down searches below a node. It returns nil when it found nothing.
func (d *tightDive) down(t *tight, turns int) error {
	d.s.stats.Nodes++
	none, err := t.solve()
	if err != nil || none {
		return ignoreNumeric(err)
	}
	if t.target == 0 {
		return t.offer(t.fixed)
	}
	if done, err := d.finish(t); done || err != nil {
		return err
	}
	whole, parts := t.choices(d.noise, d.rng)
	if len(whole) > 0 {
		for _, f := range whole {
			t.fix(f.id, int(f.value))
		}
		t.settle()
		return d.down(t, turns)
	}
	sort.SliceStable(parts, func(a, b int) bool { return parts[a].value > parts[b].value })
	for k := 0; k <= turns && k < len(parts); k++ {
		c := t.clone()
		c.fix(parts[k].id, 1)
		c.settle()
		if err := d.down(c, turns-k); err != nil {
			return err
		}
	}
	return nil
}

// finish searches exactly when few patterns are left.
func (d *tightDive) finish(t *tight) (done bool, err error) {
	if total(t.demand) > 120 {
		return false, nil
	}
	part := t.list(t.lp.y, diveListed, diveSteps)
	if part == nil {
		return false, nil
	}
	part.most = diveNodes
	_, err = part.solve()
	return err == nil, err
}

func total(demand []int) int {
	sum := 0
	for _, d := range demand {
		sum += d
	}
	return sum
}

// ignoreNumeric drops the error of a linear program that did not settle: the
// node is given up, which is not a proof of anything.
func ignoreNumeric(err error) error {
	if errors.Is(err, errNumeric) {
		return nil
	}
	return err
}

// most patterns of a partition at the root, and most steps to list them
const (
	mostListed  = 150_000
	listSteps   = 200_000_000
	roundsFirst = 2     // dives before the tree is searched
	manyItems   = 3_000 // beyond, boards are not asked for one by one
)

// tightly closes the gap of a problem of one kind from below: as long as the
// bound is below the best plan, it looks for a plan of as many boards as the
// bound says, or shows that there is none.
func (s *search) tightly() error {
	n, ok := s.p.Pricer.(*Knapsack)
	if !ok || len(s.kinds) != 1 || s.kinds[0].Quantity != Unlimited || s.kinds[0].Cost == 0 || total(s.p.Demand) > manyItems {
		return nil
	}
	for s.bound < s.cutoff() {
		none, err := s.decide(n, int(s.bound))
		if err != nil || !none {
			return err
		}
		if err := s.raise(s.bound + 1); err != nil {
			return err
		}
	}
	return nil
}

// decide looks for a plan of target boards until it finds one, which ends the
// search, or shows that there is none.
func (s *search) decide(n *Knapsack, target int) (none bool, err error) {
	root := s.newTight(n, target)
	if none, err := root.solve(); none || err != nil {
		return none, ignoreNumeric(err)
	}
	rng := rand.New(rand.NewPCG(s.o.Seed, 3))
	y, err := root.interior(rng)
	if err != nil {
		return false, ignoreNumeric(err)
	}
	if part := root.list(y, mostListed, listSteps); part != nil {
		if none, err := part.solve(); none || err != nil {
			return none, err
		}
	}
	for round := 0; ; round++ {
		if round == roundsFirst {
			if none, err := root.clone().prove(); none || err != nil {
				return none, err
			}
		}
		d := &tightDive{s, rng, 0.1 * float64(round%8)}
		s.stats.Dives++
		if err := d.down(root.clone(), round%4); err != nil {
			return false, err
		}
		if err := s.alive(); err != nil {
			return false, err
		}
		root.sync()
		if _, err := root.solve(); err != nil {
			return false, ignoreNumeric(err)
		}
	}
}
