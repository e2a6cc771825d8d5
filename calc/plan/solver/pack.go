package solver

import (
	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/bound"
	"resawd/calc/plan/internal/search"
)

// pack looks for cuts that give what is wanted, whatever they cost: small steps
// on a plan that keeps to all boards of kinds that may run out, and to as many
// of the others as the cuts so far have. Cuts that do not give it all are kept
// when they give more than those.
func (d *deliverer) pack(want []int) []board.Use {
	var sets int
	for _, n := range want {
		sets += n
	}
	number, boards := d.rack(sets)
	if boards > mostPacked {
		return nil
	}
	e := d.candidate(want, number)
	if board.None(e.Left) {
		e.Best.Offer(e.Plan)
	}
	for end := (d.patience() - d.p.Spent) / packPart; len(e.Best.Plan) == 0 && e.Work() < end && d.ctx.Err() == nil; {
		e.Run(search.FirstRound)
	}
	d.p.Spent += e.Work()
	if len(e.Best.Plan) > 0 {
		return board.UsesOf(e.Best.Plan)
	}
	some := board.UsesOf(e.Plan)
	has, now, volume := d.has(some), d.has(d.cuts), d.p.Volumes(d.need)
	if board.Covers(has, d.given) && board.Total(volume, has) > board.Total(volume, now) {
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

// rack returns how many boards of each kind are cut at most for a number of sets,
// and in all.
func (d *deliverer) rack(sets int) (number []int, boards int) {
	number = make([]int, len(d.p.Kinds))
	for _, c := range d.cuts {
		number[c.Kind] += c.Copies
	}
	for k, b := range d.p.Order.Boards {
		if b.Quantity != plan.Unlimited {
			number[k] = min(b.Quantity, sets)
		}
		boards += number[k]
	}
	return number, boards
}

// candidate begins a plan on numbers of boards, with a toolbox of its own.
func (d *deliverer) candidate(want, number []int) *search.Candidate {
	var cost int64
	for k, n := range number {
		cost += int64(n) * d.p.Price(k)
	}
	x := search.NewToolbox(d.ctx, d.p, want, d.kits, packWorth*float64(cost+1))
	e := search.NewCandidate(x, &search.Incumbent{P: d.p, Need: want, Kits: d.kits, Pool: bound.NewPool(d.p), Clock: x.Work, Cost: cost + 1})
	g := e.Greed(nil, e.Left, d.p.Volumes(want))
	for k, n := range number {
		for range n {
			c, _ := g.Board(k)
			e.Plan = append(e.Plan, c.Layout)
		}
	}
	e.Cost = cost
	return e
}
