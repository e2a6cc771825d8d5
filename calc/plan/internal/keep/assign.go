package keep

import (
	"slices"

	"resawd/calc/plan/internal/board"
)

// Limits of looking for kits in a plan: states that are told apart, and choices for a
// board.
const (
	mostStates  = 20_000
	mostChoices = 2_000
)

// Assign returns the boards of a plan with kits that come from them, false when it finds
// no way to have all that are wanted.
func Assign(p *board.Problem, plan []board.Layout, kits []int) ([]board.Layout, bool) {
	a := assigner{p: p, kits: kits, states: 1}
	for _, n := range kits {
		if a.states *= n + 1; a.states > mostStates {
			return nil, false
		}
	}
	layers := [][]reached{a.begin()}
	for _, lay := range plan {
		layers = append(layers, a.board(layers[len(layers)-1], board.CountSets(lay.Pieces(), len(p.Items))))
	}
	at := a.states - 1
	if layers[len(plan)][at].kits == nil {
		return nil, false
	}
	out := slices.Clone(plan)
	for n := len(plan); n > 0; n-- {
		r := layers[n][at]
		out[n-1].Kits = r.kits
		at = r.before
	}
	return out, true
}

// assigner looks for kits in boards, one after the other.
type assigner struct {
	p      *board.Problem
	kits   []int
	states int // numbers of kits that can be given
}

// reached is how kits that are given so far were reached: those from the last board, nil
// where they were not.
type reached struct {
	kits   []int
	before int
}

// begin returns what is reached without boards.
func (a *assigner) begin() []reached {
	r := make([]reached, a.states)
	r[0].kits = []int{}
	return r
}

// board adds a board.
func (a *assigner) board(before []reached, sets []int) []reached {
	choices := a.choices(sets, nil, nil)
	after := make([]reached, a.states)
	for at, r := range before {
		if r.kits == nil {
			continue
		}
		for _, kits := range choices {
			if to, ok := a.plus(at, kits); ok && after[to].kits == nil {
				after[to] = reached{kits, at}
			}
		}
	}
	return after
}

// plus returns the state with some kits more, false when these are too many.
func (a *assigner) plus(at int, kits []int) (int, bool) {
	weight, to := 1, at
	for k, n := range kits {
		if at/weight%(a.kits[k]+1)+n > a.kits[k] {
			return 0, false
		}
		to += n * weight
		weight *= a.kits[k] + 1
	}
	return to, true
}

// choices returns all numbers of further kits that some sets of a board make.
func (a *assigner) choices(sets, kits []int, all [][]int) [][]int {
	k := len(kits)
	if k == len(a.kits) {
		return append(all, slices.Clone(kits))
	}
	left := slices.Clone(sets)
	for n := 0; n <= a.kits[k] && slices.Min(left) >= 0 && len(all) < mostChoices; n++ {
		all = a.choices(left, append(kits, n), all)
		for i := range left {
			left[i] -= a.p.InKit(k, i)
		}
	}
	return all
}
