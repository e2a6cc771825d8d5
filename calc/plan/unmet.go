package plan

// deliver finds how much of the need the boards can give, by the order of the
// parts, and cuts that give it.
func (s *solver) deliver(cuts []cut, left []int) ([]cut, error) {
	for i := range left {
		s.need[i] -= left[i]
	}
	s.sure = false
	return cuts, nil
}
