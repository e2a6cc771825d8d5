package later

import (
	"cmp"
	"slices"

	"resawd/calc/plan/internal/board"
)

// place is where a billet lies: its board, length and number there.
type place struct{ board, strip, billet int }

// attempt is a changed copy of the plan.
type attempt struct {
	*climber
	boards  []board.Layout
	changed map[int]bool
}

// attempt begins with the plan as it is.
func (c *climber) attempt() *attempt {
	return &attempt{climber: c, boards: slices.Clone(c.boards), changed: map[int]bool{}}
}

// own returns a board of the attempt to be changed.
func (a *attempt) own(i int) *board.Layout {
	if !a.changed[i] {
		a.boards[i], a.changed[i] = a.boards[i].Clone(), true
	}
	return &a.boards[i]
}

// keep makes the attempt the plan if it is better, and tells whether it is.
func (a *attempt) keep() bool {
	worth := slices.Clone(a.worth)
	for i := range a.changed {
		worth[i] = measure(a.p, a.boards[i])
	}
	if sum(worth).compare(sum(a.worth)) >= 0 {
		return false
	}
	a.climber.boards, a.worth = slices.Clone(a.boards), worth
	a.changed = map[int]bool{}
	return true
}

// billet returns a billet of the attempt to be changed.
func (a *attempt) billet(at place) *board.Billet {
	return &a.own(at.board).Strips[at.strip].Billets[at.billet]
}

// rest returns the thickness of a billet that no leaf takes.
func (a *attempt) rest(at place) nm {
	lay := a.boards[at.board]
	st := lay.Strips[at.strip]
	rest := a.room(lay.Kind, st.L)
	for _, s := range st.Billets[at.billet].Stacks {
		rest -= nm(s.Count) * a.p.Items[s.Item].Size
	}
	return rest
}

// room returns the thickness for leaves of a billet of a length class of a kind.
func (a *attempt) room(k, l int) nm { return a.p.Groups[a.p.Kinds[k].Group].Room[l] }

// suits tells whether a kind of board may give an item.
func (a *attempt) suits(k, item int) bool {
	_, ok := slices.BinarySearch(a.p.Sets[a.p.Groups[a.p.Kinds[k].Group].Set], item)
	return ok
}

// reach returns the boards that something of a board may go to: all, or itself alone
// where it gives kits, which come from one board.
func (a *attempt) reach(i int) []int {
	if !board.None(a.boards[i].Kits) {
		return []int{i}
	}
	all := make([]int, len(a.boards))
	for j := range all {
		all[j] = j
	}
	return all
}

// targets returns the billets that a set of an item of a billet may go to, those with
// the least remainder first.
func (a *attempt) targets(from place, item int) []place {
	type target struct {
		place
		rest nm
	}
	var all []target
	for _, i := range a.reach(from.board) {
		lay := a.boards[i]
		if !a.suits(lay.Kind, item) {
			continue
		}
		for s, st := range lay.Strips {
			for b, bl := range st.Billets {
				a.steps--
				at := place{i, s, b}
				if at == from || len(bl.Stacks) == 0 || a.p.Places(item, st.L, bl.W) == 0 {
					continue
				}
				if rest := a.rest(at); rest >= a.p.Items[item].Size {
					all = append(all, target{at, rest})
				}
			}
		}
	}
	slices.SortStableFunc(all, func(x, y target) int { return cmp.Compare(x.rest, y.rest) })
	out := make([]place, len(all))
	for i, t := range all {
		out[i] = t.place
	}
	return out
}

// disperse moves a stack of a billet to the remainders of others, and tells whether it
// could; where it could not the attempt stays as it is.
func (a *attempt) disperse(from place, stack board.Stack) bool {
	type move struct {
		to    place
		count int
	}
	var moves []move
	left := stack.Sets()
	for _, to := range a.targets(from, stack.Item) {
		lay := a.boards[to.board]
		st := lay.Strips[to.strip]
		places := a.p.Places(stack.Item, st.L, st.Billets[to.billet].W)
		n := min(board.Leaves(left, places), int(a.rest(to)/a.p.Items[stack.Item].Size))
		moves = append(moves, move{to, n})
		if left -= n * places; left <= 0 {
			break
		}
	}
	if left > 0 {
		return false
	}
	for _, m := range moves {
		l := a.boards[m.to.board].Strips[m.to.strip].L
		b := a.billet(m.to)
		b.Stacks = a.p.Add(b.Stacks, stack.Item, m.count, l, b.W)
	}
	b := a.billet(from)
	b.Stacks = slices.DeleteFunc(b.Stacks, func(s board.Stack) bool { return s.Item == stack.Item })
	return true
}

