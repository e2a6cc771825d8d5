package plan

import (
	"slices"
)

// option is one way to cut a billet, a strip or a board of a small order: how
// many sets of each item it gives, no more than wanted, and how.
type option struct {
	sets []int
	lay  layout // of a board; one strip with one billet while it grows
}

// enumerator lists all options of boards that no other option outdoes.
type enumerator struct {
	p      *problem
	need   []int
	budget int // steps left
	strips map[[2]int64][]option
}

// options returns the options of a kind of board, false when there are more
// than the budget allows.
func (e *enumerator) options(k int) ([]option, bool) {
	kd := e.p.kinds[k]
	if !e.p.crosscuts() {
		all := slices.Clone(e.strip(kd, 0))
		return all, e.budget > 0
	}
	all := e.grow(option{sets: make([]int, len(e.need)), lay: layout{kind: k}}, kd, 0)
	return e.undominated(all), e.budget > 0
}

// grow returns all options that begin with one, the next piece at the first
// place from at on that has room for it.
func (e *enumerator) grow(o option, kd kind, at nm) []option {
	all := []option{o}
	for l, long := range e.p.lens {
		from, ok := kd.place(at, long)
		if !ok {
			continue
		}
		for _, s := range e.strip(kd, l) {
			if e.budget -= len(e.need) + len(o.lay.strips); e.budget < 0 { // both are copied
				return nil
			}
			next := e.join(o, s, from)
			if slices.Equal(next.sets, o.sets) { // nothing more is wanted of this strip
				continue
			}
			all = append(all, e.grow(next, kd, from+long+e.p.order.CrosscutKerf)...)
		}
		all = e.undominated(all)
	}
	return all
}

// join returns a board option with a strip added.
func (e *enumerator) join(o, s option, from nm) option {
	st := s.lay.strips[0]
	st.from = from
	return option{e.sum(o.sets, s.sets), layout{o.lay.kind, append(slices.Clone(o.lay.strips), st)}}
}

// sum adds sets up, to no more than wanted.
func (e *enumerator) sum(x, y []int) []int {
	z := make([]int, len(x))
	for i := range z {
		z[i] = min(x[i]+y[i], e.need[i])
	}
	return z
}

// strip returns the options of a length of a class, each with billets.
func (e *enumerator) strip(kd kind, l int) []option {
	id := [2]int64{int64(kd.group)<<20 | int64(l), int64(kd.rip)}
	if all, ok := e.strips[id]; ok {
		return all
	}
	one := option{sets: make([]int, len(e.need)), lay: layout{strips: []strip{{piece: piece{l: l}}}}}
	all := e.rip(one, kd, l, 0, kd.rip)
	all = e.undominated(all)
	all = slices.DeleteFunc(all, func(o option) bool { return none(o.sets) })
	e.strips[id] = all
	return all
}

// rip returns all options that begin with one, with further billets of width
// class w and above in what is left of the width.
func (e *enumerator) rip(o option, kd kind, l, w int, rip nm) []option {
	all := []option{o}
	for ; w < e.p.highest(); w++ {
		rest := rip - e.p.wids[w] - e.p.order.RipKerf
		if e.p.rips() && rest < 0 {
			break
		}
		for _, sets := range e.contents(kd, l, w) {
			if e.budget -= len(e.need) + len(o.lay.strips[0].billets); e.budget < 0 { // both are copied
				return nil
			}
			next := option{e.sum(o.sets, sets), o.lay.clone()}
			next.lay.strips[0].billets = append(next.lay.strips[0].billets, billet{w, pieces(sets)})
			if slices.Equal(next.sets, o.sets) { // nothing more is wanted of this billet
				continue
			}
			if e.p.rips() {
				all = append(all, e.rip(next, kd, l, w, rest)...)
			} else {
				all = append(all, next)
			}
		}
		all = e.undominated(all)
	}
	return all
}

// pieces returns sets as pieces.
func pieces(sets []int) []Sets {
	var out []Sets
	for i, n := range sets {
		if n > 0 {
			out = append(out, Sets{Item: i, Count: n})
		}
	}
	return out
}

// contents returns what a billet can give: every full choice of sets.
func (e *enumerator) contents(kd kind, l, w int) [][]int {
	g := e.p.groups[kd.group]
	var out [][]int
	sets := make([]int, len(e.need))
	var choose func(n int, room nm)
	choose = func(n int, room nm) {
		if e.budget--; e.budget < 0 {
			return
		}
		if n == len(e.p.sets[g.set]) {
			out = append(out, slices.Clone(sets))
			return
		}
		i := e.p.sets[g.set][n]
		it := e.p.items[i]
		most := 0
		if it.len <= l && it.wid <= w {
			most = int(min(nm(e.need[i]), room/it.size))
		}
		for c := most; c >= 0; c-- {
			sets[i] = c
			choose(n+1, room-nm(c)*it.size)
		}
		sets[i] = 0
	}
	if g.room[l] > 0 {
		choose(0, g.room[l])
	}
	return maximal(out, func(s []int) []int { return s })
}

// undominated keeps the options that no other outdoes.
func (e *enumerator) undominated(all []option) []option {
	e.budget -= len(all) * len(all) / 8
	if e.budget < 0 {
		return nil
	}
	return maximal(all, func(o option) []int { return o.sets })
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
