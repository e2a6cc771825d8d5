package plan

import (
	"context"
	"errors"

	"resawd/calc/plan/colgen"
)

// problem returns the engine's problem of a need.
func (j *job) problem(need []int) colgen.Problem {
	e := colgen.Problem{Demand: need, Pricer: j.src.prices()}
	for _, b := range j.p.order.Boards {
		e.Kinds = append(e.Kinds, colgen.Kind{Cost: b.Price, Quantity: b.Quantity})
	}
	return e
}

// layouts turns the engine's patterns into cuts.
func (j *job) layouts(uses []colgen.Use) ([]cut, error) {
	var cuts []cut
	for _, u := range uses {
		lay, ok := j.src.layout(u.Kind, u.Pieces)
		if !ok {
			return nil, errors.New("a pattern without a layout")
		}
		cuts = append(cuts, cut{lay, u.Copies})
	}
	return cuts, nil
}

// engine has column generation search for the cheapest cuts. It is not given
// the cuts at hand: it does better from its own.
func (j *job) engine(ctx context.Context, work int64, progress func(colgen.Progress)) error {
	opt := colgen.Options{WorkLimit: work, Progress: progress}
	res, err := colgen.Solve(ctx, j.problem(j.need), opt)
	if err != nil {
		return err
	}
	j.bound = max(j.bound, res.LowerBound)
	if j.plausible(res.ItemPrice) {
		j.price = res.ItemPrice
	}
	j.stats.Work += res.Stats.Work
	j.stats.Patterns += res.Stats.Columns
	if len(res.Plan) == 0 || res.Cost > j.p.cost(j.cuts) {
		return nil
	}
	cuts, err := j.layouts(res.Plan)
	j.cuts = trim(cuts, j.need)
	return err
}

// plausible tells whether prices of the engine make what is needed worth no
// more than twice its cost: those of a linear program that was left unsolved
// are beyond all measure.
func (j *job) plausible(price []float64) bool {
	var sum float64
	for i, v := range price {
		sum += v * float64(j.need[i])
	}
	return price != nil && sum <= 2*float64(j.p.cost(j.cuts))
}

// Column generation joins the search of a job of three stages once, after so
// much work without gain, for so much work.
const (
	columnAfter  = 600_000_000
	columnBoards = 12 // fewer boards are better found by the search alone
	columnWork   = 150_000_000
)

// columns has column generation look for a better plan than the search's own,
// which then goes on from it.
func (j *job) columns(ctx context.Context) error {
	if j.columned || j.search.idle() < columnAfter || len(j.search.best) < columnBoards {
		return nil
	}
	j.columned, j.cuts = true, j.search.cuts()
	if err := j.engine(ctx, columnWork, nil); err != nil {
		return err
	}
	j.search.dual.bound = max(j.search.dual.bound, j.bound)
	j.search.adopt(j.cuts)
	return nil
}

// give has column generation look for any cuts that deliver a need. It tells
// whether there are none.
func (j *job) give(ctx context.Context, need []int) (cuts []cut, never bool, err error) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	opt := colgen.Options{WorkLimit: giveWork, Progress: func(p colgen.Progress) {
		if p.Found {
			cancel()
		}
	}}
	res, err := colgen.Solve(ctx, j.problem(need), opt)
	if err != nil || res.Status == colgen.Infeasible {
		return nil, err == nil, err
	}
	cuts, err = j.layouts(res.Plan)
	return cuts, false, err
}

// giveWork is the work allowed to each question of give.
const giveWork = 100_000_000
