package solver

import (
	"context"

	"resawd/calc/plan/colgen"
	"resawd/calc/plan/colgen/solve"
	"resawd/calc/plan/internal/board"
)

// line returns a problem of one dimension as the engine takes it, where every
// board is one billet and may give every part, and what the leaves cost whatever
// boards they come from. It is nil for others.
func line(p *board.Problem, need []int) (*colgen.Problem, int64) {
	leaf, boards, ok := p.Evenly()
	if p.Crosscuts() || p.Rips() || !ok || len(p.Sets) != 1 || len(p.Sets[0]) != len(p.Items) {
		return nil, 0
	}
	var work int64
	for i, n := range need {
		work += int64(n*p.Order.Parts[i].SetSize()) * leaf
	}
	e := &colgen.Problem{Demand: need}
	for _, k := range p.Kinds {
		e.Capacity = append(e.Capacity, int64(max(0, p.Groups[k.Group].Room[0])))
	}
	for _, it := range p.Items {
		e.Size = append(e.Size, min(colgen.MaxCapacity, int64(it.Size)))
	}
	for k, b := range p.Order.Boards {
		e.Kinds = append(e.Kinds, colgen.Kind{Cost: boards[k], Quantity: b.Quantity})
	}
	if p.Priced() && e.Validate() != nil {
		return nil, 0 // with the work, boards are too dear for it
	}
	return e, work
}

// layouts turns the engine's patterns into cuts.
func layouts(uses []colgen.Use) []board.Use {
	var cuts []board.Use
	for _, u := range uses {
		var stacks []board.Stack
		for _, pc := range u.Pieces {
			stacks = append(stacks, board.Stack{Item: pc.Item, Count: pc.Count, Places: 1})
		}
		cuts = append(cuts, board.Use{Layout: board.Layout{Kind: u.Kind, Strips: []board.Strip{{Billets: []board.Billet{{W: 0, Stacks: stacks}}}}}, Copies: u.Copies})
	}
	return cuts
}

// engine has column generation search for the cheapest cuts. It is not given
// the cuts found so far: it does better from its own.
func (j *job) engine(ctx context.Context, work int64, progress func(colgen.Progress)) error {
	problem, leaves := line(j.p, j.need)
	opt := colgen.Options{WorkLimit: work, Progress: func(p colgen.Progress) {
		p.Cost, p.LowerBound = p.Cost+leaves, p.LowerBound+leaves
		progress(p)
	}}
	res, err := solve.Solve(ctx, *problem, opt)
	if err != nil {
		return err
	}
	j.bound = max(j.bound, res.LowerBound+leaves)
	if j.plausible(res.ItemPrice) {
		j.price = res.ItemPrice
	}
	j.stats.Work += res.Stats.Work
	j.stats.Patterns += res.Stats.Columns
	j.stats.MemoryFull = j.stats.MemoryFull || res.Stats.MemoryFull
	if len(res.Plan) == 0 || res.Cost+leaves > j.p.Cost(j.cuts) {
		return nil
	}
	j.cuts = j.p.Trim(layouts(res.Plan), j.need)
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
	return price != nil && sum <= 2*float64(j.p.Cost(j.cuts))
}

// give has column generation look for any cuts that deliver a need. It tells
// whether there are none.
func (j *job) give(ctx context.Context, need []int) (cuts []board.Use, never bool, err error) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	work := int64(giveWork)
	if j.brief {
		work = briefWork
	}
	opt := colgen.Options{WorkLimit: work, Progress: func(p colgen.Progress) {
		if p.Found {
			cancel()
		}
	}}
	problem, _ := line(j.p, need)
	res, err := solve.Solve(ctx, *problem, opt)
	if err != nil {
		return nil, false, err
	}
	if j.brief {
		j.p.Spent += res.Stats.Work
	}
	if res.Status == colgen.Infeasible {
		return nil, true, nil
	}
	return layouts(res.Plan), false, nil
}

// giveWork is the work allowed to each question of give.
const giveWork = 100_000_000
