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
	for first := 0; first < len(taken); first++ {
		last := first
		for last < len(taken) && taken[last].Board == taken[first].Board {
			last++
		}
		moveFirst(taken[first:last], func(t plan.Taken) int {
			most := 0
			for _, b := range t.Billets {
				most = max(most, a.kept(b))
			}
			return most
		})
		a.board(taken[first].Billets)
	}
}

// arranger goes through a plan as it is sawn.
type arranger struct {
	o plan.Order
	setting
}

// kept returns how much of the setting the next billet keeps: most if it is of the same
// size, for thickness comes next.
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

// has tells whether a billet gives leaves of a thickness.
func (a *arranger) has(b plan.Billet, thick nm) bool {
	return slices.ContainsFunc(b.Leaves, func(l plan.Leaves) bool { return a.o.Parts[l.Part].Thickness == thick })
}

// ahead is how far the next boards and billets are looked for.
const ahead = 200

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

// board arranges the billets of a board.
func (a *arranger) board(billets []plan.Billet) {
	for i := range billets {
		moveFirst(billets[i:], a.kept)
		a.billet(billets[i], billets[i+1:min(len(billets), i+ahead)])
	}
}

// billet arranges the leaves of a billet: what the saw is set for first, and last what
// most of those of its size ask for that come after it.
func (a *arranger) billet(b plan.Billet, after []plan.Billet) {
	a.long, a.wide = b.Length, b.Width
	wanted := func(thick nm) int {
		n := 0
		for _, x := range after {
			if a.size(x) && a.has(x, thick) {
				n++
			}
		}
		return n
	}
	rank := func(l plan.Leaves) int {
		thick := a.o.Parts[l.Part].Thickness
		if thick == a.thick {
			return -1
		}
		return wanted(thick)
	}
	slices.SortStableFunc(b.Leaves, func(x, y plan.Leaves) int {
		return cmp.Or(cmp.Compare(rank(x), rank(y)), cmp.Compare(a.o.Parts[y.Part].Thickness, a.o.Parts[x.Part].Thickness))
	})
	a.thick = a.o.Parts[b.Leaves[len(b.Leaves)-1].Part].Thickness
}
