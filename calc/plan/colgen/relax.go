package colgen

// relax solves the relaxation of the whole problem. Where demands stay unmet
// it raises their cost until they are met, or until the bound exceeds what all
// boards cost: then there is no plan.
func (s *search) relax(low, high []int) error {
	for range bigRaises {
		s.root = s.newGenerator(s.p.Demand, low, high)
		s.many = max(s.many, s.root.lp.m/manyPart)
		s.root.exchange()
		if _, err := s.root.solve(s.cutoff()); err != nil {
			return err
		}
		if s.root.bound > s.ceiling() {
			s.none = true
			return errEnd
		}
		if s.root.lp.unmet() < 1e-7 {
			break
		}
		s.big *= 30
	}
	return s.raise(s.root.bound)
}

// a query asks for a pattern for so many rows of the master problem
const manyPart = 10

// times that the cost of unmet demands is raised, each by thirty
const bigRaises = 8
