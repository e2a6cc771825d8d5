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
	e := d.entrant(want, number)
	if none(e.left) {
		e.best.offer(e.plan)
	}
	for end := (deliverWork - d.p.spent) / packPart; len(e.best.plan) == 0 && e.work() < end && d.ctx.Err() == nil; {
		e.run(firstLap)
	}
	d.p.spent += e.work()
	if len(e.best.plan) > 0 {
		return cutsOf(e.best.plan)
	}
	some := cutsOf(e.plan)
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

// entrant begins a plan on numbers of boards, with a toolbox of its own.
func (d *deliverer) entrant(want, number []int) *entrant {
	var cost int64
	for k, n := range number {
		cost += int64(n) * d.p.price(k)
	}
	x := newToolbox(d.ctx, d.p, want, packWorth*float64(cost+1))
	e := newEntrant(x, &incumbent{p: d.p, pool: newPool(d.p), clock: x.work, cost: cost + 1})
	g := e.greed(nil, e.left, d.p.volumes(want))
	for k, n := range number {
		for range n {
			c, _ := g.board(k)
			e.plan = append(e.plan, c.layout)
		}
	}
	e.cost = cost
	return e
}
