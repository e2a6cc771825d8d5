package colgen

import "errors"

// mixing looks for plans by the numbers of boards: which mixes meet all covers
// at least cost, and can one of them be cut?
type mixing struct {
	s      *search
	g      *generator
	covers *covers
	near   []int // numbers to begin with
	pack   *packer
	effort
	tried    int // mixes
	shortage *shortage
}

// effort is how hard mixing tries.
type effort struct {
	relax    bool  // solve the relaxation of each mix
	rounds   int   // to decide each mix, 0 not to
	exchange int64 // times the usual work to exchange pieces of the first mix; the n-th has an n-th of it
	until    int64 // work to stop at, 0 for none
}

const (
	mixNodes      = 200_000 // of one search for mixes
	packNodes     = 1_000   // to fill a board
	mostExchanged = 1_000   // pieces

	firstWork  = 4_000_000
	strictWork = 1_000_000_000
)

// firstMixes spends a quarter of what was done before and a little.
func (s *search) firstMixes() error {
	if len(s.kinds) < 2 {
		return nil
	}
	return s.byMixes(s.root, effort{exchange: 1, until: s.stats.Work + s.stats.Work/4 + firstWork})
}

// mixes asks for the numbers of boards in earnest. It solves the relaxation of
// each mix, and decides the mix when the items are not too many.
func (s *search) mixes() error {
	if len(s.kinds) < 2 {
		return nil
	}
	e := effort{relax: true, exchange: 20, until: s.stats.Work + s.stats.Work/4}
	if total(s.p.Demand) <= manyItems {
		e.rounds, e.until = countRounds, 2*s.stats.Work+strictWork
	}
	return s.byMixes(s.root, e)
}

// byMixes tries the mixes of a node in the order of their cost, and raises the
// bound to that of the first that is not ruled out.
func (s *search) byMixes(g *generator, e effort) error {
	m := s.newMixing(g, e)
	sure := true
	for target := s.bound; target < m.limit(); {
		next, none, err := m.at(target)
		if err != nil {
			return ignoreNodes(err)
		}
		if sure = sure && none; sure {
			if next > s.ceiling() && s.best == nil && s.below == unreachable {
				s.none = true
			}
			if err := s.raise(min(next, m.limit())); err != nil {
				return err
			}
		}
		target = next
	}
	return nil
}

// ignoreNodes drops the error of a search that reached its limit of nodes.
func ignoreNodes(err error) error {
	if errors.Is(err, errNodes) {
		return nil
	}
	return err
}

// newMixing begins with the cover of the best bound of a node.
func (s *search) newMixing(g *generator, e effort) *mixing {
	m := &mixing{s: s, g: g, near: g.boards(), effort: e}
	m.covers = &covers{kinds: s.kinds, limit: m.limit()}
	if e.relax {
		m.shortage = s.newShortage()
	}
	sum := int64(0)
	for i, v := range g.proof.value {
		sum += v * int64(g.demand[i])
	}
	s.spend(m.covers.add(g.most, sum))
	m.pack = newPacker(s.sack, s.p.Demand)
	return m
}

// limit is a cost that plans of interest stay below.
func (m *mixing) limit() int64 { return min(m.s.cutoff(), m.s.ceiling()+1) }

// at tries the mixes that cost target. It returns a cost that other mixes that
// are not cheaper do not stay below, and reports whether it ruled all of
// target out.
func (m *mixing) at(target int64) (next int64, none bool, err error) {
	none = true
	x := &mixes{covers: m.covers, low: m.g.low, high: m.g.high, near: m.near,
		floor: target, target: target, boards: total(m.s.p.Demand)}
	x.do = func(mix []int) error {
		never, err := m.try(mix)
		none = none && never
		if err == nil && m.s.cutoff() <= target {
			err = errNodes
		}
		return err
	}
	err = x.run(mixNodes)
	m.s.spend(int64(mixNodes - x.nodes))
	return x.next, none, err
}

// try looks for a plan of a mix, and reports whether there is none.
func (m *mixing) try(mix []int) (none bool, err error) {
	if m.pack.spare(mix) < 0 {
		return true, nil
	}
	if m.spent() {
		return false, errNodes
	}
	if err := m.s.alive(); err != nil {
		return false, err
	}
	if none, err := m.lacks(mix); none || err != nil {
		return none, err
	}
	m.tried++
	if err := m.fill(mix); err != nil {
		return false, err
	}
	if m.rounds == 0 {
		return false, nil
	}
	return m.s.decide(mix, m.rounds, countNodes)
}

// lacks reports whether the relaxation of a mix does not cover the demands, and
// keeps the cover that says so.
func (m *mixing) lacks(mix []int) (bool, error) {
	if m.shortage == nil {
		return false, nil
	}
	most, worth, err := m.shortage.of(mix)
	if err != nil || !short(most, worth, mix) {
		return false, ignoreNumeric(err)
	}
	m.s.spend(m.covers.add(most, worth))
	return true, nil
}

// spent reports whether the work is done that was allowed.
func (m *mixing) spent() bool { return m.until > 0 && m.s.stats.Work > m.until }

// fill cuts a mix in several ways.
func (m *mixing) fill(mix []int) error {
	for _, order := range m.pack.orders {
		for _, share := range []float64{1, 0, 0.5, 2} {
			done := m.pack.run(mix, order, share, packNodes)
			m.s.spend(m.pack.work)
			m.pack.work = 0
			if done {
				return m.s.offer(m.pack.plan())
			}
		}
	}
	if total(m.pack.count) > mostExchanged {
		return nil
	}
	plan, err := m.repacked(mix)
	if err != nil || plan == nil {
		return err
	}
	return m.s.offer(plan)
}

// short reports whether a mix does not meet a cover.
func short(most []int64, worth int64, mix []int) bool {
	for k, n := range mix {
		if most[k] > 0 && n > 0 {
			worth -= min(int64(n), worth/most[k]+1) * most[k]
		}
		if worth <= 0 {
			return false
		}
	}
	return worth > 0
}
