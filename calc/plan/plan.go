package plan

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"resawd/calc/plan/colgen"
)

// Options steer a search. The zero value searches until nothing better has
// turned up for long.
type Options struct {
	// WorkLimit ends the search after about that many elementary steps beyond
	// the first plan, 0: no limit. The path of the search depends on it and
	// never on the clock; the context ends it by the clock.
	WorkLimit int64
	// WhatIf lists changes whose worth the plan shall estimate.
	WhatIf Alternatives
	// Progress is called whenever the best cost or the bound improves.
	Progress func(Progress)
}

// Progress is how far a search has come. Costs are in the unit of Board.Price.
type Progress struct {
	Cost, LowerBound int64
	Gap              float64
}

// Solve returns the plan of least cost for an order, or the best one found when
// the work limit or the context ended the search. What the boards cannot give
// is left unmet, as little as possible by the order of the parts. The plan has
// passed Check. Faults of the order are returned joined, as of Validate; any
// other error is ErrInternal.
//
// Source: Gilmore and Gomory 1961, 1965 (GG61, GG65).
// Valid: orders without faults.
func Solve(ctx context.Context, o Order, opt Options) (*Plan, error) {
	if faults := Validate(o); len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	s := solver{ctx: ctx, o: o, opt: opt, jobs: split(o)}
	if err := s.solve(); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrInternal, err)
	}
	plan := s.plan()
	plan.WhatIf = s.whatIf()
	if err := Check(o, plan); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrInternal, err)
	}
	return plan, nil
}

// solver is the state of one call of Solve.
type solver struct {
	ctx  context.Context
	o    Order
	opt  Options
	jobs []*job
	last Progress

	weighed int // by whatIf
}

// solve solves the jobs: each has a first plan before any is searched.
func (s *solver) solve() error {
	for _, j := range s.jobs {
		if err := j.begin(s.ctx); err != nil {
			return err
		}
	}
	s.progress()
	for _, j := range s.jobs {
		if j.open && j.search == nil {
			if err := s.engine(j); err != nil {
				return err
			}
		}
	}
	s.turns()
	for _, j := range s.jobs {
		j.cuts = trim(gather(j.p, trim(j.cuts, j.need)), j.need)
		j.bound = min(j.bound, j.p.cost(j.cuts))
	}
	s.progress()
	return nil
}

// stop says why the search ended.
func (s *solver) stop() Stop {
	cost, bound := s.money()
	sure := !slices.ContainsFunc(s.jobs, func(j *job) bool { return !j.sure })
	switch {
	case cost == bound && sure:
		return ByProof
	case errors.Is(context.Cause(s.ctx), ErrShutdown):
		return ByShutdown
	case s.ctx.Err() != nil:
		return ByTime
	}
	return ByWork
}

// engine runs the engine on a job.
func (s *solver) engine(j *job) error {
	cost, bound := s.money()
	own, sure := j.unit*j.p.cost(j.cuts), j.unit*j.bound // what the engine has yet to better
	err := j.engine(s.ctx, s.opt.WorkLimit, func(p colgen.Progress) {
		if p.Found {
			s.report(cost-own+min(own, j.unit*p.Cost), bound-sure+max(sure, j.unit*p.LowerBound))
		}
	})
	j.open = false
	return err
}

// turns lets the jobs of three stages search in turns, the one with the most
// hope first.
func (s *solver) turns() {
	for {
		var j *job
		var work int64
		for _, x := range s.jobs {
			if x.search != nil {
				work += x.search.work()
			}
			if x.open && x.search != nil && (j == nil || x.hope() > j.hope()) {
				j = x
			}
		}
		if j == nil {
			return
		}
		if s.ctx.Err() != nil || s.opt.WorkLimit > 0 && work > s.opt.WorkLimit {
			return // the best plan so far is the answer
		}
		j.open = j.search.slice()
		j.bound, j.price = min(j.search.dual.bound, j.search.best.cost), j.search.dual.best
		j.cuts = j.search.cuts()
		s.progress()
	}
}

// money returns the cost and the bound of all jobs.
func (s *solver) money() (cost, bound int64) {
	for _, j := range s.jobs {
		cost += j.unit * j.p.cost(j.cuts)
		bound += j.unit * j.bound
	}
	return cost, bound
}

// progress reports how far all jobs are.
func (s *solver) progress() { s.report(s.money()) }

// report calls the caller's Progress when something is better than before.
func (s *solver) report(cost, bound int64) {
	p := Progress{cost, bound, gap(cost, bound)}
	if s.opt.Progress != nil && p != s.last {
		s.last = p
		s.opt.Progress(p)
	}
}

// gap returns (cost - bound)/cost.
func gap(cost, bound int64) float64 {
	if cost == 0 {
		return 0
	}
	return float64(cost-bound) / float64(cost)
}

