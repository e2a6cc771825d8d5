package solver

import (
	"context"
	"slices"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/search"
)

// deliver finds how much of the need the boards can give, by the order of the
// parts, and cuts that give it. It begins with cuts that leave something.
func (j *job) deliver(ctx context.Context, cuts []board.Use, left []int) ([]board.Use, error) {
	p := j.p.Gross()
	defer j.p.Note(p)
	d := j.deliverer(ctx, p, cuts)
	if ok, err := d.can(j.need); ok || err != nil {
		return d.cuts, err
	}
	return d.cuts, d.parts(make([]int, len(left)))
}

// deliverer returns a deliverer that begins with some cuts.
func (j *job) deliverer(ctx context.Context, p *board.Problem, cuts []board.Use) deliverer {
	return deliverer{job: j, p: p, ctx: ctx, t: board.NewTables(p), a: board.NewAscent(p), cuts: cuts, end: j.patience()}
}

// parts finds how much of the need can be had beside some sets, by the order of the parts,
// and wants no more.
func (d *deliverer) parts(given []int) error {
	d.given = given
	for i := range given {
		if err := d.part(i); err != nil {
			return err
		}
	}
	d.need = d.given
	return nil
}

// Work after which deliver tries nothing more, and where it is only asked what other
// boards would give.
const (
	deliverWork = 80_000_000
	briefWork   = 8_000_000
)

// patience returns the work after which deliver tries nothing more.
func (j *job) patience() int64 {
	if j.brief {
		return briefWork
	}
	return deliverWork
}

// deliverer is the state of deliver.
type deliverer struct {
	*job
	p     *board.Problem // with work that costs nothing
	ctx   context.Context
	t     *board.Tables
	a     *board.Ascent
	cuts  []board.Use // that give at least given
	end   int64       // of the work, after which it tries nothing more
	given []int       // sets that can be had
}

// part finds how many sets of an item can be had beside those given.
func (d *deliverer) part(i int) error {
	low, high := d.given[i], d.need[i] // low can be had, high + 1 was not
	for try := high; low < high; try = (low + high + 1) / 2 {
		want := slices.Clone(d.given)
		want[i] = try
		ok, err := d.can(want)
		if err != nil {
			return err
		}
		if ok {
			low = try
		} else {
			high = try - 1
		}
	}
	d.given[i] = low
	return nil
}

// can tells whether cuts were found that give what is wanted, and keeps them.
// When they were not found but might exist, the job is no longer sure.
func (d *deliverer) can(want []int) (bool, error) {
	if board.Covers(d.has(d.cuts), want) && board.Covers(d.p.KitsOf(d.cuts), d.kits) {
		return true, nil
	}
	if d.ctx.Err() != nil || d.p.Spent > d.end {
		d.sure = false
		return false, nil //nolint:nilerr // out of time is no error, only less sure
	}
	if d.short(want) {
		return false, nil
	}
	cuts, never, err := d.find(want)
	if err != nil || never {
		return false, err
	}
	if cuts == nil {
		d.sure = false
		return false, nil
	}
	d.cuts = cuts
	return true, nil
}

// has returns what cuts give.
func (d *deliverer) has(cuts []board.Use) []int {
	has := make([]int, len(d.need))
	for _, c := range cuts {
		for _, pc := range c.Pieces() {
			has[pc.Item] += pc.Count * c.Copies
		}
	}
	return has
}

// find looks for cuts that give what is wanted: in one dimension by the engine,
// in three greedily, by price and by size of board, then from all boards. Where kits are
// wanted only the last will do.
func (d *deliverer) find(want []int) (cuts []board.Use, never bool, err error) {
	if !board.None(d.kits) {
		return d.pack(want), false, nil
	}
	if d.line {
		return d.give(d.ctx, want)
	}
	for _, price := range []func(int) int64{d.p.Price, d.p.Face} {
		if cuts, left := search.Greedy(d.ctx, d.t, d.a, want, price); board.None(left) {
			return cuts, false, nil
		}
	}
	return d.pack(want), false, nil
}

// short tells whether all boards together are worth less than what is wanted:
// then they cannot give it.
func (d *deliverer) short(want []int) bool {
	value := d.p.Volumes(want)
	t := board.NewTables(d.p.Bounds())
	sum := board.Total(value, want)
	defer func() { d.p.Spent += t.Arena.Work }()
	t.Ask(value, want)
	for k, kd := range t.P.Kinds {
		most, _ := t.Board(kd, kd.Segs)
		n := d.p.Order.Boards[k].Quantity
		if t.Arena.Full || most > 0 && (n == plan.Unlimited || int64(n) > sum/most) {
			return false
		}
		sum -= int64(n) * most
	}
	return sum > 0
}

// giveMore counts what the cuts give beyond the need of what is unmet: the last leaf of a
// part may give more copies than were asked for.
func (j *job) giveMore() {
	has := make([]int, len(j.need))
	for _, c := range j.cuts {
		for _, pc := range c.Pieces() {
			has[pc.Item] += pc.Count * c.Copies
		}
	}
	for i, it := range j.p.Items {
		j.need[i] = max(j.need[i], min(has[i], it.Need-j.p.Lost(j.kits, i)))
	}
}
