package plan

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"resawd/calc/plan/colgen"
)

// Options steer a search. The zero value searches without limit.
type Options struct {
	// WorkLimit ends the search after that many elementary steps, 0: no limit.
	// The context ends it by the clock.
	WorkLimit int64
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
	s := solver{ctx: ctx, p: prepare(o), opt: opt}
	if err := s.solve(); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrInternal, err)
	}
	plan := s.plan()
	if err := Check(o, plan); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrInternal, err)
	}
	return plan, nil
}

// solver is the state of one call of Solve.
type solver struct {
	ctx   context.Context
	p     *problem
	opt   Options
	src   source
	need  []int // sets to deliver; the rest is unmet
	cuts  []cut // that deliver them
	bound int64 // certified, on the cost of delivering them
	stop  Stop
	sure  bool // no plan leaves less unmet
	stats Stats
}

// solve finds what can be delivered, and the cuts that deliver it.
func (s *solver) solve() (err error) {
	s.need, s.sure, s.stop = s.p.possible(), true, ByProof
	if cuts, given, ok := solveExact(s.p, s.need); ok {
		s.cuts, s.need = trim(cuts, given), given
		s.bound = s.p.cost(s.cuts)
		return nil
	}
	if s.src, err = newSource(s.p); err != nil {
		return err
	}
	cuts, left := greedy(s.p, s.need)
	if !none(left) {
		if cuts, err = s.deliver(cuts, left); err != nil {
			return err
		}
	}
	s.cuts = cuts
	return s.improve()
}

// cost returns what the boards of cuts cost.
func (p *problem) cost(cuts []cut) int64 {
	var sum int64
	for _, c := range cuts {
		sum += int64(c.copies) * p.order.Boards[c.kind].Price
	}
	return sum
}

// none tells whether there is nothing left.
func none(left []int) bool { return !slices.ContainsFunc(left, func(n int) bool { return n > 0 }) }

// possible returns how many sets of each item are wanted, none of items that
// fit no board on the rack.
func (p *problem) possible() []int {
	need := make([]int, len(p.items))
	one, value := make([]int, len(p.items)), make([]int64, len(p.items))
	t := newTables(p)
	for i, it := range p.items {
		one[i], value[i] = 1, 1
		t.ask(value, one)
		for k, kd := range p.kinds {
			if p.order.Boards[k].Quantity == 0 || need[i] > 0 {
				continue
			}
			if most, _ := t.board(kd, kd.segs); most > 0 {
				need[i] = it.need
			}
		}
		one[i], value[i] = 0, 0
	}
	return need
}

// problem returns the engine's problem of a need.
func (s *solver) problem(need []int) colgen.Problem {
	e := colgen.Problem{Demand: need, Pricer: s.src}
	for _, b := range s.p.order.Boards {
		e.Kinds = append(e.Kinds, colgen.Kind{Cost: b.Price, Quantity: b.Quantity})
	}
	return e
}

// uses turns cuts into the engine's patterns.
func (s *solver) uses(cuts []cut) []colgen.Use {
	var uses []colgen.Use
	for _, c := range cuts {
		sets := c.pieces()
		if r, ok := s.src.(*pricer); ok {
			r.layouts[key(c.kind, sets)] = c.layout
		}
		uses = append(uses, colgen.Use{Pattern: colgen.Pattern{Kind: c.kind, Pieces: sets}, Copies: c.copies})
	}
	return uses
}

// improve searches for the cheapest cuts that deliver the need.
func (s *solver) improve() error {
	opt := colgen.Options{WorkLimit: s.opt.WorkLimit, Plan: s.uses(s.cuts), Progress: s.progress}
	res, err := colgen.Solve(s.ctx, s.problem(s.need), opt)
	if err != nil {
		return err
	}
	s.stop, s.bound = Stop(res.StoppedBy.String()), res.LowerBound
	s.stats.Work, s.stats.Patterns = res.Stats.Work, res.Stats.Columns
	if len(res.Plan) == 0 {
		return nil
	}
	cuts, err := s.layouts(res.Plan)
	s.cuts = trim(cuts, s.need)
	return err
}

// progress passes the engine's progress on.
func (s *solver) progress(p colgen.Progress) {
	if s.opt.Progress != nil && p.Found {
		s.opt.Progress(Progress{p.Cost, p.LowerBound, p.Gap})
	}
}

// layouts turns the engine's patterns into cuts.
func (s *solver) layouts(uses []colgen.Use) ([]cut, error) {
	var cuts []cut
	for _, u := range uses {
		lay, ok := s.src.layout(u.Kind, u.Pieces)
		if !ok {
			return nil, errors.New("a pattern without a layout")
		}
		cuts = append(cuts, cut{lay, u.Copies})
	}
	return cuts, nil
}

// plan writes the plan down.
func (s *solver) plan() *Plan {
	p := &Plan{Status: Feasible, StoppedBy: s.stop, UnmetProven: s.sure, Stats: s.stats}
	for _, c := range s.cuts {
		t := s.p.taken(c)
		p.Taken = append(p.Taken, t)
		p.Stats.Boards += c.copies
		p.Stats.Billets += c.copies * len(t.Billets)
	}
	for i, it := range s.p.items {
		if n := it.need - s.need[i]; n > 0 {
			p.Unmet = append(p.Unmet, Unmet{i, n * s.p.order.Parts[i].set()})
		}
	}
	p.Cost = s.p.cost(s.cuts)
	p.LowerBound = min(s.bound, p.Cost)
	if p.Cost > 0 {
		p.Gap = float64(p.Cost-p.LowerBound) / float64(p.Cost)
	}
	switch {
	case len(p.Unmet) > 0:
		p.Status = Infeasible
	case p.LowerBound == p.Cost:
		p.Status = Optimal
	}
	return p
}