// plan writes the plan down.
func (s *solver) plan() *Plan {
	p := &Plan{StoppedBy: s.stop(), Taken: []Taken{}, Unmet: []Unmet{}, UnmetProven: true}
	for _, j := range s.jobs {
		s.write(p, j)
	}
	p.Taken = together(p.Taken)
	slices.SortFunc(p.Unmet, func(x, y Unmet) int { return cmp.Compare(x.Part, y.Part) })
	p.Gap = gap(p.Cost, p.LowerBound)
	p.Stats.Setups = setups(s.o, p.Taken)
	switch {
	case len(p.Unmet) > 0:
		p.Status = Infeasible
	case p.LowerBound == p.Cost:
		p.Status = Optimal
	default:
		p.Status = Feasible
	}
	return p
}

// together sorts boards by kind and joins those that are cut alike.
func together(all []Taken) []Taken {
	slices.SortStableFunc(all, func(x, y Taken) int { return cmp.Compare(x.Board, y.Board) })
	var out []Taken
	for _, t := range all {
		i := slices.IndexFunc(out, func(x Taken) bool { return x.Board == t.Board && slices.EqualFunc(x.Billets, t.Billets, alike) })
		if i < 0 {
			out = append(out, t)
		} else {
			out[i].Copies += t.Copies
		}
	}
	return out
}

// setups counts the changes of billet size and of leaf thickness when the
// boards are sawn in the order of the plan, the first ones included.
func setups(o Order, taken []Taken) int {
	var n int
	var long, wide, thick nm = -1, -1, -1
	for _, t := range taken {
		for _, b := range t.Billets {
			if b.Length != long || b.Width != wide {
				n++
			}
			for _, l := range b.Leaves {
				if t := o.Parts[l.Part].Thickness; t != thick {
					n++
					thick = t
				}
			}
			long, wide = b.Length, b.Width
		}
	}
	return n
}

// alike tells whether two billets are cut alike.
func alike(x, y Billet) bool {
	return x.From == y.From && x.Across == y.Across && x.Length == y.Length && x.Width == y.Width &&
		slices.Equal(x.Leaves, y.Leaves)
}

// write adds a job to a plan.
func (s *solver) write(p *Plan, j *job) {
	left := make([]int, len(s.o.Parts)) // leaves of each part not given yet
	for i, part := range s.o.Parts {
		left[i] = part.sets() * part.set()
	}
	cuts := slices.Clone(j.cuts)
	slices.SortStableFunc(cuts, func(x, y cut) int { return cmp.Compare(x.kind, y.kind) })
	for _, c := range cuts {
		p.Cost += j.unit * int64(c.copies) * j.p.price(c.kind)
		p.Stats.Boards += c.copies
		for n := c.copies; n > 0; {
			t := j.p.taken(c)
			t.Board = j.boards[t.Board]
			t.Copies = j.copies(t, n, left)
			n -= t.Copies
			p.Stats.Billets += t.Copies * len(t.Billets)
			for b := range t.Billets {
				t.Billets[b].Leaves = j.share(t.Billets[b].Leaves, t.Copies, left)
			}
			p.Taken = append(p.Taken, t)
		}
	}
	for i, it := range j.p.items {
		n := (it.need - j.need[i]) * j.p.order.Parts[i].set()
		for _, part := range slices.Backward(j.parts[i]) {
			if m := min(n, s.o.Parts[part].sets()*s.o.Parts[part].set()); m > 0 {
				p.Unmet = append(p.Unmet, Unmet{part, m})
				n -= m
			}
		}
	}
	p.LowerBound += j.unit * j.bound
	p.UnmetProven = p.UnmetProven && j.sure
	p.Stats.Patterns += j.stats.Patterns
	p.Stats.Work += j.stats.Work
	if j.search != nil {
		p.Stats.Work += j.search.work()
	}
}

// copies returns how many of the boards that are cut alike give the same parts, of
// which so many leaves are left: the next ones may give others.
func (j *job) copies(t Taken, most int, left []int) int {
	count := make([]int, len(j.parts))
	for _, b := range t.Billets {
		for _, l := range b.Leaves {
			count[l.Part] += l.Count
		}
	}
	for i, of := range j.parts {
		if at := j.next(i, left); count[i] > 0 && at < len(of)-1 {
			most = min(most, max(1, left[of[at]]/count[i]))
		}
	}
	return most
}

// next returns which of the parts of an item is given next: the first of which
// there are leaves left, or the last.
func (j *job) next(item int, left []int) int {
	of := j.parts[item]
	at := 0
	for at < len(of)-1 && left[of[at]] == 0 {
		at++
	}
	return at
}

// share shares the leaves of items on some boards cut alike out among their parts, as
// far as each has some left.
func (j *job) share(leaves []Leaves, copies int, left []int) []Leaves {
	var out []Leaves
	for _, l := range leaves {
		of := j.parts[l.Part]
		for at := j.next(l.Part, left); at < len(of) && l.Count > 0; at++ {
			give := l
			give.Part = of[at]
			if at < len(of)-1 {
				give.Count = min(l.Count, left[give.Part])
			}
			left[give.Part] -= copies * give.Count
			l.Count -= give.Count
			if give.Count > 0 {
				out = append(out, give)
			}
		}
	}
	all := j.order.Parts
	slices.SortStableFunc(out, func(x, y Leaves) int {
		return cmp.Or(cmp.Compare(all[y.Part].Thickness, all[x.Part].Thickness), cmp.Compare(x.Part, y.Part))
	})
	return out
}
