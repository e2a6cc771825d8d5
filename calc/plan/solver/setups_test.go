package solver

import (
	"math/rand/v2"
	"slices"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
)

// TestSetups: worked by hand: two sizes of billets and two thicknesses, so that four
// set-ups are the least; sawn as they come there are eight.
func TestSetups(t *testing.T) {
	o := plan.Order{Parts: []plan.Part{{Thickness: 3}, {Thickness: 2}}}
	billet := func(long nm, parts ...int) plan.Billet {
		b := plan.Billet{Length: long, Width: 4}
		for _, p := range parts {
			b.Leaves = append(b.Leaves, plan.Leaves{Part: p, Count: 1})
		}
		return b
	}
	taken := []plan.Taken{{Billets: []plan.Billet{billet(9, 0, 1), billet(8, 1), billet(9, 0), billet(8, 1)}}}
	if n := setups(o, taken); n != 8 {
		t.Fatalf("%d set-ups as they come", n)
	}
	arrange(o, taken)
	if n := setups(o, taken); n != 4 {
		t.Errorf("%d set-ups: %+v", n, taken)
	}
}

// TestFewestSetups: no order of the billets and leaves of two small boards has fewer
// set-ups but one in a hundred, and none is left out.
func TestFewestSetups(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 4))
	rounds, more := trial.Rounds(1000), 0
	for range rounds {
		o := plan.Order{Parts: []plan.Part{{Thickness: 1}, {Thickness: 2}, {Thickness: 3}}}
		var taken []plan.Taken
		for k := range 2 {
			x := plan.Taken{Board: k, Copies: 1}
			for range 1 + r.IntN(3) {
				b := plan.Billet{Length: nm(r.IntN(2)), Width: 1}
				for i := range o.Parts {
					if r.IntN(2) == 0 || i == 2 && len(b.Leaves) == 0 {
						b.Leaves = append(b.Leaves, plan.Leaves{Part: i, Count: 1})
					}
				}
				x.Billets = append(x.Billets, b)
			}
			taken = append(taken, x)
		}
		least, billets := fewest(o, taken), [2]int{len(taken[0].Billets), len(taken[1].Billets)}
		arrange(o, taken)
		if n := setups(o, taken); n > least {
			more++
		} else if n < least || billets != [2]int{len(taken[0].Billets), len(taken[1].Billets)} {
			t.Fatalf("%d set-ups, %d by trying everything: %+v", n, least, taken)
		}
	}
	if more > rounds/100 {
		t.Errorf("of %d, %d have more set-ups than they need", rounds, more)
	}
}

// fewest returns the fewest set-ups of two boards, one after the other, by trying every
// order of their billets and leaves.
func fewest(o plan.Order, taken []plan.Taken) int {
	least := 1 << 30
	permute(taken[0].Billets, 0, func(first []plan.Billet) {
		permute(taken[1].Billets, 0, func(second []plan.Billet) {
			all := slices.Concat(first, second)
			var leaves func(i int)
			leaves = func(i int) {
				if i == len(all) {
					least = min(least, setups(o, []plan.Taken{{Billets: all}}))
					return
				}
				permute(slices.Clone(all[i].Leaves), 0, func(l []plan.Leaves) {
					all[i].Leaves = l
					leaves(i + 1)
				})
			}
			leaves(0)
		})
	})
	return least
}

// permute calls a function with every order of a list.
func permute[T any](list []T, from int, with func([]T)) {
	if from == len(list) {
		with(list)
		return
	}
	for i := from; i < len(list); i++ {
		list[from], list[i] = list[i], list[from]
		permute(list, from+1, with)
		list[from], list[i] = list[i], list[from]
	}
}
