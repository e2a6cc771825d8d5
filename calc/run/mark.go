package run

// Face is a face of a leaf.
type Face int

// The faces of a leaf as it comes off.
const (
	NoFace    Face = iota
	FenceFace      // toward the fence: sawn by the leaf's own cut
	BladeFace      // toward the blade: sawn by the cut before
)

// Mark is what is written on a leaf.
type Mark struct {
	Billet string
	Leaf   int  // ordinal in the run
	Set    int  // ordinal of its matched set; 0 where it is in none
	Book   Face // the face it shows in its set
	With   int  // the leaf whose book face lay across the same kerf; 0 for none
}

// marker numbers and marks leaves in the order of their cuts.
type marker struct {
	in        Input
	leaf, set int
}

// mark gives a row the leaf of its task, if that frees one.
func (m *marker) mark(c *Cut, t task) {
	c.Entry = t.entry
	if t.entry < 0 {
		return
	}
	m.leaf++
	if t.inSet == 1 {
		m.set++
	}
	c.Leaf, c.Name, c.Mark = m.leaf, m.in.Leaves[t.entry].Name, mark(m.in.Board.Name, m.leaf, m.set, t)
}

// mark gives the mark of a leaf: in a set of four, the first bookmatches with the
// second and the third with the fourth.
func mark(billet string, leaf, set int, t task) Mark {
	m := Mark{Billet: billet, Leaf: leaf}
	switch {
	case t.inSet == 0:
		return m
	case t.inSet%2 == 0:
		m.Book, m.With = BladeFace, leaf-1
	default:
		m.Book = FenceFace
		if t.Together > 1 {
			m.With = leaf + 1
		}
	}
	m.Set = set
	return m
}
