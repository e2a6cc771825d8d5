package plan

import (
	"context"

	"resawd/calc/plan/colgen"
)

// line returns a problem of one dimension as the engine takes it, where every
// board is one billet and may give every part. It is nil for others.
func (p *problem) line(need []int) *colgen.Problem {
	if p.crosscuts() || p.rips() || len(p.sets) != 1 || len(p.sets[0]) != len(p.items) {
		return nil
	}
	e := &colgen.Problem{Demand: need}
	for _, k := range p.kinds {
		e.Capacity = append(e.Capacity, int64(max(0, p.groups[k.group].room[0])))
	}
	for _, it := range p.items {
		e.Size = append(e.Size, min(colgen.MaxCapacity, int64(it.size)))
	}
	for _, b := range p.order.Boards {
		e.Kinds = append(e.Kinds, colgen.Kind{Cost: b.Price, Quantity: b.Quantity})
	}
	return e
}

// layouts turns the engine's patterns into cuts.
func layouts(uses []colgen.Use) []cut {
	var cuts []cut
	for _, u := range uses {
		var sets []Sets
		for _, pc := range u.Pieces {
			sets = append(sets, Sets{pc.Item, pc.Count})
		}
		cuts = append(cuts, cut{layout{u.Kind, []strip{{billets: []billet{{0, sets}}}}}, u.Copies})
	}
	return cuts
}

// engine has column generation search for the cheapest cuts. It is not given
// the cuts at hand: it does better from its own.
func (j *job) engine(ctx context.Context, work int64, progress func(colgen.Progress)) error {
	opt := colgen.Options{WorkLimit: work, Progress: progress}
	res, err := colgen.Solve(ctx, *j.p.line(j.need), opt)
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
	j.cuts = trim(layouts(res.Plan), j.need)
	return nil
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
	res, err := colgen.Solve(ctx, *j.p.line(need), opt)
	if err != nil || res.Status == colgen.Infeasible {
		return nil, err == nil, err
	}
	return layouts(res.Plan), false, nil
}

// giveWork is the work allowed to each question of give.
const giveWork = 100_000_000
