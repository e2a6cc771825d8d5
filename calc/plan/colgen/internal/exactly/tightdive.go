package exactly

import (
	"math"
	"math/rand/v2"
	"sort"

	"resawd/calc/plan/colgen/internal/pack"
	"resawd/calc/plan/colgen/internal/relax"
)

// What a dive may search exactly on its way.
const (
	diveListed = 3_000   // patterns
	diveSteps  = 300_000 // to list them
	diveNodes  = 30      // of the partition into them
)

// tightDive fixes patterns of a tight problem, largest fraction first, and
// turns from the first choice a limited number of times on the way down. What is
// left near the end is searched exactly.
//
// Source: limited discrepancy search, Harvey and Ginsberg, IJCAI 1995,
// 607-613 (from memory); diving as in Sadykov and others 2019.
type tightDive struct {
	s     *relax.State
	rng   *rand.Rand
	noise float64
}

// down searches below a node. It returns nil when it found nothing.
func (d *tightDive) down(t *tight, turns int) error {
	none, err := t.solve()
	if err != nil || none {
		return relax.IgnoreNumeric(err)
	}
	if t.target == 0 {
		return t.offer(t.fixed)
	}
	if done, err := d.finish(t); done || err != nil {
		return err
	}
	if err := d.repack(t); err != nil {
		return err
	}
	whole, parts := t.choices(d.noise, d.rng)
	if len(whole) > 0 {
		for _, f := range whole {
			t.fix(f.ID, int(f.Value))
		}
		t.settle()
		return d.down(t, turns)
	}
	sort.SliceStable(parts, func(a, b int) bool { return parts[a].Value > parts[b].Value })
	var back saved
	if turns > 0 {
		back = t.save()
	}
	for k := 0; k <= turns && k < len(parts); k++ {
		if k > 0 {
			t.restore(back)
		}
		t.fix(parts[k].ID, 1)
		if k == 0 {
			t.fixLarge(parts[1:])
		}
		t.settle()
		if err := d.down(t, turns-k); err != nil {
			return err
		}
	}
	return nil
}

// fixLarge fixes the patterns that are nearly whole, too, as long as they fit.
func (t *tight) fixLarge(parts []relax.Fractional) {
	for _, f := range parts {
		if f.Value >= largePart && t.usable(t.pool.Patterns[f.ID]) {
			t.fix(f.ID, 1)
		}
	}
}

// largePart is from where on a number is nearly whole.
const largePart = 0.7

// finish searches exactly when few patterns are left.
func (d *tightDive) finish(t *tight) (done bool, err error) {
	if relax.Total(t.demand) > 120 {
		return false, nil
	}
	part, _ := t.list(t.lp.Y, diveListed, diveSteps)
	if part == nil {
		return false, nil
	}
	part.most = diveNodes
	_, err = part.solve()
	return err == nil, err
}

// repack looks for a plan of what is left by exchanging pieces.
func (d *tightDive) repack(t *tight) error {
	left, ok := pack.Stack(t.n, t.demand)
	if !ok || len(d.s.Kinds) > 1 {
		return nil
	}
	r := pack.NewRepacker(left, t.target, d.rng)
	found, err := pack.ExchangePieces(d.s, r, func() {})
	if err != nil || !found {
		return err
	}
	return t.offer(append(t.fixed[:len(t.fixed):len(t.fixed)], r.Plan()...))
}

// What may be searched exactly at the root, and how often it is dived from there.
const (
	mostListed  = 150_000    // patterns
	listSteps   = 20_000_000 // to list them
	listedNodes = 3_000      // of the partition into them
	mostRounds  = 70         // dives from the root
	provenNodes = 20         // of the tree when it is first tried, by the square of the round
)

// Tightly closes the gap of a problem of one kind from below: as long as the
// bound is below the best plan, it looks for a plan of as many boards as the
// bound says, or shows that there is none.
func Tightly(s *relax.State) error {
	if !s.OneKind() {
		return nil
	}
	for s.Bound < s.Cutoff() {
		none, err := Decide(s, []int{int(s.Bound)}, mostRounds, math.MaxInt)
		if err != nil || !none {
			return err
		}
		if err := s.Raise(s.Bound + 1); err != nil {
			return err
		}
	}
	return nil
}

// Decide looks for a plan with given numbers of boards of each kind, within limits on rounds and
// nodes of its tree. It returns relax.ErrEnd when it found one that ends the search,
// and reports whether it has shown that there is none.
func Decide(s *relax.State, boards []int, rounds, nodes int) (none bool, err error) {
	root := newTight(s, boards)
	if none, err := root.solve(); none || err != nil {
		return none, relax.IgnoreNumeric(err)
	}
	rng := rand.New(rand.NewPCG(s.O.Seed, 3))
	home := root.save()
	for round := range rounds {
		switch {
		case round == 1:
			none, err = root.listed(rng)
		case round&(round-1) == 0 && round > 0: // now and then, longer each time
			root.limit = min(nodes, round*round*provenNodes)
			none, err = root.prove()
		}
		if none || err != nil {
			return none, relax.IgnoreNumeric(err)
		}
		d := &tightDive{s, rng, 0.1 * float64(round%8)}
		s.Stats.Dives++
		root.restore(home)
		if none, err = root.solve(); none || err != nil {
			return none, relax.IgnoreNumeric(err)
		}
		root.rough = true
		if err := d.down(root, round%4); err != nil {
			return false, err
		}
		root.rough = false
		if err := s.Alive(); err != nil {
			return false, err
		}
		root.restore(home)
	}
	return false, nil
}

// listed lists all patterns at an interior point of the prices, where they are
// not too many, and searches the partition.
func (t *tight) listed(rng *rand.Rand) (none bool, err error) {
	if none, err := t.solve(); none || err != nil {
		return none, relax.IgnoreNumeric(err)
	}
	y, err := t.interior(rng)
	if err != nil {
		return false, relax.IgnoreNumeric(err)
	}
	part, full := t.list(y, mostListed, listSteps)
	t.s.Stats.MemoryFull = t.s.Stats.MemoryFull || full
	if part == nil {
		return false, nil
	}
	part.most = listedNodes
	return part.solve()
}
