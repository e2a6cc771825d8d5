package bound

import (
	"cmp"
	"iter"
	"math"
	"slices"

	"resawd/calc/plan/internal/board"
)

// cover is the knapsack of whole boards: the least cost of boards that
// together are worth a demand. No plan is cheaper, for whatever values.
type cover struct {
	boards []CoverBoard // the most worth for its price first
	best   int64
	steps  int
}

// CoverBoard is a kind of board in a cover.
type CoverBoard struct{ Worth, Price, Most int64 }

// coverSteps is the work allowed to one cover.
const coverSteps = 20_000

// leastCover returns the least cost of boards worth a demand, or a bound on it
// when there are too many choices; limit when it is not below a limit.
//
// Source: definition; branch and bound as in Horowitz and Sahni, J. ACM 21
// (1974) 277-292 (from memory).
func leastCover(boards []CoverBoard, demand, limit int64) int64 {
	boards = slices.DeleteFunc(boards, func(b CoverBoard) bool { return b.Worth <= 0 || b.Most <= 0 })
	slices.SortStableFunc(boards, func(x, y CoverBoard) int {
		return cmp.Compare(float64(x.Price)/float64(x.Worth), float64(y.Price)/float64(y.Worth))
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
	low := spent + fraction(slices.Values(c.boards[n:]), want, 0)
	c.steps++
	if low >= c.best || n == len(c.boards) || c.steps > coverSteps {
		return low
	}
	b := c.boards[n]
	least := c.best
	for x := min(b.Most, (want+b.Worth-1)/b.Worth); x >= 0; x-- {
		least = min(least, c.search(n+1, spent+x*b.Price, want-x*b.Worth))
	}
	return max(low, least)
}

// beyond is more than any plan costs: MaxLeaves boards of MaxPrice come to
// less than 1 << 52.
const beyond = int64(1) << 60

// fraction returns a bound on the cost of a worth when the last of some boards
// may be cut: beyond every cost when the boards do not suffice. What they do not give
// may be work, a unit of its price for so many steps of value, 0 where it costs nothing.
func fraction(boards iter.Seq[CoverBoard], want int64, work float64) int64 {
	var spent int64
	for b := range boards {
		if want <= 0 {
			return spent
		}
		if float64(b.Worth) < work*float64(b.Price) {
			break // the work costs less
		}
		if x := (want + b.Worth - 1) / b.Worth; x <= b.Most {
			x--
			want -= x * b.Worth
			return spent + x*b.Price + int64(math.Ceil(float64(b.Price)*float64(want)/float64(b.Worth)*(1-1e-12)))
		}
		want -= b.Most * b.Worth
		spent += b.Most * b.Price
	}
	return min(beyond, spent+workFor(want, work))
}

// workFor returns the least price of work for a worth, beyond every cost where work
// costs nothing.
func workFor(want int64, work float64) int64 {
	switch {
	case want <= 0:
		return 0
	case work == 0:
		return beyond
	}
	return int64(math.Ceil(float64(want) / work * (1 - 1e-12)))
}

// parts returns how much of each board to take, the last one in part, for the
// least cost of boards that are worth a demand, and which of those that cost anything
// is the last, -1 for none.
func parts(boards []CoverBoard, demand int64) (part []float64, last int) {
	part, last = make([]float64, len(boards)), -1
	for _, k := range cheapest(boards) {
		b := boards[k]
		part[k] = min(float64(b.Most), float64(demand)/float64(b.Worth))
		if b.Price > 0 || last < 0 {
			last = k
		}
		if (demand+b.Worth-1)/b.Worth <= b.Most {
			break
		}
		demand -= b.Most * b.Worth
	}
	return part, last
}

// factor returns by what all worths are to be multiplied for a board to be worth its
// price, of which a unit has grain steps of value.
func factor(boards []CoverBoard, k int, grain float64) float64 {
	if k < 0 || boards[k].Price == 0 {
		return 1
	}
	return float64(boards[k].Price) * grain / float64(boards[k].Worth)
}

// relaxed returns the least cost of boards worth a demand and of work, the last board
// taken in part.
func relaxed(boards []CoverBoard, demand int64, work float64) float64 {
	var sum float64
	want := float64(demand)
	for _, k := range cheapest(boards) {
		b := boards[k]
		if want <= 0 || float64(b.Worth) < work*float64(b.Price) {
			break
		}
		n := min(float64(b.Most), want/float64(b.Worth))
		sum += n * float64(b.Price)
		want -= n * float64(b.Worth)
	}
	return sum + max(0, want)/work
}

// cheapest returns which boards are worth anything, the most for the price first.
func cheapest(boards []CoverBoard) []int {
	var order []int
	for k, b := range boards {
		if b.Worth > 0 && b.Most > 0 {
			order = append(order, k)
		}
	}
	slices.SortStableFunc(order, func(x, y int) int {
		return cmp.Compare(float64(boards[x].Price)/float64(boards[x].Worth), float64(boards[y].Price)/float64(boards[y].Worth))
	})
	return order
}

// fractionCover returns the least cost of boards worth a demand, the last one
// taken in part, and of work, or a limit when it is not below it.
func fractionCover(boards []CoverBoard, demand, limit int64, work float64) int64 {
	return min(limit, fraction(func(yield func(CoverBoard) bool) {
		for _, k := range cheapest(boards) {
			if !yield(boards[k]) {
				return
			}
		}
	}, demand, work))
}

// VolumeBound returns the least cost of whole boards with as much wood, kerfs
// included, as a need takes up, and of the work that they take in any case, or the
// limit. It knows nothing of shapes, but costs nothing and suits every order.
func VolumeBound(p *board.Problem, need []int, limit int64) int64 {
	scale := 0.0
	for i, n := range need {
		scale += float64(n) * p.Volume(i)
	}
	scale = (1 << 40) / max(1, scale)
	var demand int64
	for i, n := range need {
		demand += int64(n) * int64(p.Volume(i)*scale*(1-1e-9))
	}
	boards := make([]CoverBoard, len(p.Kinds))
	for k, kd := range p.Kinds {
		wood := float64(max(0, slices.Max(p.Groups[kd.Group].Room)))
		if p.Rips() {
			wood *= float64(kd.Rip)
		}
		if p.Crosscuts() {
			wood *= float64(p.Order.Boards[k].Length + p.Order.CrosscutKerf)
		}
		boards[k] = CoverBoard{int64(min(wood*scale*(1+1e-9), 1<<41)) + 1, p.Price(k) + p.LeastMount(k), p.Most(k, limit)}
	}
	work := p.LeastPasses(need)
	return work + leastCover(boards, demand, limit-work)
}
