package bound

import (
	"cmp"
	"slices"
)

// Richest returns how many of each board to take for the most worth within a
// budget, or for nearly the most when there are too many choices.
func Richest(boards []CoverBoard, budget int64) []int64 {
	order := make([]int, len(boards))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(x, y int) int {
		return cmp.Compare(float64(boards[y].Worth)/float64(max(1, boards[y].Price)), float64(boards[x].Worth)/float64(max(1, boards[x].Price)))
	})
	r := rich{boards: boards, order: order, now: make([]int64, len(boards)), best: make([]int64, len(boards))}
	r.search(0, 0, budget)
	return r.best
}

// rich is the state of richest.
type rich struct {
	boards []CoverBoard
	order  []int
	now    []int64
	best   []int64
	most   int64 // worth of best
	steps  int
}

// search tries numbers of boards n and after with what is left of the budget.
func (r *rich) search(n int, worth, budget int64) {
	if worth > r.most {
		r.most = worth
		copy(r.best, r.now)
	}
	r.steps++
	if n == len(r.order) || r.steps > coverSteps {
		return
	}
	b := r.boards[r.order[n]]
	if worth+int64(float64(budget)*float64(b.Worth)/float64(max(1, b.Price))) <= r.most {
		return
	}
	for x := min(b.Most, budget/max(1, b.Price)); x >= 0; x-- {
		r.now[r.order[n]] = x
		r.search(n+1, worth+x*b.Worth, budget-x*b.Price)
	}
	r.now[r.order[n]] = 0
}
