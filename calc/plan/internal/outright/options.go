package outright

import (
	"slices"

	"resawd/calc/plan/internal/board"
)

// Option is one way to cut a billet, a strip or a board of a small order: how
// many sets of each item it gives, no more than wanted, and how.
type Option struct {
	Sets []int
	lay  board.Layout // of a board; one strip with one billet while it grows
}

// Enumerator lists all options of boards that no other option outdoes.
type Enumerator struct {
	P      *board.Problem
	Need   []int
	Budget int // steps left
	Strips map[[2]int64][]Option
}

// Options returns the options of a kind of board, false when there are more
// than the budget allows.
func (e *Enumerator) Options(k int) ([]Option, bool) {
	kd := e.P.Kinds[k]
	if !e.P.Crosscuts() {
		all := slices.Clone(e.strip(kd, 0))
		return all, e.Budget > 0
	}
	all := e.grow(Option{Sets: make([]int, len(e.Need)), lay: board.Layout{Kind: k}}, kd, 0)
	return e.undominated(all), e.Budget > 0
}

// grow returns all options that begin with one, the next piece at the first
// place from at on that has room for it.
func (e *Enumerator) grow(o Option, kd board.Kind, at nm) []Option {
	all := []Option{o}
	for l, long := range e.P.Lens {
		from, ok := kd.Place(at, long)
		if !ok {
			continue
		}
		for _, s := range e.strip(kd, l) {
			if e.Budget -= len(e.Need) + len(o.lay.Strips); e.Budget < 0 { // both are copied
				return nil
			}
			next := e.join(o, s, from)
			if slices.Equal(next.Sets, o.Sets) { // nothing more is wanted of this strip
				continue
			}
			all = append(all, e.grow(next, kd, from+long+e.P.Order.CrosscutKerf)...)
		}
		all = e.undominated(all)
	}
	return all
}

// join returns a board option with a strip added.
func (e *Enumerator) join(o, s Option, from nm) Option {
	st := s.lay.Strips[0]
	st.From = from
	return Option{e.sum(o.Sets, s.Sets), board.Layout{Kind: o.lay.Kind, Strips: append(slices.Clone(o.lay.Strips), st)}}
}

// sum adds sets up, to no more than wanted.
func (e *Enumerator) sum(x, y []int) []int {
	z := make([]int, len(x))
	for i := range z {
		z[i] = min(x[i]+y[i], e.Need[i])
	}
	return z
}

// strip returns the options of a length of a class, each with billets.
func (e *Enumerator) strip(kd board.Kind, l int) []Option {
	id := [2]int64{int64(kd.Group)<<20 | int64(l), int64(kd.Rip)}
	if all, ok := e.Strips[id]; ok {
		return all
	}
	one := Option{Sets: make([]int, len(e.Need)), lay: board.Layout{Strips: []board.Strip{{Piece: board.Piece{L: l}}}}}
	all := e.rip(one, kd, l, 0, kd.Rip)
	all = e.undominated(all)
	all = slices.DeleteFunc(all, func(o Option) bool { return board.None(o.Sets) })
	e.Strips[id] = all
	return all
}

// rip returns all options that begin with one, with further billets of width
// class w and above in what is left of the width.
func (e *Enumerator) rip(o Option, kd board.Kind, l, w int, rip nm) []Option {
	all := []Option{o}
	for ; w < e.P.Highest(); w++ {
		rest := rip - e.P.Wids[w] - e.P.Order.RipKerf
		if e.P.Rips() && rest < 0 {
			break
		}
		for _, sets := range e.contents(kd, l, w) {
			if e.Budget -= len(e.Need) + len(o.lay.Strips[0].Billets); e.Budget < 0 { // both are copied
				return nil
			}
			next := Option{e.sum(o.Sets, sets), o.lay.Clone()}
			next.lay.Strips[0].Billets = append(next.lay.Strips[0].Billets, board.Billet{W: w, Stacks: e.stacks(sets, l, w)})
			if slices.Equal(next.Sets, o.Sets) { // nothing more is wanted of this billet
				continue
			}
			if e.P.Rips() {
				all = append(all, e.rip(next, kd, l, w, rest)...)
			} else {
				all = append(all, next)
			}
		}
		all = e.undominated(all)
	}
	return all
}

// stacks returns the stacks of a billet of classes that give sets.
func (e *Enumerator) stacks(sets []int, l, w int) []board.Stack {
	var out []board.Stack
	for i, n := range sets {
		if n > 0 {
			out = e.P.Add(out, i, board.Leaves(n, e.P.Places(i, l, w)), l, w)
		}
	}
	return out
}

// contents returns what a billet can give: every full choice of sets.
func (e *Enumerator) contents(kd board.Kind, l, w int) [][]int {
	g := e.P.Groups[kd.Group]
	var out [][]int
	sets := make([]int, len(e.Need))
	var choose func(n int, room nm)
	choose = func(n int, room nm) {
		if e.Budget--; e.Budget < 0 {
			return
		}
		if n == len(e.P.Sets[g.Set]) {
			out = append(out, slices.Clone(sets))
			return
		}
		i := e.P.Sets[g.Set][n]
		it := e.P.Items[i]
		most, places := 0, e.P.Places(i, l, w)
		if places > 0 {
			most = int(min(nm(board.Leaves(e.Need[i], places)), room/it.Size))
		}
		for c := most; c >= 0; c-- {
			sets[i] = min(e.Need[i], c*places)
			choose(n+1, room-nm(c)*it.Size)
		}
		sets[i] = 0
	}
	if g.Room[l] > 0 {
		choose(0, g.Room[l])
	}
	return maximal(out, func(s []int) []int { return s })
}

// undominated keeps the options that no other outdoes.
func (e *Enumerator) undominated(all []Option) []Option {
	e.Budget -= len(all) * len(all) / 8
	if e.Budget < 0 {
		return nil
	}
	return maximal(all, func(o Option) []int { return o.Sets })
}

// maximal keeps the first of equals and drops what another one covers.
func maximal[T any](all []T, sets func(T) []int) []T {
	covers := func(x, y []int) bool {
		for i := range x {
			if x[i] < y[i] {
				return false
			}
		}
		return true
	}
	var out []T
	for _, a := range all {
		if slices.ContainsFunc(out, func(b T) bool { return covers(sets(b), sets(a)) }) {
			continue
		}
		out = slices.DeleteFunc(out, func(b T) bool { return covers(sets(a), sets(b)) })
		out = append(out, a)
	}
	return out
}
