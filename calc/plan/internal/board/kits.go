package board

// addKits says how many sets of each item a kit of each kind takes.
func (p *Problem) addKits() {
	for _, k := range p.Order.Kits {
		takes := make([]int, len(p.Items))
		for _, kp := range k.Parts {
			takes[kp.Part] = kp.Quantity / p.Order.Parts[kp.Part].SetSize()
		}
		var makings []Sets
		for i, n := range takes {
			if n > 0 {
				makings = append(makings, Sets{i, n})
			}
		}
		p.kits, p.makings = append(p.kits, takes), append(p.makings, makings)
	}
}

// InKit returns how many sets of an item a kit of a kind takes.
func (p *Problem) InKit(k, i int) int { return p.kits[k][i] }

// InKits returns how many sets of an item numbers of kits take.
func (p *Problem) InKits(kits []int, i int) int {
	sum := 0
	for k, n := range kits {
		sum += n * p.kits[k][i]
	}
	return sum
}

// Wanted returns how many kits of each kind are wanted, and sets of each item, those in
// kits among them: nothing that fits no board on the rack, and of kits that hold it
// nothing at all.
func (p *Problem) Wanted() (kits, need []int) {
	need = p.Possible()
	kits = make([]int, len(p.Order.Kits))
	for k := range kits {
		lost := 0
		for i, n := range p.kits[k] {
			if n > 0 && need[i] == 0 {
				lost = p.Order.Kits[k].Quantity
			}
		}
		kits[k] = p.Order.Kits[k].Quantity - lost
	}
	for i, it := range p.Items {
		if need[i] > 0 {
			need[i] = it.Need - p.Lost(kits, i)
		}
	}
	return kits, need
}

// Lost returns how many sets of an item are unmet with the kits that are wanted beyond
// those given.
func (p *Problem) Lost(kits []int, i int) int {
	lost := 0
	for k, n := range kits {
		lost += (p.Order.Kits[k].Quantity - n) * p.kits[k][i]
	}
	return lost
}

// Bare returns the problem without its kits.
func (p *Problem) Bare() *Problem {
	q := *p
	q.Order.Kits, q.kits, q.makings = nil, nil, nil
	return &q
}

// ForPlans returns the problem as it is for plans alone, without what bounds consider
// beside.
func (p *Problem) ForPlans() *Problem {
	q := *p
	q.classes, q.bounds = 0, nil
	return &q
}

// Holder finds kits in the boards of a plan.
type Holder struct {
	P       *Problem
	Missing []int   // of each kind, that it found in no board
	Held    [][]int // by board: kits of each kind

	left [][]int // by board: sets beside these
}

// Hold looks for kits of which some numbers are wanted, the first kinds first.
func (h *Holder) Hold(plan []Layout, kits []int) {
	h.count(plan)
	h.Missing = append(h.Missing[:0], kits...)
	for k := range kits {
		for b, left := range h.left {
			if n := h.most(k, left); n > 0 {
				h.Missing[k] -= n
				h.take(left, k, n)
				h.Held[b][k] = n
			}
		}
	}
}

// count counts the sets that the boards of a plan give.
func (h *Holder) count(plan []Layout) {
	for len(h.left) < len(plan) {
		h.left, h.Held = append(h.left, make([]int, len(h.P.Items))), append(h.Held, make([]int, len(h.P.makings)))
	}
	h.left, h.Held = h.left[:len(plan)], h.Held[:len(plan)]
	for b, lay := range plan {
		clear(h.left[b])
		clear(h.Held[b])
		for s := range lay.stacks() {
			h.left[b][s.Item] += s.Sets()
		}
	}
}

// most returns how many of the kits of a kind that are missing some sets make.
func (h *Holder) most(k int, sets []int) int {
	n := h.Missing[k]
	for _, s := range h.P.makings[k] {
		n = min(n, sets[s.Item]/s.Count)
	}
	return n
}

// take takes kits out of some sets.
func (h *Holder) take(sets []int, k, n int) {
	for _, s := range h.P.makings[k] {
		sets[s.Item] -= n * s.Count
	}
}

// Nearest returns the most that some board holds of a kit beside those found, at values
// of a set of each item, and which board it is, -1 for none.
func (h *Holder) Nearest(k int, value []float64) (worth float64, board int) {
	board = -1
	for b, left := range h.left {
		var sum float64
		for _, s := range h.P.makings[k] {
			sum += float64(min(s.Count, left[s.Item])) * value[s.Item]
		}
		if sum > worth {
			worth, board = sum, b
		}
	}
	return worth, board
}

// KitWorth returns what the sets of a kit are worth.
func (p *Problem) KitWorth(k int, value []float64) float64 {
	var sum float64
	for _, s := range p.makings[k] {
		sum += float64(s.Count) * value[s.Item]
	}
	return sum
}

// Makings returns the sets that a kit of a kind is made of.
func (p *Problem) Makings(k int) []Sets { return p.makings[k] }

// KitsOf returns how many kits of each kind cuts give.
func (p *Problem) KitsOf(cuts []Use) []int {
	kits := make([]int, len(p.Order.Kits))
	for _, c := range cuts {
		for k, n := range c.Kits {
			kits[k] += n * c.Copies
		}
	}
	return kits
}
