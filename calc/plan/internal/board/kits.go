package board

// addKits says how many sets of each item a kit of each kind takes.
func (p *Problem) addKits() {
	for _, k := range p.Order.Kits {
		takes := make([]int, len(p.Items))
		for _, kp := range k.Parts {
			takes[kp.Part] = kp.Quantity / p.Order.Parts[kp.Part].SetSize()
		}
		p.kits = append(p.kits, takes)
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
	q.Order.Kits, q.kits = nil, nil
	return &q
}

// ForPlans returns the problem as it is for plans alone, without what bounds consider
// beside.
func (p *Problem) ForPlans() *Problem {
	q := *p
	q.classes, q.bounds = 0, nil
	return &q
}
