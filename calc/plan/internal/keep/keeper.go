package keep

import (
	"context"
	"math/rand/v2"
	"slices"

	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/outright"
)

// Effort of cutting some boards anew.
const (
	anewSteps  = 2_000_000
	mostBoards = 4 // taken back
	otherKinds = 3 // of board, that are tried beside those
)

// Keeper betters a plan that keeps kits: some boards are taken back and cut anew
// outright.
type Keeper struct {
	Plan []board.Layout
	Cost int64
	Work int64 // steps
	Idle int64 // of them since the plan became cheaper

	ctx  context.Context
	p    *board.Problem
	need []int
	rng  *rand.Rand
	most int // boards to take back
}

// NewKeeper begins with a plan that delivers a need.
func NewKeeper(ctx context.Context, p *board.Problem, need []int, plan []board.Layout) *Keeper {
	return &Keeper{Plan: plan, Cost: p.CostOf(plan), ctx: ctx, p: p, need: need, rng: rand.New(rand.NewPCG(3, 4)), most: mostBoards}
}

// Take takes another plan for its own, if that is cheaper.
func (k *Keeper) Take(plan []board.Layout) {
	if cost := k.p.CostOf(plan); cost < k.Cost || cost == k.Cost && len(plan) < len(k.Plan) {
		k.Plan, k.Cost, k.Idle = plan, cost, 0
	}
}

// Step takes some boards back and cuts what they gave anew, if that costs no more.
func (k *Keeper) Step() {
	if len(k.Plan) == 0 {
		k.Work, k.Idle = k.Work+anewSteps, k.Idle+anewSteps
		return
	}
	gone, rest := k.some()
	kits, need := make([]int, len(k.p.Order.Kits)), slices.Clone(k.need)
	for _, lay := range gone {
		for i, n := range lay.Kits {
			kits[i] += n
		}
	}
	for _, s := range piecesOf(rest) {
		need[s.Item] -= s.Count
	}
	for i := range need { // boards may give more than is wanted beside the kits
		need[i] = max(need[i], k.p.InKits(kits, i))
	}
	q := k.p.Without(rest).ForPlans()
	k.fewKinds(q, gone)
	before := q.Spent
	a, ok := outright.SolveExact(k.ctx, q, kits, need, anewSteps)
	work := max(anewSteps/10, q.Spent-before)
	k.Work, k.Idle = k.Work+work, k.Idle+work
	if !ok || !board.Covers(a.Kits, kits) || !board.Covers(a.Given, need) {
		k.most = max(1, min(k.most, len(gone))-k.rng.IntN(2))
		return
	}
	k.most = min(mostBoards, k.most+k.rng.IntN(2))
	plan := rest
	for _, c := range a.Cuts {
		plan = append(plan, c.Layout)
	}
	if cost := k.p.CostOf(plan); cost <= k.Cost {
		if cost < k.Cost {
			k.Idle = 0
		}
		k.Plan, k.Cost = plan, cost
	}
}

// some parts the plan in some boards and the rest.
func (k *Keeper) some() (gone, rest []board.Layout) {
	order := k.rng.Perm(len(k.Plan))
	n := min(len(order), 1+k.rng.IntN(k.most))
	for i, at := range order {
		if i < n {
			gone = append(gone, k.Plan[at])
		} else {
			rest = append(rest, k.Plan[at])
		}
	}
	return gone, rest
}

// fewKinds leaves the kinds of some boards on the rack, and a few others.
func (k *Keeper) fewKinds(q *board.Problem, gone []board.Layout) {
	keep := map[int]bool{}
	for _, lay := range gone {
		keep[lay.Kind] = true
	}
	for range otherKinds {
		keep[k.rng.IntN(len(q.Kinds))] = true
	}
	for kind := range q.Order.Boards {
		if !keep[kind] {
			q.Order.Boards[kind].Quantity = 0
		}
	}
}

// piecesOf returns what boards give.
func piecesOf(plan []board.Layout) []board.Sets {
	var all []board.Sets
	for _, lay := range plan {
		all = append(all, lay.Pieces()...)
	}
	return all
}
