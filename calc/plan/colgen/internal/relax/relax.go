package relax

// Relax solves the relaxation of the whole problem. Where demands stay unmet
// it raises their cost until they are met, or until the bound exceeds what all
// boards cost: then there is no plan.
func (s *State) Relax(low, high []int) error {
	for range bigRaises {
		s.Root = s.NewGenerator(s.P.Demand, low, high)
		s.Many = max(s.Many, s.Root.Lp.M/manyPart)
		s.Root.exchange()
		if _, err := s.Root.Solve(s.Cutoff()); err != nil {
			return err
		}
		if s.Root.Bound > s.Ceiling() {
			s.None = true
			return ErrEnd
		}
		if s.Root.Lp.Unmet() < 1e-7 {
			break
		}
		s.big *= 30
	}
	return s.Raise(s.Root.Bound)
}

// manyPart is for how many rows of the master problem a query asks for one pattern.
const manyPart = 10

// bigRaises is how many times the cost of unmet demands is raised, each by thirty.
const bigRaises = 8
