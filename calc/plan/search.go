package plan

import (
	"math"
	"math/rand/v2"
	"slices"

	"resawd/calc/plan/colgen"
)

// search improves a plan of three stages: it takes some boards out of the plan
// and delivers what they gave anew, first from what is left over on the boards
// that stay, then from the cheapest boards it finds.
//
// Source: ruin and recreate: Schrimpf et al., J. Computational Physics 159
// (2000) 139-171 (from memory), with boards laid out by ascent.
type search struct {
	p      *problem
	need   []int
	dual   *dual
	ascent *ascent
	t      *tables
	rng    *rand.Rand
	plan   []layout // the plan at hand, a board each
	cost   int64
	best   []layout
	least  int64 // cost of best
	stale  int   // tries since the best plan was found
}

// newSearch returns a search from a plan that delivers a need.
func newSearch(p *problem, need []int, cuts []cut) *search {
	s := &search{p: p, need: need, ascent: newAscent(p), t: newTables(p), rng: rand.New(rand.NewPCG(1, 2))}
	for _, c := range cuts {
		for range c.copies {
			s.plan = append(s.plan, c.layout)
		}
	}
	s.cost = p.cost(cuts)
	s.best, s.least = slices.Clone(s.plan), s.cost
	s.dual = newDual(p, need, s.cost)
	return s
}

// The search of a job ends after so many steps of the dual and so many tries
// in a row without gain.
const (
	dualSteps  = 400
	staleTries = 3000
)

// slice works for a while and tells whether there is more to do.
func (s *search) slice() bool {
	if s.dual.steps < dualSteps {
		for range 20 {
			s.dual.step(s.least)
		}
		return s.dual.bound < s.least
	}
	for range 5 {
		before := s.least
		if s.stale++; s.try() && s.least < before {
			s.stale = 0
		}
	}
	return s.dual.bound < s.least && s.stale < staleTries
}

// work returns the steps of work so far.
func (s *search) work() int64 { return s.dual.t.arena.work + s.t.arena.work + s.ascent.b.t.arena.work }

// cuts returns the best plan.
func (s *search) cuts() []cut {
	var cuts []cut
	for _, lay := range s.best {
		cuts = append(cuts, cut{lay, 1})
	}
	return cuts
}

// try makes one attempt at a better plan and tells whether it came to one as good.
func (s *search) try() bool {
	out := s.pick()
	kept, left, freed := s.ruin(out)
	value := s.values()
	kept = s.topUp(kept, left, value)
	anew, spent, ok := s.recreate(kept, left, value, freed)
	if !ok || spent > freed {
		return false
	}
	s.plan, s.cost = append(kept, anew...), s.cost-freed+spent
	if s.cost < s.least {
		s.best, s.least = slices.Clone(s.plan), s.cost
	}
	return true
}

// pick returns which boards to take out: one to four, as a set of indices.
func (s *search) pick() map[int]bool {
	out := map[int]bool{}
	n := min(len(s.plan), 1+s.rng.IntN(4))
	for len(out) < n {
		out[s.rng.IntN(len(s.plan))] = true
	}
	return out
}

// ruin returns the boards that stay, the sets that are missing without the
// others, and what the others cost.
func (s *search) ruin(out map[int]bool) ([]layout, []int, int64) {
	var kept []layout
	left := slices.Clone(s.need)
	var freed int64
	for i, lay := range s.plan {
		if out[i] {
			freed += s.p.price(lay.kind)
			continue
		}
		kept = append(kept, lay)
		for _, pc := range lay.pieces() {
			left[pc.Item] = max(0, left[pc.Item]-pc.Count)
		}
	}
	return kept, left, freed
}

// values returns what a set of each item is worth in this attempt: the best
// prices of the dual, disturbed.
func (s *search) values() []int64 {
	spread := 0.05 + 0.3*s.rng.Float64()
	v := values(s.dual.best)
	volume := s.p.volumes(s.need)
	var worth, wood float64
	for i, n := range s.need {
		worth += float64(v[i]) * float64(n)
		wood += float64(volume[i]) * float64(n)
	}
	mix := s.rng.Float64() * 0.5
	for i := range v {
		x := float64(v[i])*(1-mix) + mix*float64(volume[i])/wood*worth
		v[i] = 1 + int64(x*math.Exp(spread*s.rng.NormFloat64()))
	}
	return v
}

// recreate delivers what is left from new boards, or gives up when that would
// cost more than a limit.
func (s *search) recreate(kept []layout, left []int, value []int64, limit int64) ([]layout, int64, bool) {
	stock := s.p.stock()
	for _, lay := range kept {
		stock[lay.kind]--
	}
	g := greed{p: s.p, t: s.t, a: s.ascent, value: value, left: left, stock: stock, price: s.p.price, rounds: 4}
	var anew []layout
	var spent int64
	for !none(left) {
		g.limit = limit - spent
		c, ok := g.next()
		if !ok {
			return nil, 0, false
		}
		for range c.copies {
			anew = append(anew, c.layout)
		}
		spent += int64(c.copies) * s.p.price(c.kind)
		if spent > limit {
			return nil, 0, false
		}
	}
	return anew, spent, true
}

// stock returns how many boards of each kind there are.
func (p *problem) stock() []int {
	stock := make([]int, len(p.kinds))
	for k, b := range p.order.Boards {
		if stock[k] = b.Quantity; b.Quantity == Unlimited {
			stock[k] = math.MaxInt32
		}
	}
	return stock
}

// topUp saws what is left from the remainders of boards, as far as it fits, and
// returns the boards.
func (s *search) topUp(boards []layout, left []int, value []int64) []layout {
	s.t.ask(value, left)
	for b := range boards {
		kd := s.p.kinds[boards[b].kind]
		own := false
		for i, st := range boards[b].strips {
			for j, bl := range st.billets {
				extra := s.extra(kd.group, st.l, bl)
				if len(extra) == 0 {
					continue
				}
				if !own {
					boards[b], own = boards[b].clone(), true
				}
				into := &boards[b].strips[i].billets[j]
				for _, pc := range extra {
					into.sets = addPiece(into.sets, pc.Item, pc.Count)
					left[pc.Item] -= pc.Count
				}
				s.t.ask(value, left)
			}
		}
	}
	return boards
}

// extra returns the sets that the remainder of a billet has room for.
func (s *search) extra(g, l int, bl billet) []colgen.Piece {
	gr := s.p.groups[g]
	room := gr.room[l]
	for _, pc := range bl.sets {
		room -= nm(pc.Count) * s.p.items[pc.Item].size
	}
	var sets []colgen.Piece
	lists := s.t.leaves(gr.set, l)
	if i := s.t.arena.best(lists[bl.w], room); i >= lists[bl.w].lo {
		s.t.arena.trace(i, func(item, count int32, _ nm) { sets = addPiece(sets, int(item), int(count)) })
	}
	return sets
}
