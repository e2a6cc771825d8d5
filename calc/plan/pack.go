package plan

// pack looks for cuts that give what is wanted, whatever they cost: small steps
// on a plan that keeps to all boards of kinds that may run out, and to as many
// of the others as the cuts at hand have. Cuts that do not give it all are kept
// when they give more than those at hand.
func (d *deliverer) pack(want []int) []cut {
	var sets int
	for _, n := range want {
		sets += n
	}
	number, boards := d.rack(sets)
	if boards > mostPacked {
		return nil
	}
	s, e := d.entrant(want, number)
	if none(e.left) {
		s.offer(e.plan)
	}
	for end := (deliverWork - d.p.spent) / packPart; len(s.best) == 0 && s.work() < end && d.ctx.Err() == nil; {
		s.run(e, firstLap)
	}
	d.p.spent += s.work()
	if len(s.best) > 0 {
		return s.cuts()
	}
	var some []cut
	for _, lay := range e.plan {
		some = append(some, cut{lay, 1})
	}
	has, now, volume := d.has(some), d.has(d.cuts), d.p.volumes(d.need)
	if covers(has, d.given) && total(volume, has) > total(volume, now) {
		d.cuts = some
	}
	return nil
}

// The most boards that are packed at once, and what part of the work that is
// left a try may take.
const (
	mostPacked = 150
	packPart   = 4
	packWorth  = 1000 // times the cost of its boards, that all sets are taken to be worth
)

// rack returns how many boards of each kind are cut for so many sets at most,
// and in all.
func (d *deliverer) rack(sets int) (number []int, boards int) {
	number = make([]int, len(d.p.kinds))
	for _, c := range d.cuts {
		number[c.kind] += c.copies
	}
	for k, b := range d.p.order.Boards {
		if b.Quantity != Unlimited {
			number[k] = min(b.Quantity, sets)
		}
		boards += number[k]
	}
	return number, boards
}

// entrant begins a plan on numbers of boards, in a search of its own.
func (d *deliverer) entrant(want, number []int) (*search, *entrant) {
	s := newSearch(d.ctx, d.p, want, nil)
	e := s.newEntrant()
	g := s.greed(nil, e.left, d.p.volumes(want))
	for k, n := range number {
		for range n {
			c, _ := g.board(k)
			e.plan = append(e.plan, c.layout)
			e.cost += d.p.price(k)
		}
	}
	s.least = e.cost + 1
	s.dual = newDual(d.p, want, packWorth*float64(s.least))
	return s, e
}
