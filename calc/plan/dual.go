package plan

import (
	"context"
	"math"
	"slices"
)

// dual seeks prices of items at which the boards' own knapsacks give a high
// lower bound on the cost of a need. Every bound is a sum of whole numbers.
//
// Source: Lagrangian relaxation of the demands, subgradient steps as in
// ascent; a board that is better than its price counts as often as it can.
type dual struct {
	p      *problem
	t      *tables
	need   []int
	price  []float64 // of a set of each item, in the unit of Board.Price
	best   []float64 // the prices of the best bound
	value  float64   // of the best bound, unrounded
	bound  int64     // certified
	stride float64
	since  int
	steps  int
}

// dualScale is how many steps of an item's value make one unit of price.
const dualScale = 1 << 10

// newDual returns a dual that starts from prices in proportion to the wood in
// the items, all of them together worth share of a cost.
func newDual(p *problem, need []int, cost int64) *dual {
	d := &dual{p: p, t: newTables(p), need: need, price: make([]float64, len(need)), stride: 1}
	volume := p.volumes(need)
	var total float64
	for i, n := range need {
		total += float64(volume[i]) * float64(n)
	}
	for i := range d.price {
		d.price[i] = float64(volume[i]) / max(1, total) * float64(cost) * 0.8
	}
	d.best = slices.Clone(d.price)
	return d
}

// values returns prices as whole numbers.
func values(price []float64) []int64 {
	v := make([]int64, len(price))
	for i, x := range price {
		v[i] = int64(x * dualScale)
	}
	return v
}

// step makes one step toward better prices, given the cost of a plan.
func (d *dual) step(ctx context.Context, cost int64) {
	d.steps++
	v := values(d.price)
	d.t.ask(v, d.need)
	slack := make([]float64, len(v))
	var sum int64
	for i, n := range d.need {
		slack[i] = float64(n)
		sum += v[i] * int64(n)
	}
	for k, kd := range d.p.kinds {
		if ctx.Err() != nil {
			return
		}
		c := d.p.order.Boards[k].Price
		worth, pieces := d.t.board(kd, kd.segs)
		if worth <= c*dualScale {
			continue
		}
		n := d.p.most(k, cost)
		sum -= n * (worth - c*dualScale)
		for i, m := range countOf(d.t, kd, pieces) {
			slack[i] -= float64(n) * float64(m)
		}
	}
	if !d.t.arena.full {
		d.note(sum)
	}
	d.walk(slack, float64(cost)-float64(sum)/dualScale)
}

// most returns how many boards of a kind a plan of at most a cost can have.
func (p *problem) most(k int, cost int64) int64 {
	n := int64(MaxQuantity)
	b := p.order.Boards[k]
	if b.Quantity != Unlimited {
		n = int64(b.Quantity)
	}
	if b.Price > 0 {
		n = min(n, cost/b.Price)
	}
	return n
}

// note keeps a bound, and the prices if they are the best.
func (d *dual) note(sum int64) {
	if sum > 0 {
		d.bound = max(d.bound, (sum+dualScale-1)/dualScale)
	}
	value := float64(sum) / dualScale
	if d.since++; value > d.value*1.0001 {
		d.since = 0
	}
	if value > d.value {
		d.value = value
		copy(d.best, d.price)
	}
}

// walk moves the prices against the slack.
func (d *dual) walk(slack []float64, gap float64) {
	if d.since > 12 {
		d.since = 0
		d.stride *= 0.7
		copy(d.price, d.best)
	}
	var norm float64
	for _, s := range slack {
		norm += s * s
	}
	if norm == 0 {
		return
	}
	for i, s := range slack {
		d.price[i] = max(0, d.price[i]+d.stride*gap/norm*s)
	}
}

// whole raises the bound to the least cost of whole boards that are worth the
// need at the best prices, each board at most what an ascent proves.
func (d *dual) whole(ctx context.Context, a *ascent, cost int64) {
	v := values(d.best)
	var demand int64
	for i, n := range d.need {
		demand += v[i] * int64(n)
	}
	boards := make([]coverBoard, len(d.p.kinds))
	for k := range boards {
		if ctx.Err() != nil {
			return
		}
		f := a.board(k, v, d.need, 20, 0)
		if f.bound == math.MaxInt64 {
			return
		}
		boards[k] = coverBoard{f.bound, d.p.price(k), d.p.most(k, cost)}
	}
	d.bound = max(d.bound, leastCover(boards, demand, cost))
}
