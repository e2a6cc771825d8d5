package solver

import (
	"cmp"
	"slices"

	"resawd/calc/plan"
)

// setting is how the saw is set: for billets of a size, and for leaves of a thickness.
type setting struct{ long, wide, thick nm }

// unset is before the first billet.
var unset = setting{-1, -1, -1}

// size tells whether the saw is set for billets of a size.
func (s setting) size(b plan.Billet) bool { return s.long == b.Length && s.wide == b.Width }

// setups counts the changes of billet size and of leaf thickness when the boards are
// sawn in the order of the plan, the first ones included.
func setups(o plan.Order, taken []plan.Taken) int {
	n, s := 0, unset
	for _, t := range taken {
		for _, b := range t.Billets {
			if !s.size(b) {
				n++
			}
			for _, l := range b.Leaves {
				if t := o.Parts[l.Part].Thickness; t != s.thick {
					n++
					s.thick = t
				}
			}
			s.long, s.wide = b.Length, b.Width
		}
	}
	return n
}

// arrange puts what is sawn in an order of few set-ups: boards of a kind, their billets,
// those of a size together, and the leaves of each. Boards come in the order of their
// kinds.
func arrange(o plan.Order, taken []plan.Taken) {
	a := arranger{o: o, setting: unset}
	for i, t := range taken {
		alike := slices.IndexFunc(taken[i:], func(x plan.Taken) bool { return x.Board != t.Board })
		if alike < 0 {
			alike = len(taken) - i
		}
		moveFirst(taken[i:i+alike], func(t plan.Taken) int { return a.met(t.Billets) })
		a.next = taken[i+1 : min(len(taken), i+3)]
		if len(taken[i].Billets) <= mostSequenced {
			a.sequence(taken[i].Billets)
		} else {
			a.follow(taken[i].Billets)
		}
	}
}

// Billets of a board up to which the best order is found, and how far the next boards and
// billets are looked for.
const (
	mostSequenced = 8
	ahead         = 200
)

// moveFirst moves what scores most to the front of a list.
func moveFirst[T any](list []T, score func(T) int) {
	best, most := 0, -1
	for i := range min(len(list), ahead) {
		if n := score(list[i]); n > most {
			best, most = i, n
		}
	}
	x := list[best]
	copy(list[1:best+1], list[:best])
	list[0] = x
}

// arranger goes through a plan as it is sawn.
type arranger struct {
	o plan.Order
	setting
	next []plan.Taken // what comes after this board, as far as it is looked at
}

// met returns how much of a setting some billets can keep.
func (a *arranger) met(billets []plan.Billet) int {
	n := 0
	if slices.ContainsFunc(billets, a.size) {
		n++
	}
	if slices.ContainsFunc(billets, func(b plan.Billet) bool { return a.has(b, a.thick) }) {
		n++
	}
	return n
}

// has tells whether a billet gives leaves of a thickness.
func (a *arranger) has(b plan.Billet, thick nm) bool {
	return slices.ContainsFunc(b.Leaves, func(l plan.Leaves) bool { return a.o.Parts[l.Part].Thickness == thick })
}

// saw sets the saw for a billet and saws its leaves, those of a thickness last.
func (a *arranger) saw(b plan.Billet, last nm) {
	rank := func(l plan.Leaves) int {
		thick := a.o.Parts[l.Part].Thickness
		if thick == last {
			return 2
		}
		if thick == a.thick {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(b.Leaves, func(x, y plan.Leaves) int {
		return cmp.Or(cmp.Compare(rank(x), rank(y)), cmp.Compare(a.o.Parts[y.Part].Thickness, a.o.Parts[x.Part].Thickness))
	})
	a.setting = setting{b.Length, b.Width, last}
}

// follow arranges many billets: each keeps as much of the setting as any, and ends with
// what most of those that follow it ask for.
func (a *arranger) follow(billets []plan.Billet) {
	for i := range billets {
		moveFirst(billets[i:], func(b plan.Billet) int { return a.kept(b) })
		after := billets[i+1 : min(len(billets), i+ahead)]
		last, most := nm(0), -1
		for _, thick := range a.ends(billets[i]) {
			n := 0
			for _, x := range after {
				if x.Length == billets[i].Length && x.Width == billets[i].Width && a.has(x, thick) {
					n++
				}
			}
			if n > most {
				last, most = thick, n
			}
		}
		a.saw(billets[i], last)
	}
}

// kept returns how many set-ups the next billet saves: that of its size counts more, for
// more may come of it.
func (a *arranger) kept(b plan.Billet) int {
	n := 0
	if a.size(b) {
		n = 2
	}
	if a.has(b, a.thick) {
		n++
	}
	return n
}

// ends returns the thicknesses that a billet may end with, the thinnest first: any but
// the one it begins with, where there are others.
func (a *arranger) ends(b plan.Billet) []nm {
	var all []nm
	for _, l := range b.Leaves {
		if t := a.o.Parts[l.Part].Thickness; !slices.Contains(all, t) {
			all = append(all, t)
		}
	}
	if len(all) > 1 {
		all = slices.DeleteFunc(all, func(t nm) bool { return t == a.thick })
	}
	slices.Sort(all)
	return all
}

// left is what is still to be sawn, and the setting it is begun with.
type left struct {
	billets uint16
	setting
}

// way is how much a sequence saves, and how it begins.
type way struct {
	saved, billet int
	last          nm
}

// What a set-up saved counts, and one that the next board may save.
const (
	sure  = 4
	maybe = 3
)

// sequence arranges the billets of a board, as well as can be for itself.
//
// Source: dynamic programming over subsets (HK62).
func (a *arranger) sequence(billets []plan.Billet) {
	met := []map[left]way{{}, {}}
	all := slices.Clone(billets)
	rest := left{1<<len(all) - 1, a.setting}
	for i := range billets {
		w := a.best(all, rest, met)
		billets[i] = all[w.billet]
		a.setting = rest.setting
		a.saw(billets[i], w.last)
		rest = left{rest.billets &^ (1 << w.billet), a.setting}
	}
}

// best returns the best way to saw the billets that are left. Ways met with are kept, for
// this board and the next one.
func (a *arranger) best(all []plan.Billet, rest left, met []map[left]way) way {
	if w, ok := met[0][rest]; ok {
		return w
	}
	if rest.billets == 0 {
		return way{saved: a.beyond(rest.setting, met[1:])}
	}
	best := way{saved: -1}
	for i, b := range all {
		if rest.billets>>i&1 == 0 {
			continue
		}
		a.setting = rest.setting
		saves := 0
		if a.size(b) {
			saves += sure
		}
		if a.has(b, a.thick) {
			saves += sure
		}
		for _, last := range a.ends(b) {
			w := a.best(all, left{rest.billets &^ (1 << i), setting{b.Length, b.Width, last}}, met)
			if w.saved+saves > best.saved {
				best = way{w.saved + saves, i, last}
			}
		}
	}
	met[0][rest] = best
	return best
}

// beyond returns what the boards that come next save from a setting on: the first of
// them as well as can be, the second perhaps.
func (a *arranger) beyond(from setting, met []map[left]way) int {
	x := arranger{o: a.o, setting: from}
	switch {
	case len(a.next) == 0:
		return 0
	case len(met) == 0 || len(a.next[0].Billets) > mostSequenced:
		return maybe * x.met(a.next[0].Billets)
	}
	x.next = a.next[1:]
	all := a.next[0].Billets
	return x.best(all, left{1<<len(all) - 1, from}, met).saved
}
