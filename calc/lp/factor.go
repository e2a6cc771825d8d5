package lp

// factor solves systems with the basis matrix: a sparse LU factorisation, and
// the columns exchanged since it was made, in product form. Rows belong to the
// rows of the master problem, places to the columns of the basis.
//
// Source: Markowitz, Management Science 3 (1957) 255-269 (choice of pivots);
// Dantzig and Orchard-Hays, Mathematical Tables and Other Aids to Computation
// 8 (1954) 64-67 (product form); both from memory.
type factor struct {
	lower   sparse // of each pivot in turn: what is taken of its row from others
	pivot   []pivot
	byRow   sparse // of each pivot in turn: the rest of its row, by place
	byPlace sparse // of each pivot in turn: the rest of its column, by row
	changes changes
	shared  bool // a clone holds the same slices
	work    int64
}

// pivot is where the factorisation divides.
type pivot struct {
	row, place int32
	value      float64
}

// changes are the columns that came into a place, each as the basis before saw
// it.
type changes struct {
	place []int32
	value []float64 // at its place
	rest  sparse    // at other places
}

// sparse is a list of sparse vectors.
type sparse struct {
	start []int32 // of each vector, and the end
	at    []int32
	val   []float64
}

func (s *sparse) reset() {
	s.start = append(s.start[:0], 0)
	s.at, s.val = s.at[:0], s.val[:0]
}

func (s *sparse) put(at int32, val float64) {
	s.at, s.val = append(s.at, at), append(s.val, val)
}

// capped is the list with no room to grow in place.
func (s *sparse) capped() sparse {
	a, b := len(s.start), len(s.at)
	return sparse{s.start[:a:a], s.at[:b:b], s.val[:b:b]}
}

func (s *sparse) close() { s.start = append(s.start, int32(len(s.at))) }

func (s *sparse) vector(k int) ([]int32, []float64) {
	a, b := s.start[k], s.start[k+1]
	return s.at[a:b], s.val[a:b]
}

// clone shares what there is; what either of the two adds is its own.
func (f *factor) clone() factor {
	f.shared = true
	c, n := *f, len(f.changes.place)
	c.changes.place, c.changes.value = c.changes.place[:n:n], c.changes.value[:n:n]
	c.changes.rest = c.changes.rest.capped()
	return c
}

// start empties the factor.
func (f *factor) start() {
	if f.shared {
		*f = factor{work: f.work}
	}
	f.lower.reset()
	f.byRow.reset()
	f.changes.rest.reset()
	f.pivot, f.changes.place, f.changes.value = f.pivot[:0], f.changes.place[:0], f.changes.value[:0]
}

// ftran solves B out = v. It destroys v.
func (f *factor) ftran(v, out []float64) {
	for k, p := range f.pivot {
		if t := v[p.row]; t != 0 {
			at, val := f.lower.vector(k)
			for x, r := range at {
				v[r] -= val[x] * t
			}
		}
	}
	for k := len(f.pivot) - 1; k >= 0; k-- {
		p := f.pivot[k]
		t := v[p.row]
		if t == 0 {
			out[p.place] = 0
			continue
		}
		t /= p.value
		out[p.place] = t
		at, val := f.byPlace.vector(k)
		for x, r := range at {
			v[r] -= val[x] * t
		}
	}
	f.work += int64(2*len(f.pivot) + len(f.lower.at)/2 + len(f.byPlace.at)/2)
	for i, place := range f.changes.place {
		t := out[place]
		if t == 0 {
			continue
		}
		t /= f.changes.value[i]
		out[place] = t
		at, val := f.changes.rest.vector(i)
		for x, q := range at {
			out[q] -= val[x] * t
		}
		f.work += int64(len(at))
	}
}

// btran solves B' out = v. It destroys v.
func (f *factor) btran(v, out []float64) {
	for i := len(f.changes.place) - 1; i >= 0; i-- {
		t := v[f.changes.place[i]]
		at, val := f.changes.rest.vector(i)
		for x, q := range at {
			t -= val[x] * v[q]
		}
		v[f.changes.place[i]] = t / f.changes.value[i]
		f.work += int64(len(at))
	}
	for k, p := range f.pivot {
		t := v[p.place]
		if t == 0 {
			out[p.row] = 0
			continue
		}
		t /= p.value
		out[p.row] = t
		at, val := f.byRow.vector(k)
		for x, q := range at {
			v[q] -= val[x] * t
		}
	}
	for k := len(f.pivot) - 1; k >= 0; k-- {
		at, val := f.lower.vector(k)
		if len(at) == 0 {
			continue
		}
		t := out[f.pivot[k].row]
		for x, r := range at {
			t -= val[x] * out[r]
		}
		out[f.pivot[k].row] = t
	}
	f.work += int64(2*len(f.pivot) + len(f.lower.at) + len(f.byRow.at)/2)
}

// exchange puts the column that ftran gave as alpha, with the given nonzero
// places, into a place.
func (f *factor) exchange(place int, alpha []float64, nz []int32) {
	c := &f.changes
	for _, q := range nz {
		if int(q) != place {
			c.rest.put(q, alpha[q])
		}
	}
	c.rest.close()
	c.place, c.value = append(c.place, int32(place)), append(c.value, alpha[place])
	f.work += int64(len(nz))
}
