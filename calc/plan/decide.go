package plan

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// decider decides whether some boards, taken together, can deliver the need. A
// node says how many sets of each item each board gives at least and at most;
// there it seeks prices at which the boards are worth less than the need, and
// when there are none it branches on how many sets of an item a board gives.
//
// Source: branch and price: Barnhart and others, Operations Research 46 (1998)
// 316-329 (from memory).
type decider struct {
	h      *haggler
	number []int
	boards []int // kinds, board by board
	open   []*portions
	unsure bool // something was neither ruled out nor delivered
}

// portions is what each board has of the need.
type portions struct {
	low, high [][]int // by board and item
	price     []float64
	mean      [][]float64 // what the boards gave in the mean, at the prices tried
	rounds    int
	level     int // of haggleNodes
}

// Limits of a decider.
const (
	mostDecided  = 8 // boards
	decideSteps  = 120
	decideRounds = 12
	decideLevels = 2     // of haggleNodes, where there is more to branch on
	ampleExcess  = -0.03 // of the worth of the need: prices that need not become better
)

// newDecider returns a decider of numbers of boards, nil when they are too many.
func newDecider(h *haggler, number []int) *decider {
	d := &decider{h: h, number: number}
	for k, n := range number {
		if len(d.boards)+n > mostDecided {
			return nil
		}
		d.boards = append(d.boards, slices.Repeat([]int{k}, n)...)
	}
	need := h.d.need
	first := 0 // an item that boards of a kind may be said to have less and less of
	for i := range need {
		if h.price[i]*float64(need[i]) > h.price[first]*float64(need[first]) {
			first = i
		}
	}
	root := &portions{price: slices.Clone(h.price)}
	for b, k := range d.boards {
		high := slices.Clone(need)
		high[first] /= b - slices.Index(d.boards, k) + 1
		root.low, root.high = append(root.low, make([]int, len(need))), append(root.high, high)
	}
	d.open = []*portions{root}
	return d
}

// step works on one node for a round. It returns a plan when it has met one.
func (d *decider) step(ctx context.Context) (verdict, []layout) {
	if len(d.open) == 0 {
		return d.end(), nil
	}
	x := d.open[len(d.open)-1]
	v, over, plan := d.haggle(x)
	if plan != nil {
		return can, plan
	}
	if over >= 0 || x.rounds == decideRounds {
		d.branch(x)
		return d.end(), nil
	}
	x.rounds++
	none, fresh := d.verify(ctx, x, v, x.level)
	switch {
	case ctx.Err() != nil:
		return undecided, nil
	case none:
		d.open = d.open[:len(d.open)-1]
	case !fresh:
		if x.level++; x.level == decideLevels && !x.fixed() || x.level == len(haggleNodes) {
			d.branch(x)
		}
	}
	return d.end(), nil
}

// end returns the verdict when no node is open.
func (d *decider) end() verdict {
	if len(d.open) > 0 || d.unsure {
		return undecided
	}
	return cannot
}

// haggle seeks values at which the patterns of the pool are worth least for
// what the need is worth. It returns by how much more they are, as a part, and
// the boards when they happen to deliver the need.
func (d *decider) haggle(x *portions) (best []int64, least float64, plan []layout) {
	need, price := d.h.d.need, slices.Clone(x.price)
	x.mean = make([][]float64, len(d.boards))
	for b := range x.mean {
		x.mean[b] = make([]float64, len(need))
	}
	least = math.Inf(1)
	stride, since := 1.0, 0
	for n := range decideSteps {
		v := values(price)
		worth, left, lays := d.give(x, v, max(0.05, 1/float64(n+1)))
		if none(left) {
			return v, 0, lays
		}
		want := total(v, need)
		over := float64(worth-want) / float64(max(1, want))
		if since++; over < least {
			least, since, best = over, 0, v
			copy(x.price, price)
		}
		if least < ampleExcess {
			break
		}
		if since > 5 {
			since, stride = 0, stride*0.7
		}
		slack := make([]float64, len(need))
		for i, n := range left {
			slack[i] = float64(n)
		}
		shift(price, slack, stride*(over+0.02)*float64(want)/dualScale)
	}
	return best, least, nil
}