// thickest returns the stacks of a billet, those of the thickest sets first.
func (a *attempt) thickest(at place) []board.Stack {
	stacks := slices.Clone(a.boards[at.board].Strips[at.strip].Billets[at.billet].Stacks)
	slices.SortStableFunc(stacks, func(x, y board.Stack) int {
		return cmp.Compare(a.p.Items[y.Item].Size, a.p.Items[x.Item].Size)
	})
	return stacks
}

// empty moves all of a length elsewhere: as a whole, or its billets one by one. What
// could not be moved stays.
func (a *attempt) empty(i, s int) bool {
	if a.shift(i, s) {
		return true
	}
	for b := range a.boards[i].Strips[s].Billets {
		at, moved := place{i, s, b}, true
		for _, stack := range a.thickest(at) {
			moved = a.disperse(at, stack) && moved
		}
		if !moved && !a.house(at) {
			return false
		}
	}
	return true
}

// shift moves a length to where another board has room for it, and tells whether it could.
func (a *attempt) shift(i, s int) bool {
	st := a.boards[i].Strips[s]
	if !a.p.Crosscuts() || len(st.Billets) == 0 {
		return false
	}
	for _, j := range a.reach(i) {
		if j == i || !a.takes(j, st) {
			continue
		}
		a.steps--
		lay := a.boards[j].Settle(a.p)
		for _, free := range a.p.Free(lay) {
			if free.From+a.p.Lens[st.L] > free.To {
				continue
			}
			to := lay.Clone()
			to.Strips = append(to.Strips, a.own(i).Strips[s]) // its own, so that both can be changed
			to.Strips[len(to.Strips)-1].From = free.From
			a.boards[j], a.changed[j] = to, true
			a.own(i).Strips[s].Billets = nil
			return true
		}
	}
	return false
}

// slide moves a length to another stretch of its board, and tells whether it could.
func (a *attempt) slide(i, s, stretch int) bool {
	if !a.p.Crosscuts() || len(a.boards[i].Strips[s].Billets) == 0 {
		return false
	}
	a.steps -= len(a.boards[i].Strips)
	lay := a.own(i)
	st := lay.Strips[s]
	lay.Strips = slices.Delete(lay.Strips, s, s+1)
	*lay = lay.Settle(a.p)
	free := a.p.Free(*lay)[stretch]
	if free.From+a.p.Lens[st.L] > free.To {
		return false
	}
	st.From = free.From
	lay.Strips = slices.Insert(lay.Strips, s, st)
	return true
}

// takes tells whether a board that gives something takes a length, wherever it lies.
func (a *attempt) takes(j int, st board.Strip) bool {
	lay := a.boards[j]
	kd := a.p.Kinds[lay.Kind]
	wide := nm(0)
	for _, bl := range st.Billets {
		if !a.holds(lay.Kind, st.L, bl) {
			return false
		}
		wide += a.p.Wids[bl.W] + a.p.Order.RipKerf
	}
	return len(lay.Strips) > 0 && (!a.p.Rips() || wide <= kd.Rip)
}

// holds tells whether a billet can be cut from a kind of board in a length class with as
// many places for its leaves.
func (a *attempt) holds(k, l int, bl board.Billet) bool {
	room := a.room(k, l)
	for _, s := range bl.Stacks {
		if room -= nm(s.Count) * a.p.Items[s.Item].Size; room < 0 || !a.suits(k, s.Item) || a.p.Places(s.Item, l, bl.W) < s.Places {
			return false
		}
	}
	return true
}

// house moves a billet beside those of another length, and tells whether it could.
func (a *attempt) house(from place) bool {
	bl := a.boards[from.board].Strips[from.strip].Billets[from.billet]
	if !a.p.Rips() {
		return false
	}
	for _, i := range a.reach(from.board) {
		lay := a.boards[i]
		for s, st := range lay.Strips {
			a.steps--
			if i == from.board && s == from.strip || len(st.Billets) == 0 || !a.holds(lay.Kind, st.L, bl) {
				continue
			}
			free := a.p.Kinds[lay.Kind].Rip
			for _, x := range st.Billets {
				if len(x.Stacks) > 0 {
					free -= a.p.Wids[x.W] + a.p.Order.RipKerf
				}
			}
			if free < a.p.Wids[bl.W]+a.p.Order.RipKerf {
				continue
			}
			moved := board.Billet{W: bl.W}
			for _, x := range bl.Stacks {
				moved.Stacks = a.p.Add(moved.Stacks, x.Item, x.Count, st.L, bl.W)
			}
			to := &a.own(i).Strips[s]
			to.Billets = append(to.Billets, moved)
			a.billet(from).Stacks = nil
			return true
		}
	}
	return false
}
