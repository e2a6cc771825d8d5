package solver

import (
	"slices"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/bound"
	"resawd/calc/plan/internal/search"
)

// pack looks for cuts that give what is wanted, whatever they cost: small steps
// on a plan that keeps to all boards of kinds that may run out, and to as many
// of the others as the cuts so far have. It begins with those cuts, or with none, again
// and again: most plans that are found are found soon. Cuts that do not give it all are
// kept when they give more than those.
func (d *deliverer) pack(want []int) []board.Use {
	number, boards := d.rack(want)
	if boards > mostPacked {
		return nil
	}
	cost := d.p.BoardsPrice(number)
	x := search.NewToolbox(d.ctx, d.p, want, d.kits, packWorth*float64(cost+1))
	best := &search.Incumbent{P: d.p, Need: want, Kits: d.kits, Pool: bound.NewPool(d.p), Clock: x.Work, Cost: cost + 1}
	open := func(end int64) bool { return len(best.Plan) == 0 && x.Work() < end && d.ctx.Err() == nil }
	end, cuts := (d.end-d.p.Spent)/packPart, d.cuts
	for again := true; again; again = open(end) {
		e := search.NewCandidate(x, best)
		d.lay(e, cuts, number)
		for end := min(end, x.Work()+packTry); open(end); {
			e.Run(search.FirstRound)
		}
		if cuts = nil; len(best.Plan) == 0 {
			d.keepMore(e)
		}
	}
	d.p.Spent += x.Work()
	if len(best.Plan) == 0 {
		return nil
	}
	return board.UsesOf(best.Plan)
}

// The most boards that are packed at once, what part of the work that is left they may
// take, and the work from a beginning.
const (
	mostPacked = 150
	packPart   = 2
	packTry    = 15_000_000
	packWorth  = 1000 // times the cost of its boards, that all sets are taken to be worth
)

// rack returns how many boards of each kind are cut at most for what is wanted, and in all.
func (d *deliverer) rack(want []int) (number []int, boards int) {
	sets := 0
	for _, n := range want {
		sets += n
	}
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

// lay begins a plan on numbers of boards: some cuts, and from the other boards what they
// leave.
func (d *deliverer) lay(e *search.Candidate, cuts []board.Use, number []int) {
	e.Plan, e.Cost = board.Each(cuts), d.p.BoardsPrice(number)
	number = slices.Clone(number)
	for _, lay := range e.Plan {
		board.Take(e.Left, lay.Pieces())
		number[lay.Kind]--
	}
	g := e.Greed(e.Plan, e.Left, d.p.Volumes(e.Best.Need))
	for k, n := range number {
		for range n {
			c, _ := g.Board(k)
			e.Plan = append(e.Plan, c.Layout)
		}
	}
	if board.None(e.Left) {
		e.Best.Offer(e.Plan)
	}
}

// keepMore keeps the cuts of a plan that give more than those so far, and the kits.
func (d *deliverer) keepMore(e *search.Candidate) {
	plan := slices.Clone(e.Plan)
	some := board.UsesOf(plan)
	has, now, volume := d.has(some), d.has(d.cuts), d.p.Volumes(d.need)
	if board.Covers(has, d.given) && board.Total(volume, has) > board.Total(volume, now) && e.Best.Hold(plan) {
		d.cuts = board.UsesOf(plan)
	}
}
