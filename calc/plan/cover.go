package plan

import (
	"cmp"
	"iter"
	"math"
	"slices"
)

// cover is the knapsack of whole boards: the least cost of boards that
// together are worth a demand. No plan is cheaper, for whatever values.
type cover struct {
	boards []coverBoard // the most worth for its price first
	best   int64
	steps  int
}

// coverBoard is a kind of board in a cover.
type coverBoard struct{ worth, price, most int64 }

// coverSteps is the work allowed to one cover.
const coverSteps = 20_000

// leastCover returns the least cost of boards worth a demand, or a bound on it
// when there are too many choices; limit when it is not below a limit.
//
// Source: definition; branch and bound as in Horowitz and Sahni, J. ACM 21
// (1974) 277-292 (from memory).
func leastCover(boards []coverBoard, demand, limit int64) int64 {
	boards = slices.DeleteFunc(boards, func(b coverBoard) bool { return b.worth <= 0 || b.most <= 0 })
	slices.SortStableFunc(boards, func(x, y coverBoard) int {
		return cmp.Compare(float64(x.price)/float64(x.worth), float64(y.price)/float64(y.worth))
	})
	c := cover{boards: boards, best: limit}
	return min(limit, c.search(0, 0, demand))
}

// search returns the least cost, or a bound on it, of a choice that has spent
// something and still wants a worth from boards n and after.
func (c *cover) search(n int, spent, want int64) int64 {
	if want <= 0 {
		c.best = min(c.best, spent)
		return spent
	}
	low := spent + fraction(slices.Values(c.boards[n:]), want)
	c.steps++
	if low >= c.best || n == len(c.boards) || c.steps > coverSteps {
		return low
	}
	b := c.boards[n]
	least := c.best
	for x := min(b.most, (want+b.worth-1)/b.worth); x >= 0; x-- {
		least = min(least, c.search(n+1, spent+x*b.price, want-x*b.worth))
	}
	return max(low, least)
}

// beyond is more than any plan costs: MaxLeaves boards of MaxPrice come to
// less than 1 << 52.
const beyond = int64(1) << 60

// fraction returns a bound on the cost of a worth when the last of some boards
// may be cut: beyond every cost when the boards do not suffice.
func fraction(boards iter.Seq[coverBoard], want int64) int64 {
	var spent int64
	for b := range boards {
		if want <= 0 {
			return spent
		}
		if x := (want + b.worth - 1) / b.worth; x <= b.most {
			x--
			want -= x * b.worth
			return spent + x*b.price + int64(math.Ceil(float64(b.price)*float64(want)/float64(b.worth)*(1-1e-12)))
		}
		want -= b.most * b.worth
		spent += b.most * b.price
	}
	if want <= 0 {
		return spent
	}
	return beyond
}

// parts returns how much of each board to take, the last one in part, for the
// least cost of boards that are worth a demand, and the factor on all worths at
// which that one is worth its price, of which a unit has so many steps of value.
func parts(boards []coverBoard, demand int64, fine float64) (part []float64, factor float64) {
	part, factor = make([]float64, len(boards)), 1
	for _, k := range cheapest(boards) {
		b := boards[k]
		part[k] = min(float64(b.most), float64(demand)/float64(b.worth))
		if b.price > 0 {
			factor = float64(b.price) * fine / float64(b.worth)
		}
		if (demand+b.worth-1)/b.worth <= b.most {
			break
		}
		demand -= b.most * b.worth
	}
	return part, factor
}

// cheapest returns which boards are worth anything, the most for the price first.
func cheapest(boards []coverBoard) []int {
	var order []int
	for k, b := range boards {
		if b.worth > 0 && b.most > 0 {
			order = append(order, k)
		}
	}
	slices.SortStableFunc(order, func(x, y int) int {
		return cmp.Compare(float64(boards[x].price)/float64(boards[x].worth), float64(boards[y].price)/float64(boards[y].worth))
	})
	return order
}

// fractionCover returns the least cost of boards worth a demand, the last one
// taken in part, or a limit when it is not below it.
func fractionCover(boards []coverBoard, demand, limit int64) int64 {
	return min(limit, fraction(func(yield func(coverBoard) bool) {
		for _, k := range cheapest(boards) {
			if !yield(boards[k]) {
				return
			}
		}
	}, demand))
}

// volumeBound returns the least cost of whole boards with as much wood, kerfs
// included, as a need takes up, or the limit. It knows nothing of shapes, but
// costs nothing and suits every order.
func volumeBound(p *problem, need []int, limit int64) int64 {
	scale := 0.0
	for i, n := range need {
		scale += float64(n) * p.volume(i)
	}
	scale = (1 << 40) / max(1, scale)
	var demand int64
	for i, n := range need {
		demand += int64(n) * int64(p.volume(i)*scale*(1-1e-9))
	}
	boards := make([]coverBoard, len(p.kinds))
	for k, kd := range p.kinds {
		wood := float64(max(0, slices.Max(p.groups[kd.group].room)))
		if p.rips() {
			wood *= float64(kd.rip)
		}
		if p.crosscuts() {
			wood *= float64(p.order.Boards[k].Length + p.order.CrosscutKerf)
		}
		boards[k] = coverBoard{int64(min(wood*scale*(1+1e-9), 1<<41)) + 1, p.price(k), p.most(k, limit)}
	}
	return leastCover(boards, demand, limit)
}
