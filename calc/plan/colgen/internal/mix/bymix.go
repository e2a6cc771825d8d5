package mix

import (
	"errors"

	"resawd/calc/plan/colgen/internal/exactly"
	"resawd/calc/plan/colgen/internal/pack"
	"resawd/calc/plan/colgen/internal/relax"
)

// mixing looks for plans by the numbers of boards: which mixes meet all rows
// at least cost, and can one of them be cut?
type mixing struct {
	s      *relax.State
	g      *relax.Generator
	covers *surrogates
	near   []int // numbers to begin with
	pack   *pack.Packer
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

// FirstMixes spends a quarter of what was done before and a little.
func FirstMixes(s *relax.State) error {
	if len(s.Kinds) < 2 {
		return nil
	}
	return byMixes(s, s.Root, effort{exchange: 1, until: s.Stats.Work + s.Stats.Work/4 + firstWork})
}

// Mixes asks for the numbers of boards in earnest. It solves the relaxation of
// each mix, and decides the mix when the items are not too many.
func Mixes(s *relax.State) error {
	if len(s.Kinds) < 2 {
		return nil
	}
	e := effort{relax: true, exchange: 20, until: s.Stats.Work + s.Stats.Work/4}
	if relax.Total(s.P.Demand) <= relax.ManyItems {
		e.rounds, e.until = countRounds, 2*s.Stats.Work+strictWork
	}
	return byMixes(s, s.Root, e)
}

// byMixes tries the mixes of a node in the order of their cost, and raises the
// bound to that of the first that is not ruled out.
func byMixes(s *relax.State, g *relax.Generator, e effort) error {
	m := newMixing(s, g, e)
	sure := true
	for target := s.Bound; target < m.limit(); {
		next, none, err := m.at(target)
		if err != nil {
			return ignoreNodes(err)
		}
		if sure = sure && none; sure {
			if next > s.Ceiling() && s.Best == nil && s.Below == relax.Unreachable {
				s.None = true
			}
			if err := s.Raise(min(next, m.limit())); err != nil {
				return err
			}
		}
		target = next
	}
	return nil
}

// ignoreNodes drops the error of a search that reached its limit of nodes.
func ignoreNodes(err error) error {
	if errors.Is(err, exactly.ErrNodes) {
		return nil
	}
	return err
}

// newMixing begins with the surrogate row of the best bound of a node.
func newMixing(s *relax.State, g *relax.Generator, e effort) *mixing {
	m := &mixing{s: s, g: g, near: boards(g), effort: e}
	m.covers = &surrogates{kinds: s.Kinds, limit: m.limit()}
	if e.relax {
		m.shortage = newShortage(s)
	}
	sum := int64(0)
	for i, v := range g.Proof.Value {
		sum += v * int64(g.Demand[i])
	}
	s.Spend(m.covers.add(g.Most, sum))
	m.pack = pack.NewPacker(s.Sack, s.P.Demand)
	return m
}

// limit is a cost that plans of interest stay below.
func (m *mixing) limit() int64 { return min(m.s.Cutoff(), m.s.Ceiling()+1) }

// at tries the mixes that cost target. It returns a cost that other mixes that
// are not cheaper do not stay below, and reports whether it ruled all of
// target out.
func (m *mixing) at(target int64) (next int64, none bool, err error) {
	none = true
	x := &mixes{surrogates: m.covers, low: m.g.Low, high: m.g.High, near: m.near,
		floor: target, target: target, boards: relax.Total(m.s.P.Demand)}
	x.do = func(mix []int) error {
		never, err := m.try(mix)
		none = none && never
		if err == nil && m.s.Cutoff() <= target {
			err = exactly.ErrNodes
		}
		return err
	}
	err = x.run(mixNodes)
	m.s.Spend(int64(mixNodes - x.nodes))
	return x.next, none, err
}

// try looks for a plan of a mix, and reports whether there is none.
func (m *mixing) try(mix []int) (none bool, err error) {
	if m.pack.Spare(mix) < 0 {
		return true, nil
	}
	if m.spent() {
		return false, exactly.ErrNodes
	}
	if err := m.s.Alive(); err != nil {
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
	return exactly.Decide(m.s, mix, m.rounds, countNodes)
}

// lacks reports whether the relaxation of a mix does not cover the demands, and
// keeps the surrogate row that says so.
func (m *mixing) lacks(mix []int) (bool, error) {
	if m.shortage == nil {
		return false, nil
	}
	most, worth, err := m.shortage.of(mix)
	if err != nil || !short(most, worth, mix) {
		return false, relax.IgnoreNumeric(err)
	}
	m.s.Spend(m.covers.add(most, worth))
	m.s.Stats.MemoryFull = m.s.Stats.MemoryFull || m.covers.full
	return true, nil
}

// spent reports whether the work is done that was allowed.
func (m *mixing) spent() bool { return m.until > 0 && m.s.Stats.Work > m.until }

// fill cuts a mix in several ways.
func (m *mixing) fill(mix []int) error {
	for _, order := range m.pack.Orders {
		for _, share := range []float64{1, 0, 0.5, 2} {
			done := m.pack.Run(mix, order, share, packNodes)
			m.s.Spend(m.pack.Work)
			m.pack.Work = 0
			if done {
				return m.s.Offer(m.pack.Plan())
			}
		}
	}
	if relax.Total(m.pack.Count) > mostExchanged {
		return nil
	}
	plan, err := m.repacked(mix)
	if err != nil || plan == nil {
		return err
	}
	return m.s.Offer(plan)
}

// short reports whether a mix does not meet a surrogate row.
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