// give returns what the best patterns of the boards are worth at some values,
// what they leave of the need, and their layouts. They enter the mean with a
// weight.
func (d *decider) give(x *portions, v []int64, weight float64) (worth int64, left []int, lays []layout) {
	left = slices.Clone(d.h.d.need)
	for b, k := range d.boards {
		w, p := d.h.pool.best(k, v, x.high[b])
		worth += w
		lays = append(lays, p.lay)
		for i := range x.mean[b] {
			x.mean[b][i] *= 1 - weight
		}
		for _, pc := range p.sets {
			n := min(pc.Count, x.high[b][pc.Item])
			left[pc.Item] -= n
			x.mean[b][pc.Item] += weight * float64(n)
		}
	}
	return worth, left, lays
}

// verify tells whether the boards are worth less than the need at some values,
// and whether it met a pattern that is worth clearly more than the pool knew.
func (d *decider) verify(ctx context.Context, x *portions, v []int64, level int) (none, fresh bool) {
	h := d.h
	worth, floor, order := make([]int64, len(d.boards)), make([]int64, len(d.boards)), make([]int, len(d.boards))
	want := total(v, h.d.need)
	over := -want
	for b, k := range d.boards {
		most, _ := h.pool.best(k, v, x.high[b])
		floor[b], order[b] = above(most), b
		f := h.a.board(k, v, x.high[b], climbs, floor[b])
		worth[b] = min(f.bound, want)
		over += worth[b]
		fresh = f.worth > floor[b] && h.pool.add(f.lay) || fresh
		if ctx.Err() != nil {
			return false, false
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(worth[b]-floor[b], worth[a]-floor[a]) })
	for _, b := range order {
		if over < 0 || fresh || worth[b] <= floor[b] || ctx.Err() != nil {
			break
		}
		k := d.boards[b]
		enough := max(floor[b], worth[b]-over-1) // if it is worth no more, all are worth less than the need
		w := min(worth[b], h.b.board(ctx, k, v, x.high[b], enough, h.a.shares(k), haggleNodes[level]))
		over += w - worth[b]
		fresh = h.b.worth > floor[b] && h.pool.add(h.b.best) || fresh
	}
	return over < 0, fresh
}

// branch puts in place of a node those in which a board gives no more of an
// item than so many sets, and more.
func (d *decider) branch(x *portions) {
	d.open = d.open[:len(d.open)-1]
	board, item := d.pick(x)
	if board < 0 {
		d.unsure = true // each board has its portion
		return
	}
	at := max(x.low[board][item], min(x.high[board][item]-1, int(x.mean[board][item])))
	few, many := x.clone(), x.clone()
	few.high[board][item], many.low[board][item] = at, at+1
	for _, y := range []*portions{many, few} {
		if y.tighten(d.h.d.need, item) {
			d.open = append(d.open, y)
		}
	}
}

// pick returns the board and the item of which it is most in doubt how much the
// board gives, by value; -1 when there is none.
func (d *decider) pick(x *portions) (board, item int) {
	board, score := -1, -1.0
	for b := range d.boards {
		for i := range d.h.d.need {
			low, high := x.low[b][i], x.high[b][i]
			if low >= high {
				continue
			}
			m := min(max(x.mean[b][i], float64(low)), float64(high))
			f := m - math.Floor(m)
			if s := x.price[i] * (min(f, 1-f) + 0.01); s > score {
				board, item, score = b, i, s
			}
		}
	}
	return board, item
}

// fixed tells whether every board has its portion.
func (x *portions) fixed() bool {
	return slices.EqualFunc(x.low, x.high, slices.Equal[[]int])
}

// clone returns a copy.
func (x *portions) clone() *portions {
	y := &portions{price: slices.Clone(x.price)}
	for b := range x.low {
		y.low, y.high = append(y.low, slices.Clone(x.low[b])), append(y.high, slices.Clone(x.high[b]))
	}
	return y
}

// tighten brings the portions of an item in line with the need, and tells
// whether they can be.
func (x *portions) tighten(need []int, i int) bool {
	var low, high int
	for b := range x.low {
		low, high = low+x.low[b][i], high+x.high[b][i]
	}
	if low > need[i] || high < need[i] {
		return false
	}
	for b := range x.low {
		most, least := need[i]-low+x.low[b][i], need[i]-high+x.high[b][i]
		x.high[b][i], x.low[b][i] = min(x.high[b][i], most), max(x.low[b][i], least)
	}
	return true
}
