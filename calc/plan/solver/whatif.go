package solver

import (
	"context"

	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/plan/colgen/solve"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/outright"
)

// Alternatives are changes of an order to estimate the worth of.
type Alternatives struct {
	Kerfs     []length.Length // of other blades
	HoldBacks []length.Length
}

// maxWeighedAnew is the work allowed to all estimates, in boards times parts.
const maxWeighedAnew = 100_000

// whatIf lists the changes of the order that would save something. Small orders are
// solved again; for others the prices of the items say what the boards taken
// would give more. Where parts are unmet, no further board is weighed.
func (s *solver) whatIf() []plan.WhatIf {
	out := []plan.WhatIf{}
	for b, board := range s.o.Boards {
		if board.Quantity != plan.Unlimited && s.weighed <= maxWeighedAnew {
			o := s.o
			o.Boards = append([]plan.Board(nil), o.Boards...)
			o.Boards[b].Quantity++
			out = s.add(out, plan.WhatIf{Change: plan.ExtraBoard, Board: b}, o)
		}
	}
	for _, k := range s.opt.WhatIf.Kerfs {
		o := s.o
		o.Kerf = k
		out = s.add(out, plan.WhatIf{Change: plan.OtherKerf, Value: k}, o)
	}
	for _, h := range s.opt.WhatIf.HoldBacks {
		o := s.o
		o.HoldBack = h
		out = s.add(out, plan.WhatIf{Change: plan.OtherHoldBack, Value: h}, o)
	}
	return out
}

// add adds an estimate when every job that the change touches has one and the change
// saves something.
func (s *solver) add(out []plan.WhatIf, w plan.WhatIf, o plan.Order) []plan.WhatIf {
	s.weighed += len(o.Boards) * len(o.Parts)
	if s.weighed > maxWeighedAnew || len(plan.Validate(o)) > 0 {
		return out
	}
	for _, j := range s.jobs {
		extra := indexOf(j.boards, w.Board)
		if w.Change == plan.ExtraBoard && extra < 0 {
			continue
		}
		if w.Change == plan.ExtraBoard && j.short() {
			return out // it would give more leaves, not the same ones for less
		}
		saving, ok := j.saving(board.Prepare(j.own(o)), extra, w.Change == plan.ExtraBoard)
		s.weighed += j.weighed
		j.weighed = 0
		if !ok {
			return out
		}
		w.Saving += saving
	}
	if w.Saving <= 0 {
		return out
	}
	return append(out, w)
}

// indexOf returns where a number stands in a list, -1 for nowhere.
func indexOf(list []int, n int) int {
	for i, x := range list {
		if x == n {
			return i
		}
	}
	return -1
}

// short tells whether a job leaves parts unmet.
func (j *job) short() bool {
	for i, it := range j.p.Items {
		if j.need[i] < it.Need {
			return true
		}
	}
	return false
}

// prices returns the prices of the search, or where it has none the cost shared
// out by the wood in the items.
func (j *job) prices() []float64 {
	if j.price != nil {
		return j.price
	}
	var all float64
	share := make([]float64, len(j.need))
	for i, n := range j.need {
		share[i] = j.p.Volume(i)
		all += share[i] * float64(n)
	}
	for i := range share {
		share[i] *= float64(j.p.Cost(j.cuts)) / max(1, all)
	}
	return share
}

// saving estimates what a job would cost less as another problem.
func (j *job) saving(q *board.Problem, extra int, more bool) (int64, bool) {
	if j.exact {
		if a, ok := outright.SolveExact(context.Background(), q, j.kits, j.need, outright.WhatIfSteps); ok {
			return (j.p.Cost(j.cuts) - q.Cost(a.Cuts)) * j.unit, board.Covers(a.Kits, j.kits) && board.Covers(a.Given, j.need)
		}
	}
	value := j.p.Values(j.prices())
	if more {
		worth, ok := j.worth(q, value, []int{extra})
		return max(0, int64(float64(worth[extra])/j.p.Grain)-q.Price(extra)) * j.unit, ok
	}
	var kinds []int
	for _, c := range j.cuts {
		kinds = append(kinds, c.Kind)
	}
	before, ok := j.worth(j.p, value, kinds)
	after, fine := j.worth(q, value, kinds)
	var gain int64
	for _, c := range j.cuts {
		gain += int64(c.Copies) * (after[c.Kind] - before[c.Kind])
	}
	return int64(float64(gain)/j.p.Grain) * j.unit, ok && fine
}

// worth returns what a board of each of some kinds is worth at most at values of
// the items, by kind, and whether that is known.
func (j *job) worth(q *board.Problem, value []int64, kinds []int) ([]int64, bool) {
	worth := make([]int64, len(q.Kinds))
	if line, _ := line(q, j.need); line != nil {
		worth, work, err := solve.Worth(context.Background(), *line, q.Net(value))
		for k := range worth {
			worth[k] = max(0, worth[k]-q.MountSteps(q.Kinds[k].Group, 0))
		}
		j.weighed += int(work / 500)
		return worth, err == nil
	}
	t := board.NewTables(q)
	t.Ask(value, j.need)
	for _, k := range kinds {
		worth[k], _ = t.Board(q.Kinds[k], q.Kinds[k].Segs)
	}
	j.weighed += int(t.Arena.Work / 500)
	return worth, !t.Arena.Full
}
