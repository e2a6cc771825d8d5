package board

// stride is how long the steps of an ascent are, as a part of the gain in
// reach: it shrinks when several steps in a row gained nothing.
type stride struct {
	length float64
	since  int // steps without gain
	wait   int // that many are borne
	shrink float64
}

// NewStride returns a stride of the whole gain in reach.
func NewStride(wait int, shrink float64) stride { return stride{length: 1, wait: wait, shrink: shrink} }

// Note counts a step.
func (s *stride) Note(better bool) {
	if s.since++; better {
		s.since = 0
	}
}

// Step returns the length of the next step.
func (s *stride) Step() float64 {
	if s.since > s.wait {
		s.length, s.since = s.length*s.shrink, 0
	}
	return s.length
}
