package solver

import (
	"context"
	"slices"

	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/bound"
	"resawd/calc/plan/internal/keep"
	"resawd/calc/plan/internal/search"
)

// beginKits finds a first plan with kits: boards are loaded with them, and what is
// wanted beside them is cut from the rest like an order without kits. The bound is that
// of an order without kits, which is no dearer.
func (j *job) beginKits(ctx context.Context) error {
	lays, kits := keep.Load(ctx, j.p, j.kits, j.need)
	rest := j.rest(lays, kits)
	err := rest.start(ctx)
	if err != nil {
		return err
	}
	j.p.Note(rest.p)
	j.sure = slices.Equal(kits, j.kits) && board.Covers(rest.need, rest.wanted)
	for i, n := range j.need {
		short := rest.wanted[i] - rest.need[i] // of what is wanted beside kits
		j.need[i] = n - short - j.p.Lost(kits, i) + j.p.Lost(j.kits, i)
	}
	j.kits = kits
	j.cuts = j.p.Trim(append(board.UsesOf(lays), rest.cuts...), j.need)
	j.open = true
	j.bound = bound.VolumeBound(j.p.Bounds(), j.need, j.p.Cost(j.cuts))
	if j.brief {
		return nil
	}
	j.keeper = keep.NewKeeper(ctx, j.p, j.need, each(j.cuts))
	if !j.line {
		j.search = search.NewSearch(ctx, j.p.Bare(), j.need, withoutKits(j.cuts))
	}
	return nil
}

// rest returns the job that is left when boards are loaded with kits.
func (j *job) rest(lays []board.Layout, kits []int) *job {
	need := make([]int, len(j.need))
	for i, n := range j.need {
		need[i] = n - j.p.Lost(kits, i) + j.p.Lost(j.kits, i)
	}
	for _, lay := range lays {
		for _, s := range lay.Pieces() {
			need[s.Item] -= s.Count
		}
	}
	for i := range need {
		need[i] = max(0, need[i])
	}
	return &job{order: j.order, unit: j.unit, boards: j.boards, parts: j.parts, p: j.p.Without(lays).Bare(), line: j.line, brief: j.brief,
		need: need, wanted: slices.Clone(need), sure: true}
}

// withoutKits returns cuts of a problem without kits.
func withoutKits(cuts []board.Use) []board.Use {
	bare := slices.Clone(cuts)
	for i := range bare {
		bare[i].Kits = nil
	}
	return bare
}

// each returns boards one by one.
func each(cuts []board.Use) []board.Layout {
	var plan []board.Layout
	for _, c := range cuts {
		for range c.Copies {
			plan = append(plan, c.Layout)
		}
	}
	return plan
}

// patience of a search for kits, in work without gain, where no time is set for it.
const keepPatience = 300_000_000

// keep betters a plan with kits: for as much work as the search without them has had, and
// by looking for the kits in what that has found.
func (j *job) keep(patient bool) {
	work := int64(0)
	if j.search != nil {
		if j.searched = j.searched || !j.search.Slice(); !j.searched {
			work = j.search.Work()
		}
		j.bound, j.price = max(j.bound, min(j.search.Dual.Bound, j.search.Best.Cost)), j.search.Dual.Best
		j.look()
	}
	for j.keeper.Step(); j.keeper.Work < work; {
		j.keeper.Step()
	}
	j.cuts = board.UsesOf(j.keeper.Plan)
	j.open = j.bound < j.keeper.Cost && (patient || j.keeper.Idle < keepPatience)
}

// look looks for the kits in the best plan of the search.
func (j *job) look() {
	best := j.search.Best
	if best.Cost >= j.keeper.Cost || best.Cost == j.looked {
		return
	}
	j.looked = best.Cost
	if plan, ok := keep.Assign(j.p, best.Plan, j.kits); ok {
		j.keeper.Take(plan)
	}
}
