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
	lays, kits := j.load(ctx)
	rest := j.rest(lays, kits)
	cuts, left := rest.first(ctx)
	j.p.Note(rest.p)
	j.cuts = append(board.UsesOf(lays), cuts...)
	if !slices.Equal(kits, j.kits) || !board.None(left) {
		if err := j.deliverKits(ctx, kits); err != nil {
			return err
		}
	}
	j.cuts = j.p.Trim(j.cuts, j.need)
	j.open = true
	j.bound = bound.VolumeBound(j.p.Bounds(), j.need, j.p.Cost(j.cuts))
	if j.brief {
		return nil
	}
	j.keeper = keep.NewKeeper(ctx, j.p, j.need, board.Each(j.cuts))
	if !j.line {
		j.search = search.NewSearch(ctx, j.p, j.need, j.cuts)
	}
	return nil
}

// load loads boards with kits, where it can with undivided leaves: they are far sooner
// laid out, and a search can go on from them.
func (j *job) load(ctx context.Context) ([]board.Layout, []int) {
	if j.p.Thinned() {
		u := j.p.Undivided()
		lays, kits := keep.Load(ctx, u, j.kits, j.need)
		if j.p.Spent += u.Spent; slices.Equal(kits, j.kits) {
			return board.Each(j.p.Adopted(u, board.UsesOf(lays))), kits
		}
	}
	return keep.Load(ctx, j.p, j.kits, j.need)
}

// deliverKits finds how much the boards can give where the cuts so far, which hold some
// kits, leave something: of the kits first, then of the parts beside them.
func (j *job) deliverKits(ctx context.Context, loaded []int) error {
	p := j.p.Gross()
	defer j.p.Note(p)
	d := j.deliverer(ctx, p, j.cuts)
	d.end += p.Spent
	ok, err := d.can(j.need)
	if !ok && err == nil {
		err = d.some(loaded)
	}
	j.cuts = d.cuts
	return err
}

// some finds how much can be had where not all can: all kits or those that are loaded, then
// the parts beside them.
func (d *deliverer) some(loaded []int) error {
	if !slices.Equal(loaded, d.kits) {
		ok, err := d.can(d.makings())
		if err != nil {
			return err
		}
		if !ok {
			d.giveUp(loaded)
		}
	}
	return d.parts(d.makings())
}

// makings returns the sets of each item that the kits are made of.
func (j *job) makings() []int {
	sets := make([]int, len(j.need))
	for i := range sets {
		sets[i] = j.p.InKits(j.kits, i)
	}
	return sets
}

// giveUp wants only so many kits, and nothing of what the others are made of.
func (j *job) giveUp(kits []int) {
	for i := range j.need {
		j.need[i] -= j.p.Lost(kits, i) - j.p.Lost(j.kits, i)
	}
	j.kits, j.sure = kits, false
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
		need: need}
}

// keepPatience is how long plans with kits are bettered without gain, in work, where no
// time is set for it.
const keepPatience = 300_000_000

// keep betters a plan with kits: by the search, and by cutting a few boards anew outright
// for as much work.
func (j *job) keep(patient bool) {
	if j.search == nil || j.searched || j.keeper.Work < j.search.Work()/keeperPart {
		j.keeper.Step()
	}
	if j.search != nil {
		j.searched = j.searched || !j.search.Slice()
		j.bound, j.price = max(j.bound, min(j.search.Dual.Bound, j.search.Best.Cost)), j.search.Dual.Best
		j.keeper.Take(j.search.Best.Plan)
	}
	if j.search != nil && j.keeper.Cost < j.search.Best.Cost {
		j.search.Best.Offer(j.keeper.Plan)
	}
	j.cuts = board.UsesOf(j.keeper.Plan)
	ended := (j.search == nil || j.searched) && !patient && j.keeper.Idle >= keepPatience
	j.open = j.bound < j.keeper.Cost && !ended
}

// keeperPart is the share of the keeper: one part in so many of the work of the search.
const keeperPart = 8
